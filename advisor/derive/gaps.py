"""How long before and after a spraying other things happened: interval arithmetic on events.

Mowing, rain and watering are told as events with uncertain times. What was told of one sort of
event is taken as all there was of that sort near the spraying; what was not told stays open.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.call import Event
from advisor.fact import UNKNOWN, WORKED_OUT, Origin
from advisor.terms import Span
from advisor.units import Amount
from advisor.when import When, gap_hours

LEAST_WATER_IN = 0.04
"""Less water than this wets a leaf and runs no spray off; trials saw losses from 1 mm (0.04 in)."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Hours to the nearest event on one side of the spraying, with its origin."""

    hours: Span
    origin: Origin


def gap_before(sprayed: When, events: Iterable[Event], longest: float, line: int) -> Gap:
    """Hours from the last event before spraying to the spraying.

    Args:
        sprayed: when it was sprayed.
        events: events of one sort.
        longest: the most that is plausible, in hours.
        line: the line of the spraying, for the origin.
    """
    return _nearest(sprayed, list(events), longest, line, before=True)


def gap_after(sprayed: When, events: Iterable[Event], longest: float, line: int) -> Gap:
    """Hours from the spraying to the first event after it."""
    return _nearest(sprayed, list(events), longest, line, before=False)


def _nearest(sprayed: When, events: list[Event], longest: float, line: int, *, before: bool) -> Gap:
    low, high = longest, longest
    certain = False
    nearest: Event | None = None
    for event in events:
        if event.when is None:  # told that there was none
            certain = True
            nearest = nearest or event
            continue
        gap = gap_hours(event.when, sprayed) if before else gap_hours(sprayed, event.when)
        if gap.high < 0:
            continue
        low = min(low, max(gap.low, 0.0))
        if gap.low >= 0:
            certain = True
            if gap.high < high or nearest is None or nearest.when is None:
                nearest = event
            high = min(high, gap.high)
    if not certain:
        uncertain = [e for e in events if e.when is not None and low < longest]
        lines = tuple(e.line for e in uncertain)
        words = "; ".join(e.words for e in uncertain)
        origin = Origin(WORKED_OUT, f"{words}, before or after", lines) if words else None
        return Gap(Span(0.0, longest), origin or Origin(UNKNOWN))
    assert nearest is not None
    words = f"sprayed {sprayed.text}, {nearest.words}"
    return Gap(Span(min(low, high), high), Origin(WORKED_OUT, words, (line, nearest.line)))


def sooner(one: Gap, other: Gap) -> Gap:
    """The gap to whichever came nearer."""
    hours = Span(min(one.hours.low, other.hours.low), min(one.hours.high, other.hours.high))
    known = [g for g in (one, other) if g.origin.how != UNKNOWN]
    if not known:
        return Gap(hours, Origin(UNKNOWN))
    if len(known) == 1:
        return Gap(hours, known[0].origin)
    first = min(known, key=lambda g: g.hours.high)
    return Gap(hours, first.origin)


def wetting(events: Iterable[Event]) -> list[Event]:
    """Those that bring enough water to matter; where no amount is told, they do."""
    return [e for e in events if _most_in(e.amount) >= LEAST_WATER_IN]


def soaking(events: Iterable[Event], least: Amount | None) -> list[Event]:
    """Those that may have brought the water a label asks to wash a preventer in."""
    wanted = least.to("in").low if least is not None else 0.25
    return [e for e in events if _most_in(e.amount) >= wanted]


def _most_in(amount: Amount | None) -> float:
    return float("inf") if amount is None else amount.to("in").high
