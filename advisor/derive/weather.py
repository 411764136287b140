"""What the weather file adds to the facts of a call, and where it and the caller contradict.

Called by `around`, `timing` and `site` where there is a file. What the file says narrows what was
told; where both cannot be true the pair is noted as a conflict and one of them is kept, never a
mixture.
"""

from __future__ import annotations

import datetime as dt

from advisor.call import Call
from advisor.derive.gaps import Gap
from advisor.derive.label import Label
from advisor.fact import UNKNOWN, WEATHER, WORKED_OUT, Fact, Gathering, Origin, narrowed
from advisor.growth import Came, Dated, came, dated, stages_ruled_out
from advisor.heat import AIR, GERMINATION
from advisor.model import KnowledgeBase, Month, Region, Weed
from advisor.terms import Options, Span
from advisor.weather.days import TEMPS_F
from advisor.weather.rain import LEAST_IN
from advisor.weather.record import Weather
from advisor.weather.spraying import at_spraying, dry_side, ground, high_ahead, wind_today
from advisor.when import When

UNUSUAL = 3.0
"""Standard deviations of the daily high that still count as plausible weather for the month."""
NONE_MEANS_H = 168.0
"""Who says that it did not rain speaks of the week on either side of the spraying."""
WET_SITES = ("site.shallow-water-table", "site.poor-drainage", "site.pond-edge")
NO_SPRINKLER = Span(0, 0)


def plausible_day(month: Month) -> Span:
    """Temperatures that a day of the month can plausibly see (F)."""
    return Span(month.low - UNUSUAL * month.spread, month.high + UNUSUAL * month.spread)


def plausible(region: Region | None, day: dt.date) -> Span:
    """Temperatures (F) that a day can plausibly see: in its region, or anywhere."""
    return TEMPS_F if region is None else plausible_day(region.months[day.month - 1])


def weather_facts(call: Call, sprayed: When, weather: Weather, into: Gathering) -> None:
    """Air, wind, damp, ground and the days around a spraying, as the file has them."""
    for noted in at_spraying(weather, sprayed):
        into.add(noted.fact, noted.value, Origin(WEATHER, noted.words))
    noted_ground = ground(weather, sprayed, unwatered=_unwatered(call))
    if noted_ground is not None:
        into.add("soil_moisture", noted_ground.value, Origin(WEATHER, noted_ground.words))


def _unwatered(call: Call) -> bool:
    """Whether the caller tells that nothing but rain wets the lawn."""
    told = {**call.told, **call.answers}
    watered = [e for e in call.events if e.what in ("watered", "flooded")]
    never = bool(watered) and all(e.when is None for e in watered)
    off = "irrigation_days" in told and told["irrigation_days"].value == NO_SPRINKLER
    dated_water = any(e.when is not None for e in watered)
    return (never or off) and not dated_water and not any(site in told for site in WET_SITES)


# ---- rain, told and measured -------------------------------------------------------------------


def rain_gap(
    fact: str,
    told: Gap,
    weather: Weather,
    sprayed: When,
    into: Gathering,
    *,
    none_told: bool = False,
    least: float = LEAST_IN,
) -> Gap:
    """Hours to rain on one side of a spraying, by what was told and what the file says.

    Where they contradict, the nearer rain is kept, for it fell whether or not the other noticed;
    but that there was none at all, if told, is kept against the file.
    """
    side = "before" if fact.endswith("before") else "after"
    hours, words = dry_side(weather, sprayed, side, least)
    if told.origin.how == UNKNOWN:
        known = _within(hours, told.hours.high)
        return Gap(known, Origin(WEATHER, words)) if known != told.hours else told
    if none_told:
        told = Gap(Span(min(told.hours.low, NONE_MEANS_H), told.hours.high), told.origin)
    measured = Gap(_within(hours, max(told.hours.high, hours.low)), Origin(WEATHER, words))
    both = narrowed(told.hours, measured.hours)
    if isinstance(both, Span):
        return _joined(told, measured, both)
    keep_file = hours.high < told.hours.low and not none_told
    kept, other = (measured, told) if keep_file else (told, measured)
    into.contradict(Fact(fact, kept.hours, kept.origin), Fact(fact, other.hours, other.origin))
    return kept


def soaking_rain(told: Gap, weather: Weather, sprayed: When, least: float) -> Gap:
    """Hours to the first rain that washes a preventer in, told or measured.

    What was told is seldom measured, so that a soaking rain in the file outweighs silence about it.
    """
    hours, words = dry_side(weather, sprayed, "after", least)
    measured = Gap(_within(hours, told.hours.high), Origin(WEATHER, words))
    both = narrowed(told.hours, measured.hours)
    if told.origin.how != UNKNOWN and isinstance(both, Span):
        return _joined(told, measured, both)
    return measured if measured.hours != told.hours else told


def _within(hours: Span, longest: float) -> Span:
    return Span(min(hours.low, longest), min(hours.high, longest))


def _joined(told: Gap, measured: Gap, both: Span) -> Gap:
    if both == told.hours:
        return told
    if both == measured.hours:
        return measured
    words = f"{told.origin.words}; {measured.origin.words}"
    return Gap(both, Origin(WORKED_OUT, words, told.origin.lines))


# ---- warmth ------------------------------------------------------------------------------------


def season_dates(
    weed: Weed, weather: Weather, near: dt.date, region: Region | None, base: KnowledgeBase
) -> tuple[Dated, ...]:
    """When the weed's thresholds were passed in the season of a day."""
    south = region is not None and region.hemisphere == "south"
    return tuple(
        dated(weather, t, near, south=south, outside=lambda day: plausible(region, day))
        for t in base.heat.of_weed(weed.id)
        if t.measured == AIR
    )


def stage_by_heat(
    weed: Weed,
    sprayed: When,
    weather: Weather,
    region: Region | None,
    base: KnowledgeBase,
    into: Gathering,
) -> None:
    """Rule out the stages that the warmth up to a spraying does not allow."""
    found = season_dates(weed, weather, sprayed.first_day, region, base)
    gone = stages_ruled_out(found, sprayed.first_day, sprayed.last_day)
    if gone:
        possible = frozenset(base.facts["stage"].options) - gone
        words = f"{weather.name}: too little warmth by {sprayed.last_day} for {weed.name} to bloom"
        into.add("stage", Options(possible), Origin(WEATHER, words))


def germination_by_heat(
    weed: Weed,
    sprayed: When,
    season: dt.date,
    weather: Weather,
    region: Region | None,
    base: KnowledgeBase,
    into: Gathering,
) -> bool:
    """Days from the start of germination, by this year's warmth; whether that settles it.

    Args:
        weed: the weed.
        sprayed: when the preventer went down.
        season: the day germination usually starts, in the year meant.
        weather: the file.
        region: where the lawn is, if told.
        base: the knowledge base.
        into: where the fact goes.
    """
    found = season_dates(weed, weather, season, region, base)
    when = came(found, GERMINATION)
    if when is None or weather.last < when.start:
        return False
    whole = into.span("germination_lateness")
    low = float((sprayed.first_day - when.last).days) if when.last else whole.low
    if when.first is not None:
        high = float((sprayed.last_day - when.first).days)
    else:
        end = max(d.end for d in when.by)
        high = float((sprayed.last_day - end).days - 1)
    if low > high:
        return False
    into.add("germination_lateness", Span(low, high), Origin(WEATHER, _told(weed, when, weather)))
    return when.first is not None and when.last is not None


def _told(weed: Weed, when: Came, weather: Weather) -> str:
    if when.first is None:
        return f"{weather.name}: not warm enough for {weed.name} up to {weather.last}"
    until = f"and {when.last}" if when.last else f"and some day after {weather.last}"
    return (
        f"{weather.name}: by its warmth {weed.name} began to come up between {when.first} {until}"
    )


# ---- the day of the call -----------------------------------------------------------------------


def ahead_facts(call: Call, label: Label, weather: Weather, into: Gathering) -> bool:
    """Wind, rain and heat on the day of the call and after; whether the heat is known."""
    start = dt.datetime.combine(call.reported, dt.time())
    today = When(start, start + dt.timedelta(days=1), str(call.reported))
    wind = wind_today(weather, call.reported)
    if wind is not None:
        into.add(wind.fact, wind.value, Origin(WEATHER, wind.words))
    if call.reported in weather.by_day:
        hours, words = dry_side(weather, today, "after")
        sprinkler = into.span("irrigation_days") != NO_SPRINKLER
        low = 0.0 if sprinkler else hours.low
        into.add("dry_hours_ahead", Span(low, hours.high), Origin(WEATHER, words))
    ahead = high_ahead(weather, call.reported)
    if ahead is None or label.temperature is None:
        return False
    high, words = ahead
    limits = label.temperature
    said = f"{words}; the label says {limits.low:g} to {limits.high:g} F"
    origin = Origin(WEATHER, said)
    into.add("heat_ahead", Span(limits.high - high.high, limits.high - high.low), origin)
    into.add("cold_ahead", Span(high.low - limits.low, high.high - limits.low), origin)
    return True
