"""The example calls of a knowledge folder, each loaded and diagnosed.

`calls` and `well_made` judge the cases it gives. It looks for calls under `examples/`, where the
loader of the knowledge base does not go, and is content to find none.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from advisor.call import load_call, load_weather_of
from advisor.diagnosis import Advisor, Diagnosis
from advisor.knowledge import EXAMPLES
from advisor.model import KnowledgeBase
from advisor.problem import Problem, ProblemsFound

WELL_MADE = "well-made"


@dataclass(frozen=True, slots=True)
class Case:
    """An example call and what came of it: a diagnosis, or the problems that prevent one."""

    path: str
    well_made: bool
    diagnosis: Diagnosis | None
    problems: tuple[Problem, ...] = ()


def run_calls(base: KnowledgeBase, folder: Path, engine: str) -> tuple[Case, ...]:
    """All example calls of a folder, diagnosed."""
    paths = sorted((folder / EXAMPLES).rglob("*.yaml"))
    if not paths:
        return ()
    advisor = Advisor(base, engine)
    return tuple(_run(advisor, path, WELL_MADE in path.relative_to(folder).parts) for path in paths)


def _run(advisor: Advisor, path: Path, well_made: bool) -> Case:
    shown = str(path)
    try:
        call = load_call(path, advisor.base)
        return Case(shown, well_made, advisor.diagnose(call, load_weather_of(call)))
    except ProblemsFound as found:
        return Case(shown, well_made, None, found.problems)
    except Exception as error:
        # One call the program stumbles over must not hide what is wrong with the others.
        message = f"this call gives no answer: the program failed ({error})"
        hint = "diagnose it alone to see where; the fault is the program's, not the call's"
        return Case(shown, well_made, None, (Problem(shown, 0, 0, "K601", message, hint),))
