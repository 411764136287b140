"""K601 and what the reader of calls finds: every example call loads and is diagnosed.

The calls under `examples/` show what the base can do and are the first a newcomer runs. A call that
has mistakes of its own is reported with their own codes.

PASS:
    # examples/a-call.yaml
    reported: 2027-09-29
    weed: dandelion

FAIL:
    weed: dandelyon
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.knowledge import EXAMPLES
from advisor.problem import Problem

KNOWN = (".yaml", ".csv")


def check(subject: Subject) -> Iterator[Problem]:
    """What keeps an example call from being diagnosed."""
    for case in subject.cases:
        yield from case.problems
    for path in sorted((subject.folder / EXAMPLES).rglob("*")):
        if path.is_file() and path.suffix not in KNOWN:
            hint = "calls are called <name>.yaml, the weather of a call <name>.csv"
            yield Problem(str(path), 0, 0, "K020", "no loader claims this file", hint)
