"""The weeds' year at one place: when crops come up and die, when there is leaf, which stage.

Dates come from the weeds' own calendar moved to the region; where several years of weather were
read, frosts and the start of germination come from those. `targets` and `kill` ask it. It knows no
products.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from advisor.model import DayOfYear, Region, Season, Weed
from advisor.planning.climate import Climate
from advisor.planning.request import Days

ANNUALS = ("summer-annual", "winter-annual")
WINTER_ANNUAL_DIES_AFTER_FROST = 60
SEEDLING_DAYS = 30
"""Days after the start of germination in which plants are small enough for a seedling label."""
FALL_STARTS = DayOfYear(8, 15)
"""Plants that die back on this day of their year or later die back for winter."""
WARM_GROUPS = ("grass", "sedge")
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True)
class Seasons:
    """The year of the weeds at a place.

    Attributes:
        region: the place.
        climate: its usual weather.
        measured: days by which the start of germination was measured to differ from the weed's
            calendar, by weed.
    """

    region: Region
    climate: Climate
    measured: Mapping[str, int] = field(default_factory=dict)

    def of(self, weed: Weed, date: dt.date) -> Season:
        """The season of a weed on a date here."""
        return weed.season_on(self.region.weed_day(date))

    def frost(self, after: dt.date, *, fall: bool) -> dt.date:
        """The first fall frost, or last spring frost, that comes after a date."""
        day = self.climate.fall_frost if fall else self.climate.spring_frost
        here = day.in_year(after.year)
        return here if here > after else day.in_year(after.year + 1)

    def frozen(self, date: dt.date) -> bool:
        """Whether a date lies between the first fall frost and the last spring frost."""
        return self.frost(date - _DAY, fall=False) < self.frost(date - _DAY, fall=True)

    # ---- annual crops ------------------------------------------------------------------------

    def crops(self, weed: Weed, horizon: Days) -> Iterator[Days]:
        """The times of germination that touch a horizon or the year before it, each whole."""
        if weed.germinates is None:
            return
        shift = dt.timedelta(days=self.measured.get(weed.id, 0))
        date = horizon.first - 366 * _DAY
        while not self._germinates(weed, date) or self._germinates(weed, date - _DAY):
            date += _DAY
        while date + shift <= horizon.last:
            last = date
            while self._germinates(weed, last + _DAY):
                last += _DAY
            yield Days(min(date + shift, last), last)
            date = last + _DAY
            while not self._germinates(weed, date):
                date += _DAY

    def _germinates(self, weed: Weed, date: dt.date) -> bool:
        return weed.germinates is not None and weed.germinates.holds(self.region.weed_day(date))

    def death(self, weed: Weed, crop: Days) -> dt.date:
        """When the plants of a crop die by themselves."""
        if weed.life_cycle == "summer-annual":
            return self.frost(crop.first, fall=True)
        frost = self.frost(crop.first, fall=False)
        return frost + dt.timedelta(days=WINTER_ANNUAL_DIES_AFTER_FROST)

    # ---- leaf and stage ----------------------------------------------------------------------

    def winter_leafless(self, weed: Weed) -> bool:
        """Whether a perennial's leaves die for winter."""
        back = weed.calendar.get("dies_back")
        return (
            back is not None
            and weed.life_cycle not in ANNUALS
            and back.first.ordinal >= FALL_STARTS.ordinal
        )

    def leafy(self, weed: Weed, date: dt.date) -> bool:
        """Whether a perennial has leaf to spray on a date.

        Grasses and sedges from warm lands lose it with the first killing frost; others that die
        back for winter keep it until the end of that time in their calendar.
        """
        if not self.winter_leafless(weed):
            return True
        if weed.plant_group in WARM_GROUPS:
            return not self.frozen(date)
        last = weed.calendar["dies_back"].last.ordinal
        day = self.region.weed_day(date).ordinal
        return not (day > last and self.frozen(date))

    def stages(self, weed: Weed, crop: Days | None, date: dt.date) -> frozenset[str]:
        """The stages that plants of a weed, or of one crop of it, can be in on a date."""
        day = self.region.weed_day(date)
        blooms = weed.calendar.get("flowers")
        seeds = weed.calendar.get("seeds")
        if crop is not None and (date - crop.first).days <= SEEDLING_DAYS:
            return frozenset({"seedling"})
        if blooms is not None and blooms.holds(day):
            return frozenset({"flowering"})
        if seeds is not None and seeds.holds(day):
            return frozenset({"after-bloom", "seeding"})
        if crop is not None and blooms is not None and self._past(blooms.first, crop, date):
            return frozenset({"after-bloom", "seeding"})
        return frozenset({"vegetative"})

    def _past(self, day: DayOfYear, crop: Days, date: dt.date) -> bool:
        """Whether a day of the weed's year has passed since a crop came up."""
        came_up = self.region.weed_day(crop.first)
        return (day.ordinal - came_up.ordinal) % 365 <= (date - crop.first).days
