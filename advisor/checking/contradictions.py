"""K404: no way for a rule to hold asks for things that exclude each other.

Two bands on one fact that do not meet, or two sets of options that share none, make a clause that
never holds. A single condition that never holds is found when the file is loaded.

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

from advisor.checking.logic import asked, contradiction
from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The conditions that cannot hold beside an earlier one."""
    for rule in subject.base.rules():
        for clause in rule.clauses:
            if (found := contradiction(clause)) is None:
                continue
            place, earlier = found
            here = subject.pages.conditions(rule)[clause.number][place]
            others = " and ".join(asked(clause.conditions[i]) for i in earlier)
            message = f"{asked(clause.conditions[place])} cannot hold together with {others}"
            yield subject.pages.problem("K404", message, rule.place.path, *here)
