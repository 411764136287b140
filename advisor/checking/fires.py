"""K401: a rule is shown on every example of its `fires`.

Each runs through the rules engine among all rules of its tier, with every fact it does not give
unknown, just as a call would.

PASS:
    # stops/windy.yaml
    rules:
      - id: wind-over-the-usual-limit
        when: {all: [{fact: wind_now, at-least: 10}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: branches in motion, given: {wind_now: 15 mph}}
        quiet:
          - {name: a light breeze, given: {wind_now: 5 mph}, held_by: wind_now}

FAIL:
    fires:
      - {name: it may be too much, given: {wind_now: 8 to 12 mph}}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.logic import missing
from advisor.checking.subject import Subject
from advisor.problem import Problem
from advisor.terms import Truth

SAYS = {
    Truth.OPEN: "could hold on this example but is not certain",
    Truth.RULED_OUT: "is ruled out",
}


def check(subject: Subject) -> Iterator[Problem]:
    """The firing examples on which the rule is not shown."""
    for rule, example in subject.examples(firing=True):
        truth = subject.trials.whole(rule, example)
        if truth is Truth.SHOWN:
            continue
        values = subject.trials.values(rule, example)
        hint = missing(rule.clauses, values, subject.base.facts)
        message = f"{rule.id} should fire on {example.name!r}, but it {SAYS[truth]}"
        place = example.place
        yield Problem(place.path, place.line, place.column, "K401", message, hint)
