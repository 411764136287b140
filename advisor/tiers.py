"""Runs the three tiers of rules on the facts of a call, through whichever engine answers.

Between `facts` and `diagnosis`: kinds first, then causes for each application with the kinds as
facts, then stops with the causes as facts. It reports what each rule is and why; what that adds up
to is decided by `diagnosis`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from advisor.engine.base import Engine
from advisor.engine.choose import build
from advisor.fact import WORKED_OUT, Fact, Origin
from advisor.model import FactDef, KnowledgeBase, Rule
from advisor.terms import Clause, Firing, Options, Truth, Value


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule is on the facts of a call, or of one application of it.

    `clause` is the alternative that decides (of several open ones, the likeliest). `open_facts`
    are the facts it still hangs on, `chance` how likely it is to hold.
    """

    rule: Rule
    truth: Truth
    application: int | None
    clause: Clause
    chance: float
    open_facts: tuple[str, ...]
    open_clauses: tuple[Clause, ...] = ()


class Tiers:
    """The rules of a knowledge base in three engines, built once."""

    def __init__(self, base: KnowledgeBase, engine: str = "auto") -> None:
        self.base = base
        tiers = (base.kinds, base.causes, base.stops)
        rules = [tuple(r for owner in tier.values() for r in owner.rules) for tier in tiers]
        self._rules = [{rule.id: rule for rule in tier} for tier in rules]
        self._of_call = {
            rule.id
            for tier in rules
            for rule in tier
            if all(base.facts[name].scope == "call" for name in rule.facts)
        }
        self._engines: list[Engine] = [
            build([c for rule in tier for c in rule.clauses], engine) for tier in rules
        ]

    @property
    def engine(self) -> str:
        """Name and version of the engine that answers."""
        return f"{self._engines[0].name} {self._engines[0].version}"

    def kinds(self, values: Mapping[str, Value]) -> list[Finding]:
        """The rules on kinds of comeback that hold or could hold."""
        return self._run(0, values, None)

    def causes(self, values: Mapping[str, Value], application: int) -> list[Finding]:
        """The rules on causes that hold or could hold at one application.

        A rule that reads only facts of the call is reported with the first application and belongs
        to none.
        """
        found = self._run(1, values, application)
        return [
            replace(f, application=None) if f.rule.id in self._of_call else f
            for f in found
            if application == 0 or f.rule.id not in self._of_call
        ]

    def stops(self, values: Mapping[str, Value]) -> list[Finding]:
        """The rules on stops that hold or could hold."""
        return self._run(2, values, None)

    def _run(
        self, tier: int, values: Mapping[str, Value], application: int | None
    ) -> list[Finding]:
        by_rule: dict[str, list[Firing]] = {}
        for firing in self._engines[tier].run(values):
            by_rule.setdefault(firing.rule, []).append(firing)
        rules = self._rules[tier]
        return [
            finding_of(rules[name], by_rule[name], values, application, self.base.facts)
            for name in rules
            if name in by_rule
        ]


def finding_of(
    rule: Rule,
    firings: Iterable[Firing],
    values: Mapping[str, Value],
    application: int | None,
    facts: Mapping[str, FactDef],
) -> Finding:
    """What a rule is, given which of its clauses fired in which form."""
    shown = sorted(f.number for f in firings if f.form is Truth.SHOWN)
    if shown:
        return Finding(rule, Truth.SHOWN, application, rule.clauses[shown[0]], 1.0, ())
    clauses = tuple(rule.clauses[n] for n in sorted({f.number for f in firings}))
    return open_finding(rule, clauses, values, application, facts)


def open_finding(
    rule: Rule,
    clauses: tuple[Clause, ...],
    values: Mapping[str, Value],
    application: int | None,
    facts: Mapping[str, FactDef],
) -> Finding:
    """A rule some of whose clauses could hold, with the chance that one of them does."""
    chances = [clause_chance(clause, values, facts) for clause in clauses]
    likeliest = max(range(len(clauses)), key=lambda i: (chances[i], -i))
    clause = clauses[likeliest]
    hanging = tuple(
        dict.fromkeys(c.fact for c in clause.conditions if c.truth(values[c.fact]) is Truth.OPEN)
    )
    chance = 1 - math.prod(1 - c for c in chances)
    return Finding(rule, Truth.OPEN, application, clause, chance, hanging, clauses)


def clause_chance(
    clause: Clause, values: Mapping[str, Value], facts: Mapping[str, FactDef]
) -> float:
    """How likely all conditions hold, taken as independent."""
    return math.prod(facts[c.fact].chance(c, values[c.fact]) for c in clause.conditions)


def as_fact(name: str, truth: Truth) -> Fact:
    """A conclusion of one tier as a fact of the next: yes, no, or either."""
    possible = {
        Truth.SHOWN: Options.of("yes"),
        Truth.OPEN: Options.of("yes", "no"),
        Truth.RULED_OUT: Options.of("no"),
    }[truth]
    return Fact(name, possible, Origin(WORKED_OUT, f"{name} is {truth.value}"))
