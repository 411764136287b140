"""K414: no rule lies wholly inside another one of its file without saying more.

Where a rule holds only where another does already, a stop gains nothing by it, and a cause only
where the loss is greater there. Evidence for kinds adds up, so that there the same conditions must
not be counted twice.

PASS:
    # stops/windy.yaml
    rules:
      - id: wind
        when: {all: [{fact: wind_now, at-least: 10}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: branches in motion, given: {wind_now: 15 mph}}
        quiet:
          - {name: a light breeze, given: {wind_now: 5 mph}, held_by: wind_now}

FAIL:
    rules:
      - id: wind
        when: {all: [{fact: wind_now, at-least: 10}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: branches in motion, given: {wind_now: 15 mph}}
        quiet:
          - {name: a light breeze, given: {wind_now: 5 mph}, held_by: wind_now}
      - id: a-gale
        when: {all: [{fact: wind_now, at-least: 20}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: a gale, given: {wind_now: 25 mph}}
        quiet:
          - {name: branches in motion, given: {wind_now: 15 mph}, held_by: wind_now}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.model import HABIT_CLASSES, Cause, Kind, Rule
from advisor.problem import Problem
from advisor.terms import Clause


def check(subject: Subject) -> Iterator[Problem]:
    """The rules that add nothing to another one; of two alike, the later."""
    yield from _inside(subject)
    yield from _twice(subject)


def _inside(subject: Subject) -> Iterator[Problem]:
    for _, owner in subject.owners:
        if isinstance(owner, Kind):
            continue
        for narrow in owner.rules:
            for wide in owner.rules:
                if not _adds_nothing(subject, narrow, wide, owner.rules):
                    continue
                if isinstance(owner, Cause) and not _no_dearer(subject, narrow, wide):
                    continue
                if subject.excused("K414", owner.exempt, {narrow.id}, {wide.id}):
                    continue
                costs = " and costs no less" if isinstance(owner, Cause) else ""
                message = f"wherever {narrow.id} holds, {wide.id} holds already{costs}"
                yield _problem(subject, narrow, message)


def _adds_nothing(subject: Subject, narrow: Rule, wide: Rule, rules: tuple[Rule, ...]) -> bool:
    """Whether a rule lies inside another one; of two that are the same, whether it is the later."""
    if narrow is wide or narrow.id in subject.impossible:
        return False
    if not subject.space.inside(narrow.clauses, wide.clauses):
        return False
    same = subject.space.inside(wide.clauses, narrow.clauses)
    return not same or rules.index(narrow) > rules.index(wide)


def _no_dearer(subject: Subject, narrow: Rule, wide: Rule) -> bool:
    """Whether the narrow rule takes no more than the wide one, for every habit it can meet."""
    if narrow.loss_from or wide.loss_from:
        return narrow.loss_from == wide.loss_from
    classes = _classes(subject, narrow.clauses)
    return all(narrow.loss.get(name, 0.0) <= wide.loss.get(name, 0.0) for name in classes)


def _classes(subject: Subject, clauses: tuple[Clause, ...]) -> set[str]:
    """The classes of habit that a rule can meet."""
    options = subject.base.facts["habit"].options
    named = [c.options for clause in clauses for c in clause.conditions if c.fact == "habit"]
    if len(named) < len(clauses):
        return set(HABIT_CLASSES)
    return {options[name].habit_class or "" for names in named for name in names}


def _twice(subject: Subject) -> Iterator[Problem]:
    """Rules of kinds with the same conditions, wherever they stand."""
    kinds = subject.base.kinds
    rules = [(kind, rule) for kind in kinds.values() for rule in kind.rules]
    for n, (kind, later) in enumerate(rules):
        for other, first in rules[:n]:
            if later.id in subject.impossible or not (
                subject.space.inside(later.clauses, first.clauses)
                and subject.space.inside(first.clauses, later.clauses)
            ):
                continue
            exempt = (*kind.exempt, *other.exempt)
            if not subject.excused("K414", exempt, {later.id}, {first.id}):
                message = f"{later.id} counts what {first.id} of {other.id} counts already"
                yield _problem(subject, later, message)


def _problem(subject: Subject, rule: Rule, message: str) -> Problem:
    keys = (*subject.pages.rule(rule), "id")
    return subject.pages.problem("K414", message, rule.place.path, *keys)
