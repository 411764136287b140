"""K310: how often the kinds of comeback are met adds up to 1.

They are the odds a call starts from, so a share too much or too little would weigh in every answer.

PASS:
    # kinds/resprouted.yaml
    how_often: 0.2

FAIL:
    how_often: 0.3
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The kinds as a whole, if their shares do not add up."""
    kinds = subject.base.kinds.values()
    total = sum(kind.how_often for kind in kinds)
    if abs(total - 1) > 1e-6:
        message = f"how_often of all kinds adds up to {total:.6g}; it must be 1"
        hint = ", ".join(f"{kind.id} {kind.how_often:g}" for kind in kinds)
        yield Problem(str(subject.folder / "kinds"), 0, 0, "K310", message, hint)
