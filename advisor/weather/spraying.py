"""What a weather file says of one spraying and of the days around it, as values of facts.

`derive` adds them to the facts of a call, beside what was told. Every value is as wide as the file
leaves it and names the file, the line and the day it rests on; what the file leaves wholly open is
left out. It knows no labels, no weeds and nothing of what the caller said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from advisor.dates import midnight
from advisor.terms import Options, Span, Value
from advisor.units import show
from advisor.weather.hours import hours_since_epoch
from advisor.weather.physics import delta_t_f, soil_f
from advisor.weather.rain import LEAST_IN, Dry, dry_after, total
from advisor.weather.record import DAMP, Weather
from advisor.when import When

AIR_MARGIN_F: Final = 3.0
"""How far the air over a lawn may be from that at a station near by."""
WIND_AT_LAWN: Final = (0.6, 2.0)
"""A station measures at 10 m; down at a sprayer blows from six tenths of that to the whole of it,
give or take 2 mph."""
DAYS_AFTER: Final = dt.timedelta(hours=72)
"""How long warmth and cold after a spraying still matter."""
TWO_WEEKS: Final = dt.timedelta(days=14)
WEEK: Final = dt.timedelta(days=7)
_DAY = dt.timedelta(days=1)
NO_FROST_F: Final = 38.0
"""Grass is up to 6 F colder than a thermometer at head height on a clear night."""
FREEZE_F: Final = 28.0
SOAKED_IN: Final = (0.5, dt.timedelta(days=3))
"""Rain within that time after which no ground is dry."""
LITTLE_RAIN_IN: Final = 0.5
"""Less than this in two weeks leaves no ground soggy that nobody watered."""


@dataclass(frozen=True, slots=True)
class Noted:
    """One fact as the file has it, and in what words."""

    fact: str
    value: Value
    words: str


def at_spraying(weather: Weather, sprayed: When) -> Iterator[Noted]:
    """Air, wind, damp, the days after, rain and warmth before: all but the dry hours."""
    at = _row(weather, sprayed)
    air = weather.air(sprayed.low, sprayed.high)
    yield Noted("air_temp", _wider(air), f"{at}: air {show(air, 'F')}")
    wind = weather.wind(sprayed.low, sprayed.high)
    yield Noted("wind", wind_at_lawn(wind), f"{at}: wind {show(wind, 'mph')} at the station")
    damp = weather.humidity(sprayed.low, sprayed.high)
    if damp != DAMP:
        words = f"{at}: air {show(air, 'F')}, humidity {show(damp, 'share')}"
        yield Noted("delta_t", delta_t_f(air, damp), words)
    yield from _days_after(weather, sprayed)
    yield from _weeks_before(weather, sprayed)
    yield from _frost(weather, sprayed, at)


def _days_after(weather: Weather, sprayed: When) -> Iterator[Noted]:
    inner, outer = (
        (sprayed.high, sprayed.low + DAYS_AFTER),
        (sprayed.low, sprayed.high + DAYS_AFTER),
    )
    days = _days(weather, sprayed.low, sprayed.high + DAYS_AFTER)
    most = weather.highest(*outer)
    sure = weather.highest(*inner).low if inner[0] < inner[1] else most.low
    high = Span(min(sure, most.high), most.high)
    yield Noted("high_next_days", _wider(high), f"{days}: highest {show(high, 'F')}")
    least = weather.lowest(*outer)
    sure = weather.lowest(*inner).high if inner[0] < inner[1] else least.high
    low = Span(least.low, max(sure, least.low))
    yield Noted("low_next_nights", _wider(low), f"{days}: lowest {show(low, 'F')}")


def _weeks_before(weather: Weather, sprayed: When) -> Iterator[Noted]:
    rain = rain_before(weather, sprayed, TWO_WEEKS)
    days = _days(weather, sprayed.low - TWO_WEEKS, sprayed.high)
    yield Noted("rain_past_2_weeks", rain, f"{days}: {_inches(rain)} of rain")
    first, last = sprayed.first_day, sprayed.last_day
    means = [
        weather.mean_air(day - WEEK, day - _DAY)
        for day in (first + n * _DAY for n in range(min(30, (last - first).days + 1)))
    ]
    air = Span(min(m.low for m in means), max(m.high for m in means))
    words = f"{_days(weather, sprayed.low - WEEK, sprayed.low)}: mean air {show(air, 'F')}"
    yield Noted("soil_temp", soil_f(air), words)


def _frost(weather: Weather, sprayed: When, at: str) -> Iterator[Noted]:
    low = weather.lowest(midnight(sprayed.first_day), sprayed.high)
    words = f"{at}: that morning's low {show(low, 'F')}"
    if low.low > NO_FROST_F:
        yield Noted("frost", Options.of("no"), words)
    elif low.high <= FREEZE_F:
        yield Noted("frost", Options.of("yes"), words)


def ground(weather: Weather, sprayed: When, *, unwatered: bool) -> Noted | None:
    """What the rain leaves possible of the ground; `unwatered` says that nothing else wets it."""
    soaked = rain_before(weather, sprayed, SOAKED_IN[1])
    if soaked.low >= SOAKED_IN[0]:
        days = _days(weather, sprayed.low - SOAKED_IN[1], sprayed.high)
        words = f"{days}: {_inches(soaked)} of rain"
        return Noted("soil_moisture", Options.of("moist", "wet"), words)
    rain = rain_before(weather, sprayed, TWO_WEEKS)
    if unwatered and rain.high < LITTLE_RAIN_IN:
        days = _days(weather, sprayed.low - TWO_WEEKS, sprayed.high)
        words = f"{days}: {_inches(rain)} of rain, and no sprinkler"
        return Noted("soil_moisture", Options.of("dry", "moist"), words)
    return None


# ---- rain on either side -----------------------------------------------------------------------


def rain_before(weather: Weather, sprayed: When, length: dt.timedelta) -> Span:
    """The rain (in) of a length of time that ends with the spraying."""
    low, high = hours_since_epoch(sprayed.low), hours_since_epoch(sprayed.high)
    hours = length / dt.timedelta(hours=1)
    return total(weather.rains, Span(low - hours, high - hours), Span(low, high))


def dry_side(
    weather: Weather, moment: When, side: str, least: float = LEAST_IN
) -> tuple[Span, str]:
    """Hours without rain `before` or `after` a moment, and the row that ended them."""
    first, last = hours_since_epoch(moment.low), hours_since_epoch(moment.high)
    if side == "before":
        found = dry_after(weather.rains_turned, -last, -first, least)
    else:
        found = dry_after(weather.rains, first, last, least)
    return found.hours, _ended(weather, found, side)


def _ended(weather: Weather, found: Dry, side: str) -> str:
    if found.ended is None:
        edge = f"from {weather.first} on" if side == "before" else f"up to {weather.last}"
        return f"{weather.name}: no rain that is certain {edge}"
    day = next((d for d in weather.by_day.values() if d.line == found.ended.line), None)
    if weather.hourly:
        hour = next(h for h in weather.hours if h.line == found.ended.line)
        when = f"{hour.moment:%Y-%m-%d %H:%M}"
    else:
        when = str(day.date) if day else ""
    return f"{weather.name}:{found.ended.line} ({when}): {_inches(found.ended.amount)} of rain"


# ---- today and the days ahead ------------------------------------------------------------------


def wind_today(weather: Weather, day: dt.date) -> Noted | None:
    """The wind of the hours of a day in which people spray."""
    if day not in weather.by_day:
        return None
    start = midnight(day)
    wind = weather.wind(start + dt.timedelta(hours=6), start + dt.timedelta(hours=20))
    words = f"{_line(weather, day)}: wind {show(wind, 'mph')} at the station"
    return Noted("wind_now", wind_at_lawn(wind), words)


def high_ahead(weather: Weather, day: dt.date) -> tuple[Span, str] | None:
    """The highest temperature (F) of a day and the two after it, where the file has all three."""
    if not all(day + n * _DAY in weather.by_day for n in range(3)):
        return None
    start = midnight(day)
    high = weather.highest(start, start + 3 * _DAY)
    return _wider(high), f"{_days(weather, start, start + 2 * _DAY)}: highest {show(high, 'F')}"


# ---- words -------------------------------------------------------------------------------------


def wind_at_lawn(wind: Span) -> Span:
    """The wind at a sprayer, from that at a station."""
    share, give = WIND_AT_LAWN
    return Span(max(0.0, wind.low * share - give), wind.high + give)


def _wider(temp: Span) -> Span:
    return Span(temp.low - AIR_MARGIN_F, temp.high + AIR_MARGIN_F)


def _inches(rain: Span) -> str:
    if rain.high == float("inf"):
        return f"at least {show(Span(rain.low, rain.low), 'in')}"
    return show(rain, "in")


def _row(weather: Weather, sprayed: When) -> str:
    """The row nearest to the spraying, or the days it may have fallen on."""
    if sprayed.first_day != sprayed.last_day:
        return _days(weather, sprayed.low, sprayed.high)
    hour = weather.hour_near(sprayed.low)
    if hour is not None and sprayed.low == sprayed.high:
        return f"{weather.name}:{hour.line} ({hour.moment:%Y-%m-%d %H:%M})"
    return _line(weather, sprayed.first_day)


def _line(weather: Weather, date: dt.date) -> str:
    day = weather.by_day.get(date)
    return f"{weather.name}:{day.line} ({date})" if day else f"{weather.name} ({date} is missing)"


def _days(weather: Weather, start: dt.datetime, end: dt.datetime) -> str:
    return f"{weather.name}, {start.date()} to {end.date()}"
