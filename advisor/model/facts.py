"""What a fact is: its type, how far it can plausibly reach, how to ask, how often it is what.

Built from `facts.yaml` and read wherever rules, questions or chances are. It never holds what a
caller said; that is `advisor.fact`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from advisor.model.base import Basis
from advisor.terms import Condition, Options, Span, Truth, Value


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice: how it reads, how often it is true, its habit class if any."""

    says: str
    how_often: float
    habit_class: str | None = None


@dataclass(frozen=True, slots=True)
class Margin:
    """How a margin is said below zero and from zero up, each with an {amount}."""

    under: str
    over: str


@dataclass(frozen=True, slots=True)
class FactDef:
    """A fact the rules may read: its type, plausible range, question and base rates.

    `change` says who can change it: the sprayer, only another `time`, or `nobody`.
    """

    id: str
    says: str
    scope: str
    comes: str
    ask: str
    unit: str = ""
    range: Span | None = None
    bands: tuple[tuple[float, float, float], ...] = ()
    options: Mapping[str, Option] = field(default_factory=dict)
    basis: Basis | None = None
    margin: Margin | None = None
    change: str = "sprayer"

    @property
    def is_number(self) -> bool:
        """Whether the fact is a number, else a choice."""
        return self.range is not None

    @property
    def unknown(self) -> Value:
        """The value when nothing was told: the whole range, or all options."""
        return self.range if self.range is not None else Options(frozenset(self.options))

    def chance(self, condition: Condition, value: Value) -> float:
        """How likely the condition holds, given what is known of the fact.

        The base rates of facts.yaml are narrowed to the value: number bands are taken as uniform
        inside, options are weighed by how often each is true.
        """
        truth = condition.truth(value)
        if truth is not Truth.OPEN:
            return 1.0 if truth is Truth.SHOWN else 0.0
        if isinstance(value, Options):
            weights = {o: self.options[o].how_often for o in value.possible}
            whole = sum(weights.values())
            hit = sum(w for o, w in weights.items() if o in condition.options)
            return hit / whole if whole > 0 else len(condition.options) / len(weights)
        low = value.low if condition.low is None else max(condition.low, value.low)
        high = value.high if condition.high is None else min(condition.high, value.high)
        whole = self.mass(value.low, value.high)
        if whole <= 0:
            return (high - low) / (value.high - value.low)
        return min(1.0, self.mass(low, high) / whole)

    def mass(self, low: float, high: float) -> float:
        """How often the fact lies between two numbers."""
        total = 0.0
        for start, end, share in self.bands:
            inside = min(high, end) - max(low, start)
            if inside > 0:
                total += share * inside / (end - start)
        return total


@dataclass(frozen=True, slots=True)
class Bound:
    """What always holds between two numbers: signs[0] * facts[0] + signs[1] * facts[1] >= least."""

    facts: tuple[str, str]
    signs: tuple[int, int]
    least: float
    because: str


@dataclass(frozen=True, slots=True)
class Implication:
    """What always holds between two facts: where one condition holds, so does the other."""

    when: Condition
    then: Condition
    because: str

    @property
    def facts(self) -> tuple[str, str]:
        """The facts it binds to each other."""
        return self.when.fact, self.then.fact


Relation: TypeAlias = Bound | Implication
