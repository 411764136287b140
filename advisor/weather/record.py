"""One weather file as read: what the air, the wind, the damp and the rain were, asked by time.

Made by `reading`; `spraying`, `growth` and the weather page ask it, and get the same kind of answer
from daily and from hourly rows: an interval that widens with what is missing. It reads no files and
makes no facts.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from statistics import mode

from advisor.dates import midnight
from advisor.problem import Problem, escaped
from advisor.terms import Span
from advisor.weather.days import CALENDAR_DAY, TEMPS_F, WINDS_MPH, Day, wind_in_day
from advisor.weather.hours import RATES, Hour, Track, hours_since_epoch
from advisor.weather.rain import Rain, turned

DAMP = Span(0.0, 1.0)
_DAY = dt.timedelta(days=1)
_ANY_RAIN = Span(0.0, math.inf)


@dataclass(frozen=True)
class Weather:
    """The rows of a file: days of a daily one, hours of an hourly one.

    `covers` are the hours from midnight that a daily row stands for; a station read off at seven
    in the morning writes the rain since the seven before.
    """

    path: str
    layout: str
    days: Mapping[dt.date, Day] = field(default_factory=dict)
    hours: tuple[Hour, ...] = ()
    rows: int = 0
    skipped: tuple[Problem, ...] = ()
    unread: tuple[str, ...] = ()
    doubtful: int = 0
    covers: tuple[float, float] = CALENDAR_DAY

    @property
    def name(self) -> str:
        """The file's name without its folder, as explanations quote it."""
        return escaped(self.path.replace("\\", "/").rsplit("/", 1)[-1])

    @property
    def hourly(self) -> bool:
        """Whether the rows are hours, else days."""
        return bool(self.hours)

    @cached_property
    def by_day(self) -> Mapping[dt.date, Day]:
        """The days, worked out from the hours where those were read."""
        return self.days if not self.hourly else dict(self._days_of_hours())

    @property
    def first(self) -> dt.date:
        """The first day of which anything was read."""
        return min(self.by_day)

    @property
    def last(self) -> dt.date:
        """The last day of which anything was read."""
        return max(self.by_day)

    @property
    def missing(self) -> int:
        """Days between the first and the last without any row."""
        return (self.last - self.first).days + 1 - len(self.by_day)

    # ---- temperatures, wind, damp --------------------------------------------------------------

    def air(self, start: dt.datetime, end: dt.datetime) -> Span:
        """The air temperature (F) at a moment from start to end."""
        if self.hourly:
            return self._track("temp").over(start, end)
        touched = list(self._touched(start, end))
        lows = [day.low or TEMPS_F for day, _ in touched]
        highs = [day.high or TEMPS_F for day, _ in touched]
        return Span(min(low.low for low in lows), max(high.high for high in highs))

    def highest(self, start: dt.datetime, end: dt.datetime) -> Span:
        """The highest temperature (F) from start to end."""
        if self.hourly:
            return self._track("temp").highest(start, end)
        touched = [
            (day.high or TEMPS_F, day.low, inside) for day, inside in self._touched(start, end)
        ]
        top = max(high.high for high, _, _ in touched)
        sure = [high.low if inside else (low or TEMPS_F).low for high, low, inside in touched]
        return Span(min(max(sure), top), top)

    def lowest(self, start: dt.datetime, end: dt.datetime) -> Span:
        """The lowest temperature (F) from start to end."""
        if self.hourly:
            return self._track("temp").lowest(start, end)
        touched = [
            (day.low or TEMPS_F, day.high, inside) for day, inside in self._touched(start, end)
        ]
        bottom = min(low.low for low, _, _ in touched)
        sure = [low.high if inside else (high or TEMPS_F).high for low, high, inside in touched]
        return Span(bottom, max(min(sure), bottom))

    def wind(self, start: dt.datetime, end: dt.datetime) -> Span:
        """The wind (mph) at a moment from start to end."""
        if self.hourly:
            return self._track("wind").over(start, end)
        means = [day.wind for day, _ in self._touched(start, end)]
        spans = [WINDS_MPH if mean is None else wind_in_day(mean) for mean in means]
        return Span(min(s.low for s in spans), max(s.high for s in spans))

    def humidity(self, start: dt.datetime, end: dt.datetime) -> Span:
        """The relative humidity (a share) at a moment from start to end; daily files have none."""
        return self._track("humidity").over(start, end) if self.hourly else DAMP

    def mean_air(self, first: dt.date, last: dt.date, outside: Span = TEMPS_F) -> Span:
        """The mean of the daily highs and lows (F) from a day to a day, both included."""
        low = high = 0.0
        count = (last - first).days + 1
        for n in range(count):
            top, bottom = self.temperatures(first + n * _DAY, outside)
            low += (top.low + bottom.low) / 2
            high += (top.high + bottom.high) / 2
        return Span(low / count, max(low, high) / count)

    def temperatures(self, date: dt.date, outside: Span = TEMPS_F) -> tuple[Span, Span]:
        """High and low of a day (F); a missing one lies inside what is plausible for it."""
        return self._day(date).temperatures(outside)

    # ---- rain ----------------------------------------------------------------------------------

    @cached_property
    def rains(self) -> tuple[Rain, ...]:
        """All time in periods with what fell in them; outside the file that may be anything."""
        found = list(self._hourly_rain() if self.hourly else self._daily_rain())
        before = Rain(-math.inf, found[0].start, _ANY_RAIN)
        return (before, *found, Rain(found[-1].end, math.inf, _ANY_RAIN))

    @cached_property
    def rains_turned(self) -> tuple[Rain, ...]:
        """The same with time turned round, to look for the last rain before a moment."""
        return turned(self.rains)

    def _daily_rain(self) -> Iterator[Rain]:
        for n in range((self.last - self.first).days + 1):
            day = self._day(self.first + n * _DAY)
            start, end = (hours_since_epoch(midnight(day.date)) + hour for hour in self.covers)
            yield Rain(start, end, day.rain or _ANY_RAIN, day.line)

    def _hourly_rain(self) -> Iterator[Rain]:
        """A row's rain fell in the step before or after its time: files differ in which."""
        step, last = self.step, None
        for hour in self.hours:
            at = hours_since_epoch(hour.moment)
            if last is not None and at - last > 1.5 * step:
                yield Rain(last, at, _ANY_RAIN)
            yield Rain(at - step, at + step, hour.rain or _ANY_RAIN, hour.line)
            last = at

    @cached_property
    def step(self) -> float:
        """Hours from one row of an hourly file to the next, as a rule."""
        times = [hours_since_epoch(h.moment) for h in self.hours]
        return mode(b - a for a, b in pairwise(times)) if times[1:] else 1.0

    # ---- the rows behind it --------------------------------------------------------------------

    def day_at(self, moment: dt.datetime) -> Day | None:
        """The day that a moment falls on, if the file has it."""
        return self.by_day.get(moment.date())

    def hour_near(self, moment: dt.datetime) -> Hour | None:
        """The row of an hourly file nearest to a moment."""
        return min(self.hours, key=lambda h: abs(h.moment - moment), default=None)

    def _day(self, date: dt.date) -> Day:
        return self.by_day.get(date) or Day(date, 0)

    def _touched(self, start: dt.datetime, end: dt.datetime) -> Iterator[tuple[Day, bool]]:
        """The daily rows that cover any part of a stretch of time, and which lie inside it."""
        hours = [dt.timedelta(hours=h) for h in self.covers]
        date = start.date() - _DAY
        while date <= end.date() + _DAY:
            opens, closes = midnight(date) + hours[0], midnight(date) + hours[1]
            if closes > start and (opens < end or opens == start):
                yield self._day(date), start <= opens and closes <= end
            date += _DAY

    @cached_property
    def _tracks(self) -> dict[str, Track]:
        limits = {"temp": TEMPS_F, "wind": WINDS_MPH, "humidity": DAMP}
        return {
            name: Track.of(_readings(self.hours, name), RATES[name], limits[name])
            for name in limits
        }

    def _track(self, name: str) -> Track:
        return self._tracks[name]

    def _days_of_hours(self) -> Iterator[tuple[dt.date, Day]]:
        by_date: dict[dt.date, list[Hour]] = {}
        for hour in self.hours:
            by_date.setdefault(hour.moment.date(), []).append(hour)
        for date, rows in by_date.items():
            start, end = midnight(date), midnight(date) + _DAY
            temp = self._track("temp")
            yield (
                date,
                Day(
                    date,
                    rows[0].line,
                    high=temp.highest(start, end),
                    low=temp.lowest(start, end),
                    rain=self._rain_of(rows),
                    wind=_mean(rows, len(rows) * self.step >= 24),
                ),
            )

    def _rain_of(self, rows: list[Hour]) -> Span:
        """What the rows of a day hold; where hours are missing it may have been more."""
        known = [hour.rain for hour in rows if hour.rain is not None]
        whole = len(known) * self.step >= 24
        low, high = sum(r.low for r in known), sum(r.high for r in known)
        return Span(low, high if whole else math.inf)


def _readings(hours: Iterable[Hour], name: str) -> Iterator[tuple[dt.datetime, float]]:
    for hour in hours:
        value = getattr(hour, name)
        if value is not None:
            yield hour.moment, value


def _mean(rows: list[Hour], whole: bool) -> Span | None:
    """The mean wind of a day whose hours are all there."""
    winds = [hour.wind for hour in rows if hour.wind is not None]
    if not winds or not whole or len(winds) < len(rows):
        return None
    mean = sum(winds) / len(winds)
    return Span(mean, mean)
