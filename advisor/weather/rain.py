"""When it rained: amounts in periods, the dry time on either side of a moment, sums.

`record` makes the periods of a file, with what is missing as periods that may hold any amount;
`spraying` asks how long it stayed dry. A shower counts as water once enough of it falls within a
few hours. Nothing here knows what was told or what the rules make of it.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from advisor.terms import Span

LEAST_IN: Final = 0.04
"""Less than this wets a leaf and runs no spray off; trials saw losses from 1 mm (0.04 in)."""
SPELL_H: Final = 6.0
"""Showers within this time count together."""


@dataclass(frozen=True, slots=True)
class Rain:
    """An amount (in) that fell at some time from start to end, both in hours; where from."""

    start: float
    end: float
    amount: Span
    line: int = 0


@dataclass(frozen=True, slots=True)
class Dry:
    """How long it stayed dry (h), and the rain that ended it for certain, if any did."""

    hours: Span
    ended: Rain | None


def dry_after(rains: Sequence[Rain], first: float, last: float, least: float = LEAST_IN) -> Dry:
    """Hours from a moment, known to lie from first to last, to the first rain after it.

    Args:
        rains: periods in the order of time.
        first: the earliest that the moment can be.
        last: the latest.
        least: inches that count as rain.
    """
    low, high, ended = math.inf, math.inf, None
    for i in range(bisect_right(rains, first, key=_end), len(rains)):
        rain = rains[i]
        if rain.start - last >= high:
            break
        if rain.amount.high <= 0:
            continue
        if rain.start - last < low and _most(rains, i, least) >= least:
            low = max(0.0, rain.start - last)
        if rain.start >= last:
            spell = _spell(rains, i, least)
            if spell is not None and spell.end - first < high:
                high, ended = spell.end - first, spell
    return Dry(Span(min(low, high), high), ended)


def dry_before(rains: Sequence[Rain], first: float, last: float, least: float = LEAST_IN) -> Dry:
    """Hours from the last rain before a moment to the moment: the same with time turned round."""
    return dry_after(turned(rains), -last, -first, least)


def turned(rains: Sequence[Rain]) -> tuple[Rain, ...]:
    """The periods with time turned round."""
    return tuple(Rain(-r.end, -r.start, r.amount, r.line) for r in reversed(rains))


def _end(rain: Rain) -> float:
    return rain.end


def _most(rains: Sequence[Rain], i: int, enough: float) -> float:
    """The most that can have fallen in the spell that begins with a period."""
    most = 0.0
    for n in range(i, len(rains)):
        if rains[n].start - rains[i].end >= SPELL_H or most >= enough:
            break
        most += rains[n].amount.high
    return most


def _spell(rains: Sequence[Rain], i: int, enough: float) -> Rain | None:
    """The spell that begins with a period, up to where enough has fallen for certain, if it has."""
    start, fallen = rains[i].start, 0.0
    for n in range(i, len(rains)):
        end = rains[n].end
        if n > i and end - start > SPELL_H:
            return None
        fallen += rains[n].amount.low
        if fallen >= enough:
            return Rain(start, end, Span(fallen, fallen), rains[i].line)
    return None


def total(rains: Sequence[Rain], start: Span, end: Span) -> Span:
    """What fell from a time to a time, each known to lie in a span."""
    low = sum(r.amount.low for r in rains if r.start >= start.high and r.end <= end.low)
    high = sum(r.amount.high for r in rains if r.end > start.low and r.start < end.high)
    return Span(low, high)
