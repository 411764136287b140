"""The weather each day of the year usually brings: chances of rain, cold, heat and wind.

From a region's months, or from several years of daily records, in which case every figure is the
share of the records within a week of that day of the year. The planner turns the chances into
expected losses; nothing here knows what a spray loses.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import NormalDist, fmean
from typing import Protocol

from advisor.model import Region

HALF_WINDOW_DAYS = 7
WINDY_SHARE = 0.2
"""Share of days too windy to spray where nothing is known of the wind (common practice)."""


class Climate(Protocol):
    """What a day usually brings."""

    @property
    def name(self) -> str:
        """Where the figures come from."""
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
    """One day of the past; None where it was not recorded."""

    date: dt.date
    high: float | None
    rain_in: float | None
    wind: float | None


class RecordClimate:
    """Several years of daily records; days of the year near the one asked stand in for it."""

    def __init__(self, records: Iterable[DayRecord], fallback: Climate, name: str) -> None:
        self._name = name
        self._fallback = fallback
        self._near: Mapping[int, list[DayRecord]] = _by_day(records)

    @property
    def name(self) -> str:
        """Where the figures come from."""
        return self._name

    def wet_day(self, date: dt.date) -> float:
        """Chance that it rains on the day."""
        rain = [r.rain_in for r in self._at(date) if r.rain_in is not None]
        if not rain:
            return self._fallback.wet_day(date)
        return fmean(inches >= 0.04 for inches in rain)

    def high_below(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high stays below a temperature (F)."""
        highs = [r.high for r in self._at(date) if r.high is not None]
        return fmean(h < limit for h in highs) if highs else self._fallback.high_below(date, limit)

    def high_above(self, date: dt.date, limit: float) -> float:
        """Chance that the day's high goes above a temperature (F)."""
        highs = [r.high for r in self._at(date) if r.high is not None]
        return fmean(h > limit for h in highs) if highs else self._fallback.high_above(date, limit)

    def windy(self, date: dt.date, limit: float) -> float:
        """Chance that the day's wind is at or above a speed (mph)."""
        winds = [r.wind for r in self._at(date) if r.wind is not None]
        return fmean(w >= limit for w in winds) if winds else self._fallback.windy(date, limit)

    def _at(self, date: dt.date) -> list[DayRecord]:
        return self._near.get(_day_of_year(date), [])


def _by_day(records: Iterable[DayRecord]) -> dict[int, list[DayRecord]]:
    near: dict[int, list[DayRecord]] = {}
    for record in records:
        here = _day_of_year(record.date)
        for shift in range(-HALF_WINDOW_DAYS, HALF_WINDOW_DAYS + 1):
            near.setdefault((here + shift - 1) % 365 + 1, []).append(record)
    return near


def _day_of_year(date: dt.date) -> int:
    """1 to 365; 29 February counts as the 28th."""
    day = 28 if (date.month, date.day) == (2, 29) else date.day
    return dt.date(2023, date.month, day).timetuple().tm_yday
