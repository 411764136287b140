"""K413: every way for a rule to hold can come about, given what always holds between facts.

Conditions on different facts may exclude each other through the relations of facts.yaml. Conditions
on one fact that do are found by themselves.

PASS:
    # stops/windy.yaml
    rules:
      - id: too-hot-by-any-label
        when: {all: [{fact: wind_now, at-least: 10}, {fact: heat_ahead, below: 0}]}
        because: "It blows at {wind_now}, and it is hot."
        from: common-practice
        fires:
          - {name: a hot gale, given: {wind_now: 15 mph, heat_ahead: -5 F-degrees}}
        quiet:
          - {name: hot, given: {wind_now: 5 mph, heat_ahead: -5 F-degrees}, held_by: wind_now}
          - {name: a gale, given: {wind_now: 15 mph, heat_ahead: 5 F-degrees}, held_by: heat_ahead}

FAIL:
    when: {all: [{fact: cold_ahead, below: 0}, {fact: heat_ahead, below: 0}]}
    fires:
      - {name: hot and cold, given: {cold_ahead: -5 F-degrees, heat_ahead: -5 F-degrees}}
    quiet:
      - {name: mild, given: {cold_ahead: 5 F-degrees}, held_by: cold_ahead}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.boxes import Space
from advisor.checking.logic import asked, contradiction
from advisor.checking.subject import Subject
from advisor.model import Relation
from advisor.problem import Problem
from advisor.terms import Clause, Condition


def check(subject: Subject) -> Iterator[Problem]:
    """The clauses that relations between facts keep from ever holding."""
    for rule in subject.base.rules():
        for clause in rule.clauses:
            if contradiction(clause) is not None or subject.space.holds(clause):
                continue
            conditions, relations = _core(subject, clause)
            message = f"{' and '.join(map(asked, conditions))} can never be true together"
            hint = " ".join(relation.because for relation in relations)
            place = clause.conditions.index(conditions[-1])
            keys = subject.pages.conditions(rule)[clause.number][place]
            yield subject.pages.problem("K413", message, rule.place.path, *keys, hint=hint)


def _core(subject: Subject, clause: Clause) -> tuple[list[Condition], list[Relation]]:
    """The fewest of the conditions and relations that still exclude each other."""
    facts = subject.base.facts
    conditions, relations = list(clause.conditions), list(subject.relations)
    for one in clause.conditions:
        fewer = [c for c in conditions if c is not one]
        if not subject.space.possible(subject.space.of(fewer)):
            conditions = fewer
    for relation in subject.relations:
        left = [r for r in relations if r is not relation]
        space = Space(facts, left)
        if not space.possible(space.of(conditions)):
            relations = left
    return conditions, relations
