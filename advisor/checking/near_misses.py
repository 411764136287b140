"""K402: every example under `quiet` is a near miss, held back by just what it names.

The rule must be ruled out on it, and be shown once the conditions on the facts of `held_by` are
taken away. So each near miss proves that those conditions, and no others, did the work.

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
      - name: no beds and still
        given: {site.near-vegetables: no, wind_now: 3 mph}
        held_by: site.near-vegetables
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.logic import missing
from advisor.checking.subject import Subject
from advisor.model import Example, Rule
from advisor.problem import Problem
from advisor.terms import Clause, Truth

SAYS = {Truth.SHOWN: "fires on it", Truth.OPEN: "could hold on it"}


def check(subject: Subject) -> Iterator[Problem]:
    """The quiet examples that are no near misses."""
    for rule, example in subject.examples(firing=False):
        truth = subject.trials.whole(rule, example)
        place = example.place
        if truth is not Truth.RULED_OUT:
            message = f"{rule.id} should be quiet on {example.name!r}, but it {SAYS[truth]}"
            yield Problem(place.path, place.line, place.column, "K402", message)
        elif subject.trials.without(rule, example, example.held_by) is not Truth.SHOWN:
            held = " and ".join(example.held_by)
            message = f"{example.name!r} is not held back by {held} alone"
            hint = _rest(subject, rule, example)
            yield Problem(place.path, place.line, place.column, "K402", message, hint)


def _rest(subject: Subject, rule: Rule, example: Example) -> str:
    """What else keeps the rule from being shown."""
    clauses = [
        Clause(rule.id, c.number, tuple(x for x in c.conditions if x.fact not in example.held_by))
        for c in rule.clauses
    ]
    return missing(clauses, subject.trials.values(rule, example), subject.base.facts)
