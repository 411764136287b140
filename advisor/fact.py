"""The facts of one call: values with their origin, for the call and for each application.

`facts.py` fills these types from the call, the label and the knowledge base; the engine reads the
values and explanations print the origins. Nothing is derived here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.terms import Options, Span, Value

TOLD = "told"
WORKED_OUT = "worked out"
WEATHER = "weather"
LABEL = "label"
KNOWLEDGE = "knowledge base"
UNKNOWN = "not told"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value comes from: how, in what words, from which lines of the call file.

    `firm` says that the caller has told all there is to tell, so that asking again is no use: what
    is left of the interval belongs to the label, the plant or the calendar.
    """

    how: str
    words: str = ""
    lines: tuple[int, ...] = ()
    firm: bool = False

    def __str__(self) -> str:
        lines = ", ".join(str(n) for n in self.lines)
        where = f" (line {lines})" if len(self.lines) == 1 else f" (lines {lines})" if lines else ""
        return f"{self.how}: {self.words}{where}" if self.words else self.how + where


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact of this call."""

    id: str
    value: Value
    origin: Origin


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two origins of a fact that cannot both be right; `kept` was kept."""

    fact: str
    kept: Fact
    other: Fact
    application: int | None = None


@dataclass(frozen=True, slots=True)
class FactSet:
    """All facts of a call. Application facts stand in one mapping for each application."""

    of_call: Mapping[str, Fact]
    of_applications: tuple[Mapping[str, Fact], ...]
    conflicts: tuple[Conflict, ...] = ()

    def at(self, application: int) -> dict[str, Fact]:
        """The facts that hold for one application: its own and the call's."""
        return {**self.of_call, **self.of_applications[application]}

    def values(self, application: int) -> dict[str, Value]:
        """The values that hold for one application."""
        return {name: fact.value for name, fact in self.at(application).items()}


def narrowed(one: Value, other: Value) -> Value | None:
    """What is known when both hold; None where they contradict each other."""
    if isinstance(one, Span) and isinstance(other, Span):
        low, high = max(one.low, other.low), min(one.high, other.high)
        return Span(low, high) if low <= high else None
    if isinstance(one, Options) and isinstance(other, Options):
        both = one.possible & other.possible
        return Options(both) if both else None
    raise TypeError("a number and a choice cannot be the same fact")


class Gathering:
    """Collects facts of one scope; a later origin may only narrow an earlier one."""

    def __init__(self, unknown: Mapping[str, Value], application: int | None = None) -> None:
        self._unknown = unknown
        self._application = application
        self._facts: dict[str, Fact] = {}
        self.conflicts: list[Conflict] = []

    def add(self, name: str, value: Value | None, origin: Origin) -> None:
        """Add what one origin says of a fact. None, or the whole range, says nothing."""
        if value is None or name not in self._unknown:
            return
        value = self._inside(name, value)
        if value is None or value == self._unknown[name]:
            return
        new = Fact(name, value, origin)
        old = self._facts.get(name)
        if old is None:
            self._facts[name] = new
            return
        both = narrowed(old.value, value)
        if both is None:
            self.conflicts.append(Conflict(name, old, new, self._application))
        elif both != old.value:
            joined = origin if both == value else _joined(old.origin, origin)
            self._facts[name] = Fact(name, both, joined)

    def contradict(self, kept: Fact, other: Fact) -> None:
        """Note that two origins of what a fact is made of cannot both be right."""
        self.conflicts.append(Conflict(kept.id, kept, other, self._application))

    def _inside(self, name: str, value: Value) -> Value | None:
        """Clip a number to its plausible range, ends included."""
        whole = self._unknown[name]
        if isinstance(value, Span) and isinstance(whole, Span):
            low = min(max(value.low, whole.low), whole.high)
            high = max(min(value.high, whole.high), whole.low)
            return Span(low, high)
        return narrowed(value, whole)

    def value(self, name: str) -> Value:
        """What is known of a fact so far."""
        return self._facts[name].value if name in self._facts else self._unknown[name]

    def span(self, name: str) -> Span:
        """What is known of a number so far."""
        value = self.value(name)
        assert isinstance(value, Span)
        return value

    def whole(self, name: str) -> Span:
        """The plausible range of a number, whatever is known of it."""
        value = self._unknown[name]
        assert isinstance(value, Span)
        return value

    def origin(self, name: str) -> Origin:
        """Where a fact comes from so far."""
        return self._facts[name].origin if name in self._facts else Origin(UNKNOWN)

    def known(self, name: str) -> bool:
        """Whether anything is known of a fact."""
        return name in self._facts

    def finish(self) -> dict[str, Fact]:
        """All facts of the scope, those nobody told of included."""
        missing = {
            name: Fact(name, value, Origin(UNKNOWN))
            for name, value in self._unknown.items()
            if name not in self._facts
        }
        return {**self._facts, **missing}


def _joined(one: Origin, other: Origin) -> Origin:
    words = "; ".join(w for w in (one.words, other.words) if w)
    lines = tuple(dict.fromkeys(one.lines + other.lines))
    return Origin(WORKED_OUT, words, lines, one.firm or other.firm)
