"""Several years of a weather file as what the planner asks: daily records, and when seed comes up.

Stands between `weather`, which keeps every value as wide as the file leaves it, and `climate`,
which counts days. It reads no files and fills nothing in.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from statistics import median_low

from advisor.growth import came, dated
from advisor.heat import GERMINATION
from advisor.model import KnowledgeBase, Region, Weed
from advisor.planning.climate import DayRecord, RecordClimate
from advisor.planning.request import Days
from advisor.planning.seasons import Seasons
from advisor.terms import Span
from advisor.weather.record import Weather
from advisor.weather.spraying import wind_at_lawn

LEAST_DAYS = 365
"""A file that holds fewer days says nothing of what a day of the year usually brings."""
MOST_SHIFT_DAYS = 60
"""A start of germination further than this from the weed's calendar is taken for an error."""


def climate_of(weather: Weather, region: Region) -> RecordClimate:
    """The usual weather as the file's years have it; the region's months stand in for gaps."""
    years = len({day.year for day in weather.by_day})
    noun = "year" if years == 1 else "years"
    name = f"{years} {noun} of {weather.name}"
    return RecordClimate(records(weather), region, name)


def records(weather: Weather) -> Iterator[DayRecord]:
    """The file's days, with the middle of what is known of each."""
    for day in weather.by_day.values():
        wind = None if day.wind is None else wind_at_lawn(day.wind)
        yield DayRecord(
            day.date, _middle(day.high), _middle(day.rain), _middle(wind), _middle(day.low)
        )


def _middle(span: Span | None) -> float | None:
    """The middle of a span; None where it is not known, or may be anything."""
    if span is None or span.high == float("inf"):
        return None
    return (span.low + span.high) / 2


def measured(weather: Weather, base: KnowledgeBase, region: Region) -> dict[str, int]:
    """How far from its calendar each weed's germination starts, in the middle one of the years."""
    seasons = Seasons(region, climate_of(weather, region))
    result = {}
    for weed in base.weeds.values():
        shifts = list(_shifts(weather, weed, base, seasons))
        if shifts:
            result[weed.id] = median_low(shifts)
    return result


def _shifts(weather: Weather, weed: Weed, base: KnowledgeBase, seasons: Seasons) -> Iterator[int]:
    """The days between the first seedlings and the weed's calendar, for each year of the file."""
    thresholds = [t for t in base.heat.of_weed(weed.id) if t.event == GERMINATION]
    if not thresholds or weed.germinates is None:
        return
    south = seasons.region.hemisphere == "south"
    for crop in seasons.crops(weed, Days(weather.first, weather.last)):
        found = came([dated(weather, t, crop.first, south=south) for t in thresholds], GERMINATION)
        if found is None or found.first is None or found.start < weather.first:
            continue
        shift = (found.first - crop.first).days
        if crop.first + dt.timedelta(days=MOST_SHIFT_DAYS) > weather.last:
            continue
        if abs(shift) <= MOST_SHIFT_DAYS:
            yield shift
