"""How long before and after a spraying other things happened: interval arithmetic on events.

Mowing, rain and watering are told as events with uncertain times. What was told of one sort of
event is taken as all there was of that sort near the spraying; what was not told stays open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

from advisor.account import Event
from advisor.fact import UNKNOWN, WORKED_OUT, Origin
from advisor.terms import Span, Truth
from advisor.units import Amount
from advisor.when import When, gap_hours

LEAST_WATER_IN = 0.04
"""Less water than this wets a leaf and runs no spray off; trials saw losses from 1 mm (0.04 in)."""
LEAST_SOAKING_IN = 0.25
"""What washes a preventer in where no label says (a quarter to a half inch is the usual advice)."""

Enough: TypeAlias = Callable[[Event], Truth]


@dataclass(frozen=True, slots=True)
class Gap:
    """Hours to the nearest event on one side of the spraying, with its origin."""

    hours: Span
    origin: Origin


def counts(event: Event) -> Truth:
    """An event of any size counts."""
    del event
    return Truth.SHOWN


def gap_before(
    sprayed: When, events: Iterable[Event], longest: float, line: int, enough: Enough = counts
) -> Gap:
    """Hours from the last event before spraying to the spraying.

    Args:
        sprayed: when it was sprayed.
        events: events of one sort.
        longest: the most that is plausible, in hours.
        line: the line of the spraying, for the origin.
        enough: whether an event was large enough to count.
    """
    return _nearest(sprayed, _counting(events, enough), longest, line, before=True)


def gap_after(
    sprayed: When, events: Iterable[Event], longest: float, line: int, enough: Enough = counts
) -> Gap:
    """Hours from the spraying to the first event after it."""
    return _nearest(sprayed, _counting(events, enough), longest, line, before=False)


def _counting(events: Iterable[Event], enough: Enough) -> list[tuple[Event, bool]]:
    """The events that may count, each with whether it surely does."""
    found = [(e, Truth.SHOWN if e.when is None else enough(e)) for e in events]
    return [(e, truth is Truth.SHOWN) for e, truth in found if truth is not Truth.RULED_OUT]


def _nearest(
    sprayed: When, events: list[tuple[Event, bool]], longest: float, line: int, *, before: bool
) -> Gap:
    low, high = longest, longest
    certain = False
    nearest: Event | None = None
    doubtful: list[Event] = []
    for event, surely in events:
        if event.when is None:  # told that there was none
            certain = True
            nearest = nearest or event
            continue
        gap = gap_hours(event.when, sprayed) if before else gap_hours(sprayed, event.when)
        if gap.high < 0:
            continue
        low = min(low, max(gap.low, 0.0))
        if gap.low < 0 or not surely:
            doubtful.append(event)
            continue
        certain = True
        if gap.high < high or nearest is None or nearest.when is None:
            nearest = event
        high = min(high, gap.high)
    if not certain:
        if not doubtful:
            return Gap(Span(0.0, longest), Origin(UNKNOWN))
        words = "; ".join(f"{e.words}, which may not count" for e in doubtful)
        origin = Origin(WORKED_OUT, words, tuple(e.line for e in doubtful))
        return Gap(Span(min(low, longest), longest), origin)
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
    first = min(known, key=lambda g: (g.hours.high, g.hours.low))
    return Gap(hours, first.origin)


def wetting(event: Event) -> Truth:
    """Whether it brought enough water to matter; where no amount is told, it did."""
    return Truth.SHOWN if event.amount is None else _reaches(event.amount, LEAST_WATER_IN)


def soaking(least: Amount | None) -> Enough:
    """Whether an event brought the water that a label asks to wash a preventer in."""
    wanted = soaking_in(least)

    def enough(event: Event) -> Truth:
        return Truth.OPEN if event.amount is None else _reaches(event.amount, wanted)

    return enough


def soaking_in(least: Amount | None) -> float:
    """Inches of water that wash a preventer in."""
    return least.to("in").low if least is not None else LEAST_SOAKING_IN


def _reaches(amount: Amount, wanted: float) -> Truth:
    water = amount.to("in")
    if water.low >= wanted:
        return Truth.SHOWN
    return Truth.OPEN if water.high >= wanted else Truth.RULED_OUT
