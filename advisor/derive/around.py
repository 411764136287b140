"""Facts about mowing, water and weather around one spraying.

Feeds the leaf and weather rules. Times come from the events of the call and the weather file,
temperatures from what was felt, from the file or, failing both, from what the region's month can
bring.
"""

from __future__ import annotations

import datetime as dt

from advisor.account import Application, Call, Event
from advisor.derive.gaps import gap_after, gap_before, soaking, soaking_in, sooner, wetting
from advisor.derive.label import Label
from advisor.derive.weather import plausible_day, rain_gap, soaking_rain, weather_facts
from advisor.fact import KNOWLEDGE, UNKNOWN, WEATHER, WORKED_OUT, Gathering, Origin, narrowed
from advisor.model import KnowledgeBase, Region
from advisor.terms import Options, Span
from advisor.weather.record import Weather
from advisor.when import When, gap_hours

DAY, EVENING = dt.timedelta(days=1), dt.timedelta(hours=4)
FROST_F, HARD_FREEZE_F = 36.0, 28.0
"""Frost lies on leaves with the air at 36 F and below; nobody overlooks a night below 28 F."""
NIGHTS_H = 84.0
"""The three nights after a spraying are over after so many hours."""
USUAL = ("high_next_days", "low_next_nights", "soil_temp")
"""Temperatures that stay in what the month allows, beside that of the air at spraying."""


def around_facts(
    call: Call,
    application: Application,
    label: Label,
    base: KnowledgeBase,
    into: Gathering,
    weather: Weather | None = None,
) -> None:
    """Hours to mowing and water on both sides, temperatures against the label."""
    if application.sprayed is not None:
        _mowing(call, application, application.sprayed, into)
        _water(call, application, application.sprayed, label, into, weather)
        _frost(call, application.sprayed, into)
        if weather is not None:
            weather_facts(call, application.sprayed, weather, into)
        _usual_air(call, application.sprayed, base, into)
    _against_label(label, into)


def _frost(call: Call, sprayed: When, into: Gathering) -> None:
    """Frost on the leaves that morning, and how cold the nights after were, by the frosts told."""
    frosts = _of(call, "frosted")
    if not frosts:
        return
    words, lines = "; ".join(e.words for e in frosts), tuple(e.line for e in frosts)
    origin = Origin(WORKED_OUT, f"sprayed {sprayed.text}; {words}", lines)
    dated = [e.when for e in frosts if e.when is not None]
    if not dated:
        into.add("frost", Options.of("no"), origin)
        into.add("low_next_nights", Span(HARD_FREEZE_F, into.whole("low_next_nights").high), origin)
        return
    start = dt.datetime.combine(sprayed.first_day, dt.time()) - EVENING
    end = start + EVENING + DAY
    if sprayed.first_day == sprayed.last_day and any(
        w.low >= start and w.high <= end for w in dated
    ):
        into.add("frost", Options.of("yes"), origin)
    elif all(w.high <= start or w.low >= end for w in dated):
        into.add("frost", Options.of("no"), origin)
    if any(
        gap_hours(sprayed, w).low >= 0 and gap_hours(sprayed, w).high <= NIGHTS_H for w in dated
    ):
        low = into.whole("low_next_nights").low
        into.add("low_next_nights", Span(low, FROST_F), origin)


def _of(call: Call, *sorts: str) -> list[Event]:
    return [e for e in call.events if e.what in sorts]


def _mowing(call: Call, application: Application, sprayed: When, into: Gathering) -> None:
    longest = into.whole("mowed_before").high
    mowings = _of(call, "mowed")
    before = gap_before(sprayed, mowings, longest, application.line)
    after = gap_after(sprayed, mowings, longest, application.line)
    into.add("mowed_before", before.hours, before.origin)
    into.add("mowed_after", after.hours, after.origin)


def _water(
    call: Call,
    application: Application,
    sprayed: When,
    label: Label,
    into: Gathering,
    weather: Weather | None,
) -> None:
    longest = into.whole("dry_hours_before").high
    watered, rained = _of(call, "watered"), _of(call, "rained", "flooded")
    line = application.line
    for fact, gap_to in (("dry_hours_before", gap_before), ("dry_hours_after", gap_after)):
        rain = gap_to(sprayed, rained, longest, line, wetting)
        if weather is not None:
            none_told = any(e.when is None for e in rained)
            rain = rain_gap(fact, rain, weather, sprayed, into, none_told=none_told)
        gap = sooner(gap_to(sprayed, watered, longest, line, wetting), rain)
        into.add(fact, gap.hours, gap.origin)
    _soaked_in(call, application, sprayed, label, into, weather)


def _soaked_in(
    call: Call,
    application: Application,
    sprayed: When,
    label: Label,
    into: Gathering,
    weather: Weather | None,
) -> None:
    least = label.product.water_in_amount if label.product else None
    longest = into.whole("water_in_delay").high * 24
    line = application.line
    rain = gap_after(sprayed, _of(call, "rained"), longest, line, soaking(least))
    if weather is not None:
        rain = soaking_rain(rain, weather, sprayed, soaking_in(least))
    gap = sooner(gap_after(sprayed, _of(call, "watered"), longest, line, soaking(least)), rain)
    into.add("water_in_delay", Span(gap.hours.low / 24, gap.hours.high / 24), gap.origin)


def rainfast_margin(label: Label, into: Gathering) -> None:
    """Dry hours after spraying beyond what the label asks."""
    after = into.span("dry_hours_after")
    if label.rainfast_h is None:
        return
    margin = Span(after.low - label.rainfast_h, after.high - label.rainfast_h)
    origin = into.origin("dry_hours_after")
    words = f"{origin.words}; the label asks {label.rainfast_h:g} h"
    how = origin.how if into.known("dry_hours_after") else UNKNOWN
    into.add("rainfast_margin", margin, Origin(how, words.lstrip("; "), origin.lines))


def _usual_air(call: Call, sprayed: When, base: KnowledgeBase, into: Gathering) -> None:
    """What the month allows, beside what was told or measured."""
    region = base.regions.get(call.region or "")
    if region is None:
        return
    spans = [plausible_day(region.months[n - 1]) for n in months_of(sprayed)]
    span = Span(min(s.low for s in spans), max(s.high for s in spans))
    origin = Origin(KNOWLEDGE, f"what {region.name} can see in that month")
    for fact in ("air_temp", *USUAL):
        if fact not in base.facts:
            continue
        if into.origin(fact).how == WEATHER and narrowed(into.span(fact), span) is None:
            continue  # an unusual day: what was measured counts
        into.add(fact, span, origin)


def months_of(when: When) -> list[int]:
    """The months an interval touches, each once."""
    first, last = when.first_day, when.last_day
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    return [(first.month - 1 + n) % 12 + 1 for n in range(min(count, 12))]


def _against_label(label: Label, into: Gathering) -> None:
    if label.temperature is None:
        return
    air = into.span("air_temp")
    origin = into.origin("air_temp")
    limits = label.temperature
    words = f"{origin.words}; the label says {limits.low:g} to {limits.high:g} F".lstrip("; ")
    shown = Origin(origin.how, words, origin.lines)
    into.add("label_cold_margin", Span(air.low - limits.low, air.high - limits.low), shown)
    into.add("label_heat_margin", Span(limits.high - air.high, limits.high - air.low), shown)


def usual_high(region: Region, month: int) -> Span:
    """The daily highs a month usually brings (F)."""
    row = region.months[month - 1]
    return Span(row.high - 2 * row.spread, row.high + 2 * row.spread)
