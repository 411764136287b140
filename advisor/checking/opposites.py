"""K415: causes whose remedies contradict each other are never shown on the same facts.

A cause names under `opposes` those whose remedies go the other way. Where a rule of each could hold
at one application, the caller would be told to do more and less of the same thing.

PASS:
    # causes/too-hot.yaml
    opposes: [too-cold]

FAIL:
    opposes: [spray-drifted]
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.logic import asked
from advisor.checking.subject import Subject
from advisor.model import Cause, Rule
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The rules of opposed causes that can hold at once, at the cause that names the other."""
    causes = subject.base.causes
    for cause in causes.values():
        for n, name in enumerate(cause.opposes):
            for rule, against in _both(subject, cause, causes[name]):
                clauses = subject.space.together(rule.clauses, against.clauses)
                assert clauses is not None
                when = " and ".join(dict.fromkeys(asked(c) for x in clauses for c in x.conditions))
                message = f"{rule.id} and {against.id} of {name} give opposite advice on one case"
                path = subject.path("causes", cause.id)
                keys = ("opposes", n)
                hint = f"both hold when {when}"
                yield subject.pages.problem("K415", message, path, *keys, hint=hint)


def _both(subject: Subject, cause: Cause, other: Cause) -> Iterator[tuple[Rule, Rule]]:
    """The pairs of rules that can hold at once and are not meant to."""
    exempt = (*cause.exempt, *other.exempt)
    for rule in cause.rules:
        for against in other.rules:
            if subject.space.together(rule.clauses, against.clauses) is None:
                continue
            sides = {rule.id, cause.id}, {against.id, other.id}
            if not subject.excused("K415", exempt, *sides):
                yield rule, against
