"""The examples beside the rules, run on the same engines that answer calls.

`fires`, `near_misses` and `untested` ask it what each example is, and what it would be without some
of the rule's conditions. It has one engine a tier, as `tiers` builds it, and one more for all
rules with conditions taken away, for building is what costs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from advisor.engine.base import Engine
from advisor.engine.choose import build
from advisor.engine.limits import limits
from advisor.model import Example, FactDef, Rule
from advisor.terms import Clause, Condition, Firing, Truth, Value

Dropped = tuple[str, frozenset[str]]
"""A rule, and the facts whose conditions are taken away from it."""


class Trials:
    """The rules of each tier, whole and with conditions taken away."""

    def __init__(
        self, tiers: Sequence[Sequence[Rule]], facts: Mapping[str, FactDef], engine: str
    ) -> None:
        self._facts = facts
        self._whole: dict[str, Engine] = {}
        for rules in tiers:
            clauses = [clause for rule in rules for clause in rule.clauses]
            if clauses:
                built = build(clauses, engine)
                self._whole |= {rule.id: built for rule in rules}
        self._reduced = _reduced_engines([r for rules in tiers for r in rules], engine)

    def values(self, rule: Rule, example: Example) -> dict[str, Value]:
        """The facts of an example; what it does not give is unknown."""
        unknown = {name: self._facts[name].unknown for name in rule.facts}
        return unknown | dict(example.given)

    def whole(self, rule: Rule, example: Example) -> Truth:
        """What the rule is on an example."""
        return _best(self._whole[rule.id].run(self.values(rule, example)), rule.id)

    def without(self, rule: Rule, example: Example, facts: Iterable[str]) -> Truth:
        """What the rule would be on an example if it did not read these facts."""
        dropped = (rule.id, frozenset(facts))
        if any(clause.facts <= dropped[1] for clause in rule.clauses):
            return Truth.SHOWN  # nothing is left to be asked
        name = _name(dropped)
        return _best(self._reduced[name].run(self.values(rule, example)), name)


def _best(firings: Iterable[Firing], rule: str) -> Truth:
    """The best that a run says of a rule."""
    forms = {firing.form for firing in firings if firing.rule == rule}
    return next((t for t in (Truth.SHOWN, Truth.OPEN) if t in forms), Truth.RULED_OUT)


def _name(dropped: Dropped) -> str:
    return f"{dropped[0]} without {', '.join(sorted(dropped[1]))}"


def _reduced_engines(rules: Iterable[Rule], engine: str) -> dict[str, Engine]:
    clauses: dict[str, list[Clause]] = {}
    for rule in rules:
        held = {frozenset(example.held_by) for example in rule.quiet}
        for facts in held | {frozenset((fact,)) for together in held for fact in together}:
            if any(clause.facts <= facts for clause in rule.clauses):
                continue
            name = _name((rule.id, facts))
            clauses[name] = [
                Clause(name, clause.number, _rest(clause, facts)) for clause in rule.clauses
            ]
    return _engines(list(clauses.items()), engine)


def _rest(clause: Clause, facts: frozenset[str]) -> tuple[Condition, ...]:
    return tuple(c for c in clause.conditions if c.fact not in facts)


def _engines(named: list[tuple[str, list[Clause]]], engine: str) -> dict[str, Engine]:
    """One engine for all of them, or the fewest halves that fit one each."""
    clauses = [clause for _, several in named for clause in several]
    if len(named) > 1 and limits(clauses):
        half = len(named) // 2
        return _engines(named[:half], engine) | _engines(named[half:], engine)
    return dict.fromkeys((name for name, _ in named), build(clauses, engine)) if named else {}
