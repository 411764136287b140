"""Typed access to one checked document, with the place of whatever is wrong in it.

The builders of the knowledge base and of the call read every amount, day, option and reference
through a `Reader`, so that each mistake is reported where it stands and reading goes on. It knows
no file format: what keys mean is the builders' business.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import Any

from advisor.model import Basis, DayOfYear, Exemption, FactDef, Place, Stretch
from advisor.names import did_you_mean, nearest
from advisor.problem import Problem
from advisor.terms import Options, Span, Value
from advisor.units import Amount, UnitError, parse_amount, parse_value
from advisor.yamlfile import Document

Key = str | int

_NOTHING = Amount(Fraction(0), Fraction(0), "count", "", "")
_UNIT_PLURALS = {"h": "hours", "F": "degrees F", "F-degrees": "degrees F", "in": "inches"}


class Reader:
    """Reads one document that has passed its schema, and notes what is wrong with the values."""

    def __init__(
        self,
        document: Document,
        problems: list[Problem],
        *,
        ids: Mapping[str, Collection[str]] | None = None,
        retired: Mapping[str, str] | None = None,
    ) -> None:
        self.document = document
        self._data: Any = document.data
        self.problems = problems
        self._ids = ids or {}
        self._retired = retired or {}

    def __getitem__(self, key: str) -> Any:
        return self._data[key]

    def get(self, *keys: Key) -> Any:
        """The raw value at a path, None where any part of it is missing."""
        here: Any = self._data
        for key in keys:
            if isinstance(here, Mapping):
                here = here.get(key)
            elif isinstance(here, list) and isinstance(key, int) and key < len(here):
                here = here[key]
            else:
                return None
        return here

    def place(self, *keys: Key) -> Place:
        """Where the value at a path stands."""
        line, column = self.document.value_at(*keys)
        return Place(self.document.path, line, column)

    def problem(
        self, code: str, message: str, *keys: Key, hint: str = "", at_key: bool = False
    ) -> None:
        """Note a problem at a path."""
        at = self.document.key_at if at_key else self.document.value_at
        line, column = at(*keys)
        self.problems.append(Problem(self.document.path, line, column, code, message, hint))

    # ---- values ----------------------------------------------------------------------------

    def amount(self, *keys: Key, dimension: str | tuple[str, ...]) -> Amount:
        """An amount with a unit of the dimension."""
        try:
            return parse_amount(str(self.get(*keys)), dimension)
        except UnitError as error:
            self.problem("K306", error.message, *keys, hint=error.hint)
            return _NOTHING

    def optional_amount(self, *keys: Key, dimension: str | tuple[str, ...]) -> Amount | None:
        """An amount, or None where the file says null or nothing."""
        return None if self.get(*keys) is None else self.amount(*keys, dimension=dimension)

    def number(self, *keys: Key, unit: str) -> float:
        """One number of a unit (the upper end where a range is written)."""
        dimension = {"h": "time", "days": "time", "years": "time"}[unit]
        amount = self.amount(*keys, dimension=dimension)
        return amount.to(unit).high if amount is not _NOTHING else 0.0

    def span(self, *keys: Key) -> Span:
        """A pair of plain numbers [low, high]."""
        low, high = self.get(*keys)
        if low > high:
            self.problem("K307", f"the range [{low}, {high}] runs backwards", *keys)
            low, high = high, low
        return Span(float(low), float(high))

    def day(self, *keys: Key) -> DayOfYear:
        """A day of the year, MM-DD."""
        text = str(self.get(*keys))
        try:
            date = dt.datetime.strptime(f"2024-{text}", "%Y-%m-%d").date()
        except ValueError:
            self.problem("K308", f"`{text}` is no day of the year", *keys, hint="written MM-DD")
            return DayOfYear(1, 1)
        return DayOfYear.of(date)

    def stretch(self, *keys: Key) -> Stretch:
        """A part of the year, {from: MM-DD, to: MM-DD}."""
        return Stretch(self.day(*keys, "from"), self.day(*keys, "to"))

    def basis(self, *keys: Key) -> Basis:
        """Where a figure comes from; a source must be listed in sources.yaml."""
        raw = self.get(*keys)
        if isinstance(raw, str):
            return Basis(raw)
        self.reference("source", *keys, "source")
        return Basis("source", raw["source"], raw.get("note"))

    def exemptions(self) -> tuple[Exemption, ...]:
        """What the file says is meant to be so, whatever a check makes of it."""
        return tuple(
            Exemption(raw["code"], frozenset(raw["about"]), raw["because"], self.place("exempt", i))
            for i, raw in enumerate(self.get("exempt") or ())
        )

    # ---- names -----------------------------------------------------------------------------

    def ids(self, kind: str) -> Collection[str]:
        """All ids of a kind."""
        return self._ids.get(kind, ())

    def reference(self, kind: str, *keys: Key, code: str = "K201") -> str:
        """An id of another entry of a kind; an unknown one is a problem."""
        name = str(self.get(*keys))
        known = self._ids.get(kind, ())
        if name not in known:
            if name in self._retired:
                hint = f"it was retired; use {self._retired[name]}"
            else:
                hint = did_you_mean(name, known)
            self.problem(code, f"there is no {kind} `{name}`", *keys, hint=hint)
        return name

    def references(self, kind: str, *keys: Key) -> tuple[str, ...]:
        """A list of ids of a kind."""
        found = self.get(*keys) or []
        return tuple(self.reference(kind, *keys, i) for i in range(len(found)))

    # ---- facts -----------------------------------------------------------------------------

    def fact_value(self, fact: FactDef, *keys: Key, codes: tuple[str, str]) -> Value:
        """A value of a fact in the author's or the caller's words, inside its plausible range.

        Args:
            fact: the fact.
            keys: where the value stands.
            codes: the codes for an unreadable value and for an implausible one.
        """
        raw = self.get(*keys)
        if raw == "unknown":
            return fact.unknown
        if not fact.is_number:
            return self._choice(fact, raw, keys, codes[0])
        assert fact.range is not None
        try:
            span = parse_value(str(raw), fact.unit, limits=(fact.range.low, fact.range.high))
        except UnitError as error:
            self.problem(codes[0], f"{fact.id}: {error.message}", *keys, hint=error.hint)
            return fact.range
        if not span.within(fact.range):
            unit = _UNIT_PLURALS.get(fact.unit, fact.unit)
            limits = f"{fact.range.low:g} to {fact.range.high:g} {unit}".rstrip()
            self.problem(codes[1], f"{fact.id}: {raw} is not plausible", *keys, hint=limits)
            return fact.range
        return span

    def _choice(self, fact: FactDef, raw: Any, keys: tuple[Key, ...], code: str) -> Value:
        names = [str(n) for n in raw] if isinstance(raw, list) else [str(raw)]
        good = [n for n in names if n in fact.options]
        for n in names:
            if n not in fact.options:
                close = nearest(n, fact.options)
                hint = (
                    f"nearest valid name: {close}"
                    if close
                    else "one of: " + ", ".join([*fact.options, "unknown"])
                )
                self.problem(code, f"{fact.id} cannot be `{n}`", *keys, hint=hint)
        return Options(frozenset(good)) if good else fact.unknown
