"""Days of weather as columns of characters: highs and lows, rain, and whether one could spray.

Used by the weather page. It knows dates and figures and no words but the names of the months; the
picture is plain ASCII, needs no color and fits the width it is given.
"""

from __future__ import annotations

import calendar
import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from advisor.spray_days import SprayDay
from advisor.terms import Span, Truth
from advisor.weather.days import Day

ROWS: Final = 10
AXIS: Final = 7
SPRAY_MARKS: Final = {Truth.SHOWN: "o", Truth.OPEN: "~", Truth.RULED_OUT: "x"}
RAIN_MARKS: Final = ((0.005, " "), (0.1, "."), (0.5, ":"), (1.0, "I"))
"""Less than so much rain (in), and its mark."""
HEAVY, UNKNOWN = "#", "?"
KNOWN_WITHIN: Final = 30.0
"""A high or low less well known than this (F) is drawn as not known."""


@dataclass(frozen=True, slots=True)
class Picture:
    """The lines of a picture, and how many days a column of it stands for."""

    lines: tuple[str, ...]
    days_a_column: int


def picture(days: Sequence[Day], spraying: Sequence[SprayDay], width: int) -> Picture:
    """Draw the days; where they are more than fit, several share a column."""
    room = max(10, width - AXIS - 4)
    step = max(1, math.ceil(len(days) / room))
    groups = [days[n : n + step] for n in range(0, len(days), step)]
    verdicts = {day.date: day.suits for day in spraying}
    lines = [*_columns(groups)]
    lines.append(_row("rain", "".join(_rain(group) for group in groups)))
    lines.append(_row("spray", "".join(_spray(group, verdicts) for group in groups)))
    lines.append(_row("", _dates(groups)))
    return Picture(tuple(line.rstrip() for line in lines), step)


def _row(label: str, cells: str) -> str:
    return f"  {label:>{AXIS - 2}} {cells}"


def _columns(groups: Sequence[Sequence[Day]]) -> Iterator[str]:
    """Rows from the hottest down; a column is filled from its low to its high."""
    spans = [_ends(group) for group in groups]
    known = [span for span in spans if span is not None]
    if not known:
        yield _row("", UNKNOWN * len(groups))
        return
    bottom = math.floor(min(s.low for s in known) / 10) * 10
    top = max(math.ceil(max(s.high for s in known) / 10) * 10, bottom + 10)
    height = max(1, math.ceil((top - bottom) / ROWS / 5) * 5)
    for n in reversed(range(math.ceil((top - bottom) / height))):
        low = bottom + n * height
        cells = "".join(_cell(span, low, low + height, last=n == 0) for span in spans)
        yield _row(str(low), cells)


def _cell(span: Span | None, low: float, high: float, *, last: bool) -> str:
    if span is None:
        return UNKNOWN if last else " "
    return "|" if span.low < high and span.high >= low else " "


def _ends(group: Sequence[Day]) -> Span | None:
    """The lowest low and the highest high of the days of which both are known well enough."""
    known = [
        Span(day.low.low, max(day.low.low, day.high.high))
        for day in group
        if day.low is not None
        and day.high is not None
        and max(day.low.high - day.low.low, day.high.high - day.high.low) <= KNOWN_WITHIN
    ]
    return Span(min(s.low for s in known), max(s.high for s in known)) if known else None


def _rain(group: Sequence[Day]) -> str:
    amounts = [day.rain for day in group]
    fallen = sum(rain.low for rain in amounts if rain is not None)
    open_ended = any(rain is None or rain.high == math.inf for rain in amounts)
    mark = next((mark for most, mark in RAIN_MARKS if fallen < most), HEAVY)
    return UNKNOWN if open_ended and mark == " " else mark


def _spray(group: Sequence[Day], verdicts: Mapping[dt.date, Truth]) -> str:
    """The best day of the column."""
    found = {verdicts[day.date] for day in group if day.date in verdicts}
    for verdict, mark in SPRAY_MARKS.items():
        if verdict in found:
            return mark
    return UNKNOWN


def _dates(groups: Sequence[Sequence[Day]]) -> str:
    """Month and day under the columns, as many as fit."""
    text = ""
    for n, group in enumerate(groups):
        date = group[0].date
        wanted = n == 0 or date.day == 1 or (len(groups) <= 40 and date.day in (10, 20))
        if len(groups) > 40:
            wanted = n == 0 or any(day.date.day == 1 for day in group)
            date = next((day.date for day in group if day.date.day == 1), date)
        label = f"{calendar.month_abbr[date.month]} {date.day}"
        if wanted and (n == 0 or len(text) < n <= len(groups) + 3 - len(label)):
            text += " " * (n - len(text)) + label
    return text
