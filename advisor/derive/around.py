"""Facts about mowing, water and weather around one spraying.

Feeds the leaf and weather rules. Times come from the events of the call, temperatures from what
was felt or, failing that, from what the region's month usually brings.
"""

from __future__ import annotations

from advisor.account import Application, Call, Event
from advisor.derive.gaps import gap_after, gap_before, soaking, sooner, wetting
from advisor.derive.label import Label
from advisor.fact import KNOWLEDGE, UNKNOWN, Gathering, Origin
from advisor.model import KnowledgeBase, Month, Region
from advisor.terms import Span
from advisor.when import When

UNUSUAL = 3.0
"""Standard deviations of the daily high that still count as plausible weather for the month."""


def around_facts(
    call: Call, application: Application, label: Label, base: KnowledgeBase, into: Gathering
) -> None:
    """Hours to mowing and water on both sides, temperatures against the label."""
    if application.sprayed is not None:
        _mowing(call, application, application.sprayed, into)
        _water(call, application, application.sprayed, label, into)
        _usual_air(call, application.sprayed, base, into)
    _against_label(label, into)


def _of(call: Call, *sorts: str) -> list[Event]:
    return [e for e in call.events if e.what in sorts]


def _mowing(call: Call, application: Application, sprayed: When, into: Gathering) -> None:
    longest = into.span("mowed_before").high
    mowings = _of(call, "mowed")
    before = gap_before(sprayed, mowings, longest, application.line)
    after = gap_after(sprayed, mowings, longest, application.line)
    into.add("mowed_before", before.hours, before.origin)
    into.add("mowed_after", after.hours, after.origin)


def _water(
    call: Call, application: Application, sprayed: When, label: Label, into: Gathering
) -> None:
    longest = into.span("dry_hours_before").high
    sorts = [_of(call, "watered"), _of(call, "rained", "flooded")]
    line = application.line
    before = sooner(*(gap_before(sprayed, events, longest, line, wetting) for events in sorts))
    after = sooner(*(gap_after(sprayed, events, longest, line, wetting) for events in sorts))
    into.add("dry_hours_before", before.hours, before.origin)
    into.add("dry_hours_after", after.hours, after.origin)
    _soaked_in(call, application, sprayed, label, into)


def _soaked_in(
    call: Call, application: Application, sprayed: When, label: Label, into: Gathering
) -> None:
    enough = soaking(label.product.water_in_amount if label.product else None)
    longest = into.span("water_in_delay").high * 24
    gap = sooner(
        *(
            gap_after(sprayed, _of(call, sort), longest, application.line, enough)
            for sort in ("watered", "rained")
        )
    )
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
    region = base.regions.get(call.region or "")
    if region is None:
        return
    spans = [plausible_day(region.months[n - 1]) for n in months_of(sprayed)]
    span = Span(min(s.low for s in spans), max(s.high for s in spans))
    into.add("air_temp", span, Origin(KNOWLEDGE, f"what {region.name} can see in that month"))


def months_of(when: When) -> list[int]:
    """The months an interval touches, each once."""
    first, last = when.first_day, when.last_day
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    return [(first.month - 1 + n) % 12 + 1 for n in range(min(count, 12))]


def plausible_day(month: Month) -> Span:
    """Temperatures that a day of the month can plausibly see while people spray (F)."""
    return Span(month.low - UNUSUAL * month.spread, month.high + UNUSUAL * month.spread)


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
