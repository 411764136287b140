"""What a plan is asked for: weeds, place, products, days, limits, what was done already.

Made by the command line or from a diagnosis, and read by every planning module.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

LONGEST_DAYS = 550


@dataclass(frozen=True)
class Done:
    """An application that was really made, or is meant to be made, on a day."""

    date: dt.date
    product: str


@dataclass(frozen=True)
class Days:
    """A run of days, both ends included."""

    first: dt.date
    last: dt.date

    def holds(self, date: dt.date) -> bool:
        """Whether the day lies in it."""
        return self.first <= date <= self.last


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
    """

    weeds: tuple[str, ...]
    region: str
    start: dt.date
    turf: str | None = None
    days: int = 400
    products: tuple[str, ...] | None = None
    most: int = 6
    avoid: tuple[Days, ...] = ()
    mow_weekdays: frozenset[int] = frozenset()
    keep_mowing: bool = False
    water_weekdays: frozenset[int] = frozenset()
    seeding: tuple[dt.date, ...] = ()
    done: tuple[Done, ...] = ()
    alive: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    features: tuple[str, ...] = ()
    homeowner: bool = True
    rotate: bool = True
    sooner: float = 0.35
    spot_kill: bool = False

    @property
    def dates(self) -> list[dt.date]:
        """Every day of the horizon."""
        return [self.start + dt.timedelta(days=n) for n in range(min(self.days, LONGEST_DAYS))]
