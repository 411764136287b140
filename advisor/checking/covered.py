"""K412: no alternative of a rule is already covered by another one.

What `any` and `all` multiply out to are ways for the rule to hold. One that holds only where
another does adds nothing, and the author most likely meant something else.

PASS:
    # stops/windy.yaml
    rules:
      - id: wind
        when:
          any:
            - {fact: wind_now, at-least: 10}
            - {all: [{fact: site.near-vegetables, is: yes}, {fact: wind_now, at-least: 8}]}
        because: "It blows at {wind_now}."
        from: common-practice
        fires:
          - {name: branches in motion, given: {wind_now: 15 mph}}
        quiet:
          - name: nothing near that could be harmed
            given: {wind_now: 9 mph, site.near-vegetables: no}
            held_by: site.near-vegetables
          - {name: a light breeze, given: {wind_now: 5 mph}, held_by: wind_now}

FAIL:
    when:
      any:
        - {fact: wind_now, at-least: 8}
        - {all: [{fact: site.near-vegetables, is: yes}, {fact: wind_now, at-least: 10}]}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.logic import asked, covering
from advisor.checking.subject import Subject
from advisor.problem import Problem
from advisor.terms import Clause


def check(subject: Subject) -> Iterator[Problem]:
    """The alternatives that another one covers; of two alike, the later one."""
    for rule in subject.base.rules():
        for number, wide in covering(rule.clauses, subject.base.facts).items():
            places = subject.pages.conditions(rule)
            here = places[number]
            own = next((keys for keys in here if keys not in places[wide.number]), here[0])
            narrow = _words(rule.clauses[number])
            message = f"whenever {narrow}, the rule already holds as {_words(wide)}"
            yield subject.pages.problem("K412", message, rule.place.path, *own)


def _words(clause: Clause) -> str:
    return " and ".join(asked(condition) for condition in clause.conditions)
