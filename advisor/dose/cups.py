"""How an amount measures on the cup, spoon or scale at hand: whole marks, and what that does.

`mixing` asks it for every product in every load. A measure is never rounded up over the label;
where no whole number of marks will do, it says so and names marks that would.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.exact import Pair, single
from advisor.units import Amount

WITHIN, SHORT, TOO_LITTLE, NO_MARK = "within", "short", "too-little", "no-mark"
"""Within the label; a little below its lowest; far below; one mark is already over the label."""

GOOD_ENOUGH = Fraction(1, 20)
"""A cup is worth naming where it rounds by no more than this."""


@dataclass(frozen=True, slots=True)
class Cup:
    """A cup, spoon, syringe or scale: a mark every so much."""

    mark: Fraction
    matter: str
    said: Amount


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount in whole marks: how many, what they hold, how far off, and where that lands."""

    wanted: Fraction
    least: Fraction
    mark: Fraction
    marks: int
    verdict: str

    @property
    def measured(self) -> Fraction:
        """What the marks hold."""
        return self.mark * self.marks

    @property
    def error(self) -> Fraction:
        """How far that is off, as a share of what was wanted: below zero is too little."""
        return self.measured / self.wanted - 1

    @property
    def short(self) -> Fraction:
        """How far below the label's least it is, as a share of that; zero where it is not."""
        return max(Fraction(0), 1 - self.measured / self.least)


def cup(said: Amount) -> Cup:
    """The cup that somebody has, by what lies between two of its marks."""
    return Cup(single(said), said.dimension, said)


def reading(wanted: Fraction, limits: Pair, mark: Fraction, short_at_most: Fraction) -> Reading:
    """An amount in whole marks: the nearest number of them that stays within the label.

    Args:
        wanted: the amount.
        limits: the least and the most that the label allows in its place.
        mark: what one mark holds.
        short_at_most: how far below the least is still a good mix, as a share.
    """
    nearest = math.floor(wanted / mark + Fraction(1, 2))
    least = max(1, math.ceil(limits[0] / mark))
    most = math.floor(limits[1] / mark)
    if least <= most:
        return Reading(wanted, limits[0], mark, min(max(nearest, least), most), WITHIN)
    if most < 1:
        return Reading(wanted, limits[0], mark, 0, NO_MARK)
    floor = limits[0] * (1 - short_at_most)
    return Reading(wanted, limits[0], mark, most, SHORT if most * mark >= floor else TOO_LITTLE)


def usual(marks: Iterable[Amount], matter: str) -> list[Cup]:
    """The usual cups for a liquid or scales for a dry product, coarsest first."""
    found = [cup(mark) for mark in marks if mark.dimension == matter]
    return sorted(found, key=lambda c: -c.mark)


def finer(
    cups: Iterable[Cup], doses: Iterable[tuple[Fraction, Pair]], short_at_most: Fraction
) -> tuple[Cup, ...]:
    """Those of the cups that measure every dose within the label, nearly exactly."""
    wanted = list(doses)
    return tuple(
        each
        for each in cups
        if all(
            r.verdict in (WITHIN, SHORT) and abs(r.error) <= GOOD_ENOUGH
            for r in (reading(dose, limits, each.mark, short_at_most) for dose, limits in wanted)
        )
    )
