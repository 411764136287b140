"""Degree days: how much warmth a day adds, by the methods that published thresholds were made with.

Used by `growth`, which sums them up to a stage of a weed. Degrees may be F or C as long as all are
the same; totals of different methods, bases or starting days must never be compared, so a `Recipe`
keeps them together. Nothing here knows a weed or reads a file.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from advisor.terms import Span


def average(high: float, low: float, base: float, cap: float | None = None) -> float:
    """Mean of the day above the base; a day below it counts nothing.

    This is the first published reading of the formula: the day is zeroed after averaging. A cap
    limits the mean.
    """
    mean = (high + low) / 2
    return max(0.0, (mean if cap is None else min(mean, cap)) - base)


def ends_raised(high: float, low: float, base: float, cap: float | None = None) -> float:
    """Mean above the base of a day whose high and low are first brought inside the cut-offs.

    Without a cap it is the second published reading of the simple formula; with base 50 and cap
    86 F it is the modified, 86/50 method.
    """
    high, low = max(high, base), max(low, base)
    if cap is not None:
        high, low = min(high, cap), min(low, cap)
    return (high + low) / 2 - base


def single_sine(high: float, low: float, base: float, cap: float | None = None) -> float:
    """Area above the base under one sine wave from the low to the high; the cap cuts it flat.

    References:
        Rapid estimation of heat accumulation from maximum and minimum temperatures, Ecology 50,
        1969 (cited from memory); checked against Degree-days: the calculation and use of heat
        units in pest management, University of California, 1983.
    """
    above = _sine_above(high, low, base)
    return above if cap is None else above - _sine_above(high, low, cap)


def _sine_above(high: float, low: float, base: float) -> float:
    mean, half = (high + low) / 2, (high - low) / 2
    if low >= base:
        return mean - base
    if high <= base:
        return 0.0
    angle = math.asin((base - mean) / half)
    return ((mean - base) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi


Method = Callable[[float, float, float, float | None], float]
METHODS: Final[dict[str, Method]] = {
    "average": average,
    "ends-raised": ends_raised,
    "single-sine": single_sine,
}
"""The methods by the names the knowledge base uses."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """How a total is made: method, base and cap in one unit of temperature."""

    method: str
    base: float
    cap: float | None = None

    def of_day(self, high: Span, low: Span) -> Span:
        """What a day adds. Every method grows with both ends, so the ends give the ends."""
        method = METHODS[self.method]
        least = method(max(high.low, low.low), low.low, self.base, self.cap)
        most = method(high.high, min(low.high, high.high), self.base, self.cap)
        return Span(least, max(least, most))


def running(days: Iterable[tuple[Span, Span]], recipe: Recipe) -> Iterator[Span]:
    """The total after each day of highs and lows; a wide day widens all that follow."""
    low = high = 0.0
    for day_high, day_low in days:
        added = recipe.of_day(day_high, day_low)
        low, high = low + added.low, high + added.high
        yield Span(low, high)
