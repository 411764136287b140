"""K403: every condition of a rule is tested by a near miss.

For each fact that a rule reads some quiet example must be held back by it, so that the rule would
fire there without that condition; otherwise the condition could be dropped or mistyped unnoticed.

PASS:
    # stops/windy.yaml
    rules:
      - id: wind-beside-vegetables
        when: {all: [{fact: site.near-vegetables, is: yes}, {fact: wind_now, at-least: 8}]}
        because: "It blows at {wind_now}, and vegetables stand close by."
        from: common-practice
        fires:
          - {name: a breeze, given: {site.near-vegetables: yes, wind_now: 9 mph}}
        quiet:
          - {name: still, given: {site.near-vegetables: yes, wind_now: 3 mph}, held_by: wind_now}
          - name: no beds
            given: {site.near-vegetables: no, wind_now: 9 mph}
            held_by: site.near-vegetables

FAIL:
    quiet:
      - {name: still, given: {site.near-vegetables: yes, wind_now: 3 mph}, held_by: wind_now}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.logic import covering, never_holds
from advisor.checking.pages import Keys
from advisor.checking.subject import Subject
from advisor.model import Rule
from advisor.problem import Problem
from advisor.terms import Clause, Truth


def check(subject: Subject) -> Iterator[Problem]:
    """The conditions that no near miss tests, each fact once a rule."""
    for rule in subject.tried():
        live = _live(subject, rule)
        for fact in sorted({fact for clause in live for fact in clause.facts}):
            if not _tested(subject, rule, fact):
                message = f"no near miss of {rule.id} tests the condition on {fact}"
                hint = "add a near miss on which all but this holds, with `held_by` naming it"
                keys = _place(subject, rule, live, fact)
                path = rule.place.path
                yield subject.pages.problem("K403", message, path, *keys, "fact", hint=hint)


def _live(subject: Subject, rule: Rule) -> list[Clause]:
    """The alternatives that can decide; on another one no near miss can hang.

    That it is covered (K412) or contradicts itself (K404) is the mistake to mend first.
    """
    covered = covering(rule.clauses, subject.base.facts)
    return [c for c in rule.clauses if c.number not in covered and not never_holds(c)]


def _place(subject: Subject, rule: Rule, live: list[Clause], fact: str) -> Keys:
    """Where the rule first reads a fact."""
    places = subject.pages.conditions(rule)
    return next(
        places[clause.number][i]
        for clause in live
        for i, condition in enumerate(clause.conditions)
        if condition.fact == fact
    )


def _tested(subject: Subject, rule: Rule, fact: str) -> bool:
    naming = [example for example in rule.quiet if fact in example.held_by]
    # A near miss with one fact is judged by K402; with several, each must count by itself.
    return any(
        len(example.held_by) == 1 or subject.trials.without(rule, example, (fact,)) is Truth.SHOWN
        for example in naming
    )
