"""Where a lawn is and what grows on it: site features, lawn grasses, regions.

Built from `sites.yaml`, `turf.yaml` and `regions/`. It holds the usual year, never a weather file.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from advisor.model.base import Basis
from advisor.model.calendar import DayOfYear, Stretch
from advisor.terms import Span


@dataclass(frozen=True, slots=True)
class Site:
    """A feature of a lawn that matters to weeds or to spraying."""

    id: str
    name: str
    says: str
    near_water: bool
    ask: str
    how_often: float
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class Turf:
    """A lawn grass, or a group of them."""

    id: str
    name: str
    season: str
    mowing_height_in: Span
    members: tuple[str, ...]
    seeding: tuple[Stretch, ...] = ()
    basis: Basis | None = None
    seeding_bases: tuple[Basis, ...] = ()


@dataclass(frozen=True, slots=True)
class Month:
    """A month as it usually is: high and low (F), spread of the daily high, rain."""

    high: float
    low: float
    spread: float
    rain_days: float
    rain_in: float


@dataclass(frozen=True, slots=True)
class Region:
    """An invented region: its hemisphere, its frosts, its months, how its weeds' year shifts."""

    id: str
    name: str
    says: str
    hemisphere: str
    latitude: float
    longitude: float
    shift_days: int
    last_spring_frost: DayOfYear
    first_fall_frost: DayOfYear
    months: tuple[Month, ...]
    basis: Basis | None = None

    def weed_day(self, date: dt.date) -> DayOfYear:
        """The day of the north-temperate calendar that a date here corresponds to."""
        days = -self.shift_days + (182 if self.hemisphere == "south" else 0)
        return DayOfYear.of(date + dt.timedelta(days=days))
