"""Whether a knowledge folder is sound beyond what loading it finds: `check_folder` says so.

Each check is a module that takes a `Subject` and yields problems; `run` calls them all, in one
pass over a loaded knowledge base. Beside them `coverage` counts what the examples exercise and
`comparison` replays them on another base. Nothing here prints, repairs a file or decides about a
real call.
"""

from advisor.checking.run import CheckResult, check_folder

__all__ = ["CheckResult", "check_folder"]
