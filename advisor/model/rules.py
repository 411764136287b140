"""Rules with their examples, and what they show: kinds of comeback, causes, stops.

Built by `build_rules` and run by the engines. They hold what was written and decide nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.model.base import Basis, Exemption, Place
from advisor.terms import Clause, Value

CREEPING = "creeping"
HABIT_CLASSES = ("taproot", "creeping", "seed-only")
ALL_CLASSES = "all"


@dataclass(frozen=True, slots=True)
class Example:
    """Facts set by hand beside a rule: it must fire, or be held back by the facts named."""

    name: str
    given: Mapping[str, Value]
    held_by: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a kind, cause or stop."""

    id: str
    owner: str
    clauses: tuple[Clause, ...]
    because: str
    basis: Basis
    fires: tuple[Example, ...]
    quiet: tuple[Example, ...]
    place: Place
    loss: Mapping[str, float] = field(default_factory=dict)
    loss_from: str | None = None
    weight: Mapping[str, float] = field(default_factory=dict)
    trial: Trial | None = None

    @property
    def facts(self) -> frozenset[str]:
        """The facts the rule reads."""
        return frozenset(f for clause in self.clauses for f in clause.facts)


@dataclass(frozen=True, slots=True)
class Trial:
    """What a published trial found, and on which weeds."""

    on: str
    found: str


@dataclass(frozen=True, slots=True)
class Instead:
    """What an entry is in a case, and what the homeowner is told, where a clause surely holds."""

    clauses: tuple[Clause, ...]
    what: str
    customer: str


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to change: for the technician and for the homeowner.

    It is meant for where one of its clauses can hold; for everywhere, where it has none.
    """

    do: str
    customer: str
    clauses: tuple[Clause, ...] = ()


@dataclass(frozen=True, slots=True)
class Cause:
    """A reason for a failure, the kinds of comeback it can explain and the rules that show it.

    `opposes` are causes whose remedies contradict its own. Causes that name the same `change` are
    all put right by that one change.
    """

    id: str
    group: str
    title: str
    explains: tuple[str, ...]
    what: str
    customer: str
    remedies: tuple[Remedy, ...]
    rules: tuple[Rule, ...]
    opposes: tuple[str, ...] = ()
    exempt: tuple[Exemption, ...] = ()
    change: str | None = None
    instead: tuple[Instead, ...] = ()


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of comeback and the evidence for it."""

    id: str
    title: str
    what: str
    customer: str
    how_often: float
    rules: tuple[Rule, ...]
    exempt: tuple[Exemption, ...] = ()
    basis: Basis | None = None
    instead: tuple[Instead, ...] = ()


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that must not be done now, and what lifts it."""

    id: str
    title: str
    what: str
    customer: str
    until: str
    rules: tuple[Rule, ...]
    exempt: tuple[Exemption, ...] = ()
    instead: tuple[Instead, ...] = ()
