"""What a plan is asked for: weeds, place, products, days, limits, what was done already.

Made by the command line or from a diagnosis, and read by every planning module. It holds what was
asked and works nothing out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.model import Product

LONGEST_DAYS = 550
Alive = tuple[float, float, float]
"""Share of a weed alive: lowest, expected, highest."""


@dataclass(frozen=True)
class Done:
    """An application that was really made.

    Attributes:
        date: the day, or the last one it can have been.
        product: its product; None where nobody knows it.
        causes: ids of causes that took from its kill, such as `washed-off`.
        counted: whether what it killed is already in the share told to be alive.
        interval_days: the interval that its label was told to ask, for a product nobody knows.
    """

    date: dt.date
    product: str | None
    causes: tuple[str, ...] = ()
    counted: bool = False
    interval_days: float | None = None


@dataclass(frozen=True)
class Days:
    """A run of days, both ends included."""

    first: dt.date
    last: dt.date

    def holds(self, date: dt.date) -> bool:
        """Whether the day lies in it."""
        return self.first <= date <= self.last

    def __len__(self) -> int:
        return (self.last - self.first).days + 1


@dataclass(frozen=True)
class Request:
    """A plan to make.

    Attributes:
        weeds: ids of the weeds, the most important first.
        region: id of the region.
        turf: id of the turf, None where it is not known.
        start: the first day that can be planned.
        days: length of the horizon.
        products: ids that may be used; None for all that fit.
        most: the most applications in the whole plan.
        avoid: days that do not suit.
        not_before: no application before this day, where the last one is still at work.
        mow_weekdays: weekdays of mowing (0 is Monday).
        keep_mowing: whether mowing days stand, so that days within the waits are out.
        water_weekdays: weekdays of watering, which can be skipped.
        seeding: days on which grass seed is to be sown, or was sown lately.
        done: applications already made.
        alive: share of each weed still alive at the start (low, expected, high).
        features: site features.
        homeowner: whether only products open to homeowners may be used.
        rotate: whether following one group by the same is held against a plan.
        sooner: what a year's waiting takes off a day's worth; 0 plans for the end alone. Survivors
            spread while one waits and the customer looks at them, so sooner is better.
        spot_kill: whether a product that kills the grass may be used on spots.
        labels: products by id whose label was read out otherwise than the knowledge base has it.
        at_hand: products that the customer has.
        resisted: actives that a weed was found to stand here, by weed.
        reference: the shop's own name for the call, empty without one.
    """

    weeds: tuple[str, ...]
    region: str
    start: dt.date
    turf: str | None = None
    days: int = 400
    products: tuple[str, ...] | None = None
    most: int = 6
    avoid: tuple[Days, ...] = ()
    not_before: dt.date | None = None
    mow_weekdays: frozenset[int] = frozenset()
    keep_mowing: bool = False
    water_weekdays: frozenset[int] = frozenset()
    seeding: tuple[dt.date, ...] = ()
    done: tuple[Done, ...] = ()
    alive: Mapping[str, Alive] = field(default_factory=dict)
    features: tuple[str, ...] = ()
    homeowner: bool = True
    rotate: bool = True
    sooner: float = 0.4
    spot_kill: bool = False
    labels: Mapping[str, Product] = field(default_factory=dict)
    at_hand: tuple[str, ...] = ()
    resisted: Mapping[str, frozenset[str]] = field(default_factory=dict)
    reference: str = ""

    @property
    def dates(self) -> list[dt.date]:
        """Every day of the horizon."""
        return [self.start + dt.timedelta(days=n) for n in range(min(self.days, LONGEST_DAYS))]

    @property
    def horizon(self) -> Days:
        """The horizon from its first to its last day."""
        last = self.start + dt.timedelta(days=min(self.days, LONGEST_DAYS) - 1)
        return Days(self.start, last)

    @property
    def made_since_start(self) -> int:
        """Applications made on or after the first day: steps that are behind."""
        return sum(done.date >= self.start for done in self.done)
