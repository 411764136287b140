"""Exact numbers in fixed units, so that everything in `dose` multiplies and divides.

Every module of `dose` reads its amounts through `single` and `both` and hands its results on as
`Measure`. Nothing here knows a product or rounds anything.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from advisor.units import Amount, UnitError, parse_amount, scale

Pair: TypeAlias = tuple[Fraction, Fraction]
"""The low and the high end."""

AREA = "1000 ft2"
SPRAY = "gal"
OUTPUT = "gal/1000 ft2"
MATTER = {"volume": "fl oz", "mass": "oz"}
"""What a product is measured in: a liquid by volume, a dry product by weight."""

UNITS = {
    "volume": "fl oz",
    "mass": "oz",
    "area": AREA,
    "volume-per-area": "fl oz/1000 ft2",
    "mass-per-area": "oz/1000 ft2",
    "volume-per-volume": "fl oz/gal",
    "mass-per-volume": "oz/gal",
}
"""The units in which amounts of product are set against each other, so that they divide."""

PRINTED = Fraction(1, 100)
"""Labels and pages round; two figures that differ by no more than this share may be one figure.

A rate read off in another unit is off by that much: 16 fl oz an acre is 0.367, not 0.37 fl oz per
1,000 ft2. What lies beyond a limit by less than this is taken as the limit itself, so that nothing
beyond a label is ever worked with.
"""


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity known to lie in [low, high], in one of the fixed units."""

    low: Fraction
    high: Fraction
    unit: str

    def exact(self, unit: str) -> Pair:
        """Both ends in another unit of the same dimension."""
        factor = scale(self.unit, unit)
        return self.low * factor, self.high * factor


def measure(value: Fraction, unit: str) -> Measure:
    """One exact quantity."""
    return Measure(value, value, unit)


def ratio(value: Fraction) -> Measure:
    """A plain ratio, such as how many times the label's rate."""
    return Measure(value, value, "x")


def both(amount: Amount, unit: str | None = None) -> Pair:
    """Both ends of an amount, in a unit or in the fixed unit of its dimension."""
    return amount.exact(unit or UNITS[amount.dimension])


def single(amount: Amount, unit: str | None = None) -> Fraction:
    """The one number of an amount that has to be exact and above zero."""
    low, high = both(amount, unit)
    if low != high:
        raise UnitError(f"`{amount.text}` is not one number", "Measure it, or write one number.")
    if low <= 0:
        raise UnitError(f"`{amount.text}` is nothing", "Write an amount above zero.")
    return low


def parse_area(text: str) -> Fraction:
    """An area in 1,000 ft2, written whole or as two sides: `3500 ft2`, `50 x 70 ft`."""
    sides = re.fullmatch(r"\s*(.+?)\s*(?:x|×|\bby\b)\s*(.+?)\s*", text)
    if sides is None:
        return single(parse_amount(text, "area"))
    second = parse_amount(sides[2], "length")
    bare = re.fullmatch(r"[0-9., /½¼¾-]+", sides[1])
    first = parse_amount(f"{sides[1]} {second.unit}" if bare else sides[1], "length")
    return single(first, "ft") * single(second, "ft") / 1000


def inside(value: Fraction, limits: Pair) -> tuple[int, Fraction]:
    """Where a value lies (-1 below, 0 inside, 1 above), and the value, moved onto a limit it meets.

    See `PRINTED` for what meets a limit.
    """
    low, high = limits
    if value < low:
        return (0, low) if value >= low * (1 - PRINTED) else (-1, value)
    if value > high:
        return (0, high) if value <= high * (1 + PRINTED) else (1, value)
    return 0, value
