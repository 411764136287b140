"""How much of the year's limit a mix uses up: applications, and product per area.

`mixing` refuses what certainly exceeds the label and remarks on what may. What was used before is
known as a count of applications or as an amount; from the one the other is bounded, never guessed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.asking import Ask, rate_dimension
from advisor.dose.exact import PRINTED, UNITS, Measure, Pair, both, measure
from advisor.dose.remark import Remark, remark
from advisor.model import Product


@dataclass(frozen=True, slots=True)
class Year:
    """The yearly limits and this mix. Amounts are product per 1,000 ft2; None is not known."""

    product: Product
    per_year: int
    times: tuple[int, int]
    limit: Fraction | None
    before: Pair
    now: Fraction | None
    unit: str

    @property
    def after(self) -> Pair | None:
        """What the year comes to with this mix; None where that is not known."""
        if self.now is None:
            return None
        return self.before[0] + self.now, self.before[1] + self.now

    @property
    def left(self) -> Fraction | None:
        """The most that the limit leaves for this mix."""
        if self.limit is None:
            return None
        return max(Fraction(0), self.limit - self.before[0])


def year_of(ask: Ask, now: Fraction | None) -> Year:
    """The year of the main product.

    Args:
        ask: what is asked for.
        now: what this mix puts on 1,000 ft2; None where spots are sprayed and nobody knows how wet.
    """
    product = ask.main.product
    unit = UNITS[rate_dimension(product, spot=False)]
    rates = [both(rate.amount, unit) for rate in product.rates]
    least, most = min(low for low, _ in rates), max(high for _, high in rates)
    used = ask.used
    before: Pair = (Fraction(0), Fraction(0))
    times: tuple[int, int] = (0, 0)
    if used.times is not None:
        times, before = (used.times, used.times), (used.times * least, used.times * most)
    elif used.amount is not None:
        before = used.amount
        fewest = math.ceil(before[0] / (most * (1 + PRINTED)))
        times = (fewest, max(fewest, math.floor(before[1] / least)))
    limit = None if product.yearly_amount is None else both(product.yearly_amount, unit)[1]
    return Year(product, product.per_year, times, limit, before, now, unit)


def over(year: Year) -> Iterator[Remark]:
    """Why the label forbids the mix this year: the count is used up, or the amount."""
    name = year.product.name
    if year.times[0] + 1 > year.per_year:
        yield remark("refuse-year-count", product=name, count=_count(year.per_year))
    if year.limit is None or year.after is None or year.left is None:
        return
    if year.after[0] > year.limit * (1 + PRINTED):
        yield remark(
            "refuse-year-amount",
            product=name,
            limit=measure(year.limit, year.unit),
            after=measure(year.after[0], year.unit),
            left=measure(year.left, year.unit),
        )


def maybe_over(year: Year) -> Iterator[Remark]:
    """What may be over the label, where it is not known for certain what was used before."""
    name = year.product.name
    if year.times[0] < year.per_year <= year.times[1]:
        yield remark("note-year-count-unsure", product=name, count=_count(year.per_year))
    if year.limit is None or year.after is None:
        return
    if year.after[0] <= year.limit * (1 + PRINTED) < year.after[1]:
        yield remark(
            "note-year-amount-unsure",
            product=name,
            limit=measure(year.limit, year.unit),
            after=Measure(*year.after, year.unit),
        )


def _count(number: int) -> Measure:
    return measure(Fraction(number), "count")
