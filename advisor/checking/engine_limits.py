"""K501: the rules of each tier fit the rules engines.

Past these limits an engine hangs, crashes or answers wrongly rather than say so; the figures and
what they follow from are in `engine/limits.py`.

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
    when:
      all:
        - {fact: wind_now, at-least: 10}
        - {fact: wind_now, at-least: 9}
        - {fact: wind_now, at-least: 8}
        - {fact: wind_now, at-least: 7}
        - {fact: wind_now, at-least: 6}
        - {fact: wind_now, at-least: 5}
        - {fact: wind_now, at-least: 4}
        - {fact: wind_now, at-least: 3}
        - {fact: wind_now, at-least: 2}
        - {fact: wind_now, below: 30}
        - {fact: wind_now, below: 29}
        - {fact: wind_now, below: 28}
        - {fact: wind_now, below: 27}
        - {fact: wind_now, below: 26}
        - {fact: wind_now, below: 25}
        - {fact: wind_now, below: 24}
        - {fact: wind_now, below: 23}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.engine.limits import Limit
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """What the engines cannot take, at the rule or the fact to blame."""
    rules = {rule.id: rule for rule in subject.base.rules()}
    for name, found in subject.over_limits.items():
        for limit in found:
            if limit.rule is not None:
                place = rules[limit.rule].place
                yield Problem(place.path, place.line, place.column, "K501", limit.says)
            else:
                yield _of_tier(subject, name, limit)


def _of_tier(subject: Subject, name: str, limit: Limit) -> Problem:
    message = f"{name}: {limit.says}"
    facts = subject.pages.page(str(subject.folder / "facts.yaml"))
    if limit.fact is not None and ("facts", limit.fact) in facts.marks:
        line, column = facts.key_at("facts", limit.fact)
        return Problem(facts.path, line, column, "K501", message)
    return Problem(str(subject.folder / name), 0, 0, "K501", message)
