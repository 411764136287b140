"""The terms the rules are written in: values that may be unknown, conditions on them, clauses.

Everything between the knowledge base and the engines speaks in these types: a fact's value is a
`Span` or `Options`, a rule is one or more `Clause`, a result is a `Firing`. Nothing here reads
files, runs an engine or knows what a weed is.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias


class Truth(enum.Enum):
    """What is known of a statement: it holds, it could hold, it cannot hold."""

    SHOWN = "shown"
    OPEN = "open"
    RULED_OUT = "ruled-out"


@dataclass(frozen=True, slots=True)
class Span:
    """A number known to lie in the closed interval [low, high], in the fact's unit."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"a span needs low <= high, got {self.low} and {self.high}")

    def within(self, other: Span) -> bool:
        """Whether this span says at least as much as the other one."""
        return other.low <= self.low and self.high <= other.high


@dataclass(frozen=True, slots=True)
class Options:
    """A choice known to be one of `possible`, never empty."""

    possible: frozenset[str]

    def __post_init__(self) -> None:
        if not self.possible:
            raise ValueError("a choice needs at least one possible option")

    @classmethod
    def of(cls, *names: str) -> Options:
        """The options named."""
        return cls(frozenset(names))

    def within(self, other: Options) -> bool:
        """Whether this says at least as much as the other one."""
        return self.possible <= other.possible


Value: TypeAlias = Span | Options


@dataclass(frozen=True, slots=True)
class Condition:
    """One test on one fact.

    A choice is tested against `options` (one for `is`, several for `in`). A number is tested
    against the half-open band low <= value < high; `below` has no low, `at-least` no high.
    """

    fact: str
    options: frozenset[str] = frozenset()
    low: float | None = None
    high: float | None = None

    @property
    def on_choice(self) -> bool:
        """Whether the fact tested is a choice."""
        return bool(self.options)

    def truth(self, value: Value) -> Truth:
        """What the condition is on a value: SHOWN, OPEN or RULED_OUT."""
        if isinstance(value, Options):
            hit = value.possible & self.options
            if not hit:
                return Truth.RULED_OUT
            return Truth.SHOWN if hit == value.possible else Truth.OPEN
        if (self.high is not None and value.low >= self.high) or (
            self.low is not None and value.high < self.low
        ):
            return Truth.RULED_OUT
        certain = (self.high is None or value.high < self.high) and (
            self.low is None or value.low >= self.low
        )
        return Truth.SHOWN if certain else Truth.OPEN


@dataclass(frozen=True, slots=True)
class Clause:
    """One way for a rule to hold: all of its conditions. `any` makes several clauses of a rule."""

    rule: str
    number: int
    conditions: tuple[Condition, ...]

    @property
    def facts(self) -> frozenset[str]:
        """The facts the clause reads."""
        return frozenset(c.fact for c in self.conditions)


@dataclass(frozen=True, slots=True)
class Firing:
    """A clause found to hold: in its shown form (certainly) or its open form (possibly)."""

    rule: str
    number: int
    form: Truth
    matched: tuple[str, ...]
    """The facts that made it fire, in the order of the clause's conditions."""


def all_facts(clauses: Iterable[Clause]) -> frozenset[str]:
    """The facts that any of the clauses reads."""
    return frozenset(f for c in clauses for f in c.facts)
