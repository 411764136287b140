"""K406: every fact of facts.yaml is read by a rule that can hold, or decides a wording.

A fact that no rule reads, or only rules that can never hold, is asked for, gathered and explained
to no end. The facts that exist because a site feature, a kind or a cause does may go unread.

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
    when: {all: [{fact: site.near-vegetables, is: yes}]}
    because: Vegetables stand close by.
    fires:
      - {name: beside tomatoes, given: {site.near-vegetables: yes}}
    quiet:
      - {name: no beds, given: {site.near-vegetables: no}, held_by: site.near-vegetables}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.model import Cause
from advisor.problem import Problem

AUTOMATIC = ("site.", "kind.", "cause.")


def check(subject: Subject) -> Iterator[Problem]:
    """The facts that no rule reads."""
    rules = tuple(subject.base.rules())
    worded = set(_of_wordings(subject))
    named = {fact for rule in rules for fact in rule.facts}
    read = {fact for rule in rules if rule.id not in subject.impossible for fact in rule.facts}
    read |= worded
    for name in subject.base.facts:
        if name not in read and not name.startswith(AUTOMATIC):
            message = f"no rule reads {name}"
            if name in named:
                message += " but such as can never hold"
            path = str(subject.folder / "facts.yaml")
            hint = "read it in a rule, or take it out of the file"
            keys = ("facts", name)
            yield subject.pages.problem("K406", message, path, *keys, hint=hint, at_key=True)


def _of_wordings(subject: Subject) -> Iterator[str]:
    """The facts that decide which wording of an entry fits."""
    for _, owner in subject.owners:
        parts = [one.clauses for one in owner.instead]
        if isinstance(owner, Cause):
            parts += [remedy.clauses for remedy in owner.remedies]
        yield from (fact for clauses in parts for clause in clauses for fact in clause.facts)
