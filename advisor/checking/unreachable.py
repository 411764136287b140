"""K405: every kind, cause and stop has a rule that can show it.

One whose rules all contradict themselves would stand in the knowledge base and never be said.

PASS:
    # stops/windy.yaml
    rules:
      - id: a-fresh-breeze
        when: {all: [{fact: wind_now, at-least: 10}, {fact: wind_now, below: 30}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: branches in motion, given: {wind_now: 15 mph}}
        quiet:
          - {name: a light breeze, given: {wind_now: 5 mph}, held_by: wind_now}

FAIL:
    when: {all: [{fact: wind_now, at-least: 10}, {fact: wind_now, below: 10}]}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The kinds, causes and stops that nothing can show."""
    for path, owner in subject.owners:
        if all(rule.id in subject.impossible for rule in owner.rules):
            why = "none of its rules can hold" if owner.rules else "it has no rules"
            yield subject.pages.problem("K405", f"nothing can show {owner.id}: {why}", path, "id")
