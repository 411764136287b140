"""What is made of a weather file: its days, the days to spray, the heat so far, how far weeds are.

Put together here for the weather page and its document, from `spray_days` and `growth`. It prints
nothing and reads no files.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from advisor.degree_days import Recipe
from advisor.derive.weather import plausible
from advisor.growth import (
    HALF_YEAR,
    Dated,
    dated,
    running_total,
    soil_reached,
    week_air,
)
from advisor.heat import RISING, SoilMean
from advisor.model import KnowledgeBase, Region, Weed
from advisor.spray_days import SprayDay, spray_days
from advisor.terms import Span, Truth
from advisor.weather.days import Day
from advisor.weather.physics import soil_f
from advisor.weather.record import Weather

SHOWN_DAYS: Final = 28
"""Days shown where nobody says from when to when."""
COUNTED: Final[tuple[Recipe, ...]] = (
    Recipe("average", 50),
    Recipe("ends-raised", 50, 86),
    Recipe("single-sine", 50, 86),
)
"""The ways of counting that the trade uses, F."""
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Counted:
    """The degree days of one way of counting, since the start of the year's warmth."""

    recipe: Recipe
    start: dt.date
    total: Span


@dataclass(frozen=True, slots=True)
class Stage:
    """How far one weed is: its dated events, and what the warmth of the soil says."""

    weed: Weed
    events: tuple[Dated, ...]
    soil: tuple[tuple[SoilMean, Truth], ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Everything made of a file, for the days from `first` to `last`."""

    weather: Weather
    region: Region | None
    first: dt.date
    last: dt.date
    days: tuple[Day, ...]
    spraying: tuple[SprayDay, ...]
    counted: tuple[Counted, ...]
    soil: Span
    stages: tuple[Stage, ...]


def report(
    weather: Weather,
    base: KnowledgeBase,
    *,
    first: dt.date | None = None,
    last: dt.date | None = None,
    region: Region | None = None,
    weeds: Iterable[str] = (),
) -> Report:
    """Put together what a file says.

    Args:
        weather: the file.
        base: the knowledge base.
        first: the first day to show; four weeks before the last if left out.
        last: the last day to show and the day heat is counted to; the file's last if left out.
        region: where it was measured; tells the half of the globe and what a missing day can be.
        weeds: ids of the weeds to follow; all that warmth is known of if none is named.
    """
    end = min(last or weather.last, weather.last)
    begin = max(first or end - (SHOWN_DAYS - 1) * _DAY, weather.first)
    south = region is not None and region.hemisphere == "south"

    def outside(day: dt.date) -> Span:
        return plausible(region, day)

    start = _year_start(end, south=south)
    names = list(weeds) or _followed(base)
    soil = soil_f(week_air(weather, end, outside))
    return Report(
        weather=weather,
        region=region,
        first=begin,
        last=end,
        days=tuple(_days(weather, begin, end)),
        spraying=spray_days(weather, begin, end, base),
        counted=tuple(
            Counted(recipe, start, running_total(weather, recipe, start, end, outside))
            for recipe in COUNTED
        ),
        soil=soil,
        stages=tuple(
            Stage(
                base.weeds[name],
                tuple(
                    dated(weather, t, end, south=south, outside=outside, end=end)
                    for t in base.heat.of_weed(name)
                ),
                tuple(
                    (mean, soil_reached(mean, soil))
                    for mean in base.heat.soil_of_weed(name)
                    if mean.way == RISING or (end - start).days >= HALF_YEAR
                ),
            )
            for name in names
        ),
    )


def _year_start(day: dt.date, *, south: bool) -> dt.date:
    """The first of January, or half a year from it in the southern half of the globe."""
    shift = dt.timedelta(days=HALF_YEAR if south else 0)
    starts = [dt.date(year, 1, 1) + shift for year in (day.year - 1, day.year)]
    return max(start for start in starts if start <= day)


def _followed(base: KnowledgeBase) -> list[str]:
    by_heat = {threshold.weed for threshold in base.heat.thresholds.values()}
    return sorted(by_heat | {mean.weed for mean in base.heat.soil.values()})


def _days(weather: Weather, first: dt.date, last: dt.date) -> Iterable[Day]:
    for n in range((last - first).days + 1):
        date = first + n * _DAY
        yield weather.by_day.get(date) or Day(date, 0)
