"""The weather each day of the year usually brings: chances of rain, cold, heat and wind; frosts.

From a region's months, or from several years of daily records, in which case every figure is the
share of the records within a week of that day of the year. The planner turns the chances into
expected losses; nothing here knows what a spray loses.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from statistics import NormalDist, fmean, median_low
from typing import Protocol

from advisor.model import DayOfYear, Region

HALF_WINDOW_DAYS = 7
WINDY_SHARE = 0.2
"""Share of days too windy to spray where nothing is known of the wind (common practice)."""
WET_IN = 0.04
"""Rain in a day that counts as a wet day."""
KILLING_F = 28.0
"""A low that kills the leaves of plants from warm lands (common practice)."""
LEAST_YEARS = 3
"""Years with a whole spring or fall that it takes to say when frost usually comes."""
AROUND_FROST_DAYS = 75


class Climate(Protocol):
    """What a day usually brings."""

    @property
    def name(self) -> str:
        """Where the figures come from."""
        ...

    @property
    def fall_frost(self) -> DayOfYear:
        """When frost usually ends the season of plants from warm lands."""
        ...

    @property
    def spring_frost(self) -> DayOfYear:
        """When the last frost usually is over."""
        ...

    def wet_day(self, date: dt.date) -> float:
        """Chance that it rains on the day."""
        ...

    def high_below(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high stays below a temperature (F)."""
        ...

    def high_above(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high goes above a temperature (F)."""
        ...

    def windy(self, date: dt.date, limit: float) -> float:
        """Chance that the day's wind is at or above a speed (mph)."""
        ...


def rain_within(climate: Climate, date: dt.date, hours: float) -> float:
    """Chance of rain in the hours after a spraying, rain taken as equally likely at any hour."""
    return float(1 - (1 - climate.wet_day(date)) ** (hours / 24))


@dataclass(frozen=True)
class RegionClimate:
    """A region's months, joined by straight lines from the middle of one to the next."""

    region: Region

    @property
    def name(self) -> str:
        """Where the figures come from."""
        return f"usual months of {self.region.name}"

    @property
    def fall_frost(self) -> DayOfYear:
        """The region's usual first frost."""
        return self.region.first_fall_frost

    @property
    def spring_frost(self) -> DayOfYear:
        """The region's usual last frost."""
        return self.region.last_spring_frost

    def wet_day(self, date: dt.date) -> float:
        """Chance that it rains on the day."""
        month, other, share = _between(date)
        days = [self.region.months[m].rain_days for m in (month, other)]
        return (days[0] * (1 - share) + days[1] * share) / 30.4

    def high_below(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high stays below a temperature (F)."""
        return self._highs(date).cdf(limit)

    def high_above(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high goes above a temperature (F)."""
        return 1 - self._highs(date).cdf(limit)

    def windy(self, date: dt.date, limit: float) -> float:  # noqa: ARG002
        """Chance that the day is too windy; regions say nothing of wind."""
        return WINDY_SHARE

    def _highs(self, date: dt.date) -> NormalDist:
        month, other, share = _between(date)
        one, two = self.region.months[month], self.region.months[other]
        mean = one.high * (1 - share) + two.high * share
        return NormalDist(mean, one.spread * (1 - share) + two.spread * share)


def _between(date: dt.date) -> tuple[int, int, float]:
    """The months (from 0) whose middles lie around a date, and how far it is to the later one."""
    offset = (date.day - 15.5) / 30.4
    if offset >= 0:
        return date.month - 1, date.month % 12, offset
    return (date.month - 2) % 12, date.month - 1, 1 + offset


@dataclass(frozen=True)
class DayRecord:
    """One day of the past; None where it was not recorded. Units: F, in, mph."""

    date: dt.date
    high: float | None
    rain_in: float | None
    wind: float | None
    low: float | None = None


class RecordClimate:
    """Several years of daily records; days of the year near the one asked stand in for it."""

    def __init__(self, records: Iterable[DayRecord], region: Region, name: str) -> None:
        self._name = name
        self._fallback = RegionClimate(region)
        kept = list(records)
        near = _by_day(kept)
        self._highs = _values(near, lambda r: r.high)
        self._rain = _values(near, lambda r: r.rain_in)
        self._winds = _values(near, lambda r: r.wind)
        self._shares: dict[tuple[str, int, float], float | None] = {}
        self._frosts = (
            _usual_frost(kept, region.first_fall_frost, fall=True),
            _usual_frost(kept, region.last_spring_frost, fall=False),
        )

    @property
    def name(self) -> str:
        """Where the figures come from."""
        return self._name

    @property
    def fall_frost(self) -> DayOfYear:
        """The day by which half of the years had had a killing frost."""
        return self._frosts[0] or self._fallback.fall_frost

    @property
    def spring_frost(self) -> DayOfYear:
        """The day by which half of the years had had their last killing frost."""
        return self._frosts[1] or self._fallback.spring_frost

    def wet_day(self, date: dt.date) -> float:
        """Chance that it rains on the day."""
        share = self._share("wet", date, WET_IN, self._rain, lambda rain: rain >= WET_IN)
        return self._fallback.wet_day(date) if share is None else share

    def high_below(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high stays below a temperature (F)."""
        share = self._share("below", date, limit, self._highs, lambda high: high < limit)
        return self._fallback.high_below(date, limit) if share is None else share

    def high_above(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high goes above a temperature (F)."""
        share = self._share("above", date, limit, self._highs, lambda high: high > limit)
        return self._fallback.high_above(date, limit) if share is None else share

    def windy(self, date: dt.date, limit: float) -> float:
        """Chance that the day's wind is at or above a speed (mph)."""
        share = self._share("windy", date, limit, self._winds, lambda wind: wind >= limit)
        return self._fallback.windy(date, limit) if share is None else share

    def _share(
        self,
        what: str,
        date: dt.date,
        limit: float,
        values: dict[int, list[float]],
        holds: Callable[[float], bool],
    ) -> float | None:
        """The share of the days near a date on which something holds; None without records."""
        key = (what, _day_of_year(date), limit)
        if key not in self._shares:
            near = values.get(key[1])
            self._shares[key] = fmean(map(holds, near)) if near else None
        return self._shares[key]


def _by_day(records: Iterable[DayRecord]) -> dict[int, list[DayRecord]]:
    near: dict[int, list[DayRecord]] = {}
    for record in records:
        here = _day_of_year(record.date)
        for shift in range(-HALF_WINDOW_DAYS, HALF_WINDOW_DAYS + 1):
            near.setdefault((here + shift - 1) % 365 + 1, []).append(record)
    return near


def _values(
    near: dict[int, list[DayRecord]], read: Callable[[DayRecord], float | None]
) -> dict[int, list[float]]:
    return {
        day: [value for record in records if (value := read(record)) is not None]
        for day, records in near.items()
    }


def _usual_frost(records: Iterable[DayRecord], usual: DayOfYear, *, fall: bool) -> DayOfYear | None:
    """The middle one of the years' first (fall) or last (spring) killing frosts."""
    lows = {r.date: r.low for r in records if r.low is not None}
    around = range(-AROUND_FROST_DAYS, AROUND_FROST_DAYS + 1)
    found = []
    for year in sorted({date.year for date in lows}):
        season = [usual.in_year(year) + dt.timedelta(days=n) for n in around]
        if all(day in lows for day in season):
            cold = [n for n, day in zip(around, season, strict=True) if lows[day] <= KILLING_F]
            found.append(min(cold, default=around[-1]) if fall else max(cold, default=around[0]))
    if len(found) < LEAST_YEARS:
        return None
    return DayOfYear.of(usual.in_year(2023) + dt.timedelta(days=median_low(found)))


def _day_of_year(date: dt.date) -> int:
    """1 to 365; 29 February counts as the 28th."""
    return DayOfYear.of(date).ordinal
