"""Which stage of growth the warmth so far puts a weed in, and from which day to which it began.

Counts degree days over a weather file by the recipes of heat.yaml; `derive` makes facts of the
dates and the weather page prints them. Days that are missing count as anything plausible, so that a
date is an interval. It knows no calls and takes no calendar for weather.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from advisor.degree_days import Recipe, running
from advisor.heat import BLOOM, GERMINATION, RISING, SOIL, SoilMean, Threshold
from advisor.terms import Span, Truth
from advisor.weather.days import TEMPS_F
from advisor.weather.physics import soil_f
from advisor.weather.record import Weather

Outside = Callable[[dt.date], Span]
"""What the air of a day can plausibly be (F) where nothing was measured."""

LATER_STAGES = frozenset({"flowering", "after-bloom", "seeding"})
HALF_YEAR = 182
WEEK = dt.timedelta(days=7)
_DAY = dt.timedelta(days=1)


def anything(_: dt.date) -> Span:
    """What a day can be where nobody says in which region it was."""
    return TEMPS_F


@dataclass(frozen=True, slots=True)
class Dated:
    """When an event of the season came: the earliest and the latest day it can have been.

    `first` None: not before the file ends; `last` None: perhaps not by then. `total` is the warmth
    (F-days) at the end of the stretch counted, from `start`.
    """

    threshold: Threshold
    start: dt.date
    end: dt.date
    first: dt.date | None
    last: dt.date | None
    total: Span

    def on(self, day: dt.date) -> Truth:
        """Whether it had come by a day inside the stretch."""
        if self.last is not None and day >= self.last:
            return Truth.SHOWN
        return Truth.RULED_OUT if self.first is None or day < self.first else Truth.OPEN


def season_start(threshold: Threshold, near: dt.date, *, south: bool) -> dt.date:
    """The last day before, or on, a date from which the threshold is counted."""
    month, day = threshold.start
    starts = []
    for year in range(near.year - 2, near.year + 1):
        start = dt.date(year, month, day)
        starts.append(start + dt.timedelta(days=HALF_YEAR) if south else start)
    return max(start for start in starts if start <= near)


def totals(
    weather: Weather,
    threshold: Threshold,
    start: dt.date,
    end: dt.date,
    outside: Outside = anything,
) -> Iterator[tuple[dt.date, Span]]:
    """The warmth counted from a day, after every day up to the end."""
    days = [start + n * _DAY for n in range((end - start).days + 1)]
    if threshold.measured == SOIL:
        soil = (soil_f(week_air(weather, day, outside)) for day in days)
        ends = ((mean, mean) for mean in soil)
    else:
        ends = (weather.temperatures(day, outside(day)) for day in days)
    yield from zip(days, running(ends, threshold.recipe), strict=True)


def running_total(
    weather: Weather,
    recipe: Recipe,
    start: dt.date,
    end: dt.date,
    outside: Outside = anything,
) -> Span:
    """The warmth of the air counted by a recipe from a day to a day."""
    days = (start + n * _DAY for n in range((end - start).days + 1))
    ends = (weather.temperatures(day, outside(day)) for day in days)
    return max(running(ends, recipe), key=lambda total: total.high, default=Span(0.0, 0.0))


def week_air(weather: Weather, day: dt.date, outside: Outside = anything) -> Span:
    """The mean air (F) of the seven days that end with a day."""
    means = [weather.mean_air(d, d, outside(d)) for d in (day - n * _DAY for n in range(7))]
    return Span(sum(m.low for m in means) / 7, sum(m.high for m in means) / 7)


def dated(
    weather: Weather,
    threshold: Threshold,
    near: dt.date,
    *,
    south: bool = False,
    outside: Outside = anything,
    end: dt.date | None = None,
) -> Dated:
    """When a threshold was passed in the season that a date belongs to.

    Args:
        weather: the file.
        threshold: what is counted, and how far.
        near: a day of the season; counting begins on the starting day before it.
        south: whether the site lies in the southern half of the globe.
        outside: what a day that is missing can plausibly have been.
        end: the last day to count; the end of the file if left out.
    """
    start = season_start(threshold, near, south=south)
    stop = max(start, min(end or weather.last, weather.last, start + dt.timedelta(days=365)))
    first = last = None
    total = Span(0.0, 0.0)
    for day, total in totals(weather, threshold, start, stop, outside):
        if first is None and total.high >= threshold.heat.low:
            first = day + threshold.then_days[0] * _DAY
        if last is None and total.low >= threshold.heat.high:
            last = day + threshold.then_days[1] * _DAY
    return Dated(threshold, start, stop, first, last, total)


@dataclass(frozen=True, slots=True)
class Came:
    """When an event came, by all the totals published for it: the earliest and the latest day."""

    first: dt.date | None
    last: dt.date | None
    start: dt.date
    by: tuple[Dated, ...]


def came(found: Iterable[Dated], event: str) -> Came | None:
    """When an event came, from the totals measured in air; soil worked out from air adds nothing.

    Sources disagree on the total, so the event lies anywhere between the earliest and the latest.
    """
    by = tuple(d for d in found if d.threshold.event == event and d.threshold.measured != SOIL)
    if not by:
        return None
    firsts = [d.first for d in by if d.first is not None]
    lasts = [d.last for d in by if d.last is not None]
    return Came(
        min(firsts, default=None),
        max(lasts) if len(lasts) == len(by) else None,
        min(d.start for d in by),
        by,
    )


def stages_ruled_out(found: Iterable[Dated], first: dt.date, last: dt.date) -> frozenset[str]:
    """The stages that the warmth so far rules out on every day from the first to the last."""
    thresholds = list(found)
    for event in (BLOOM, GERMINATION):
        when = came(thresholds, event)
        if when is None or first < when.start or last > min(d.end for d in when.by):
            continue
        if when.first is None or last < when.first:
            return LATER_STAGES
    return frozenset()


def soil_reached(mean: SoilMean, soil: Span) -> Truth:
    """Whether soil of this warmth has come to where an event happens."""
    if mean.way == RISING:
        shown, ruled_out = soil.low >= mean.mean.high, soil.high < mean.mean.low
    else:
        shown, ruled_out = soil.high <= mean.mean.low, soil.low > mean.mean.high
    if shown:
        return Truth.SHOWN
    return Truth.RULED_OUT if ruled_out else Truth.OPEN
