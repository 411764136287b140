"""The year of a plan in characters: a column for some days, a row for each thing to see.

Drawn for the terminal from a `YearPicture`; plain ASCII, without color, as wide as it is given.
"""

from __future__ import annotations

import calendar
import datetime as dt
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.model import KnowledgeBase
from advisor.planning.request import Days
from advisor.render.plan_year import NO_LEAF, Mark, SeasonRun, YearPicture
from advisor.render.say import phrase

FITS = {"best": "#", "fair": "+", "poor": "-", NO_LEAF: " "}
ORDER = ("best", "fair", "poor", NO_LEAF)
LABEL = (10, 16)
"""The least and the most room for the names of the rows."""
LEVELS = (100, 75, 50, 25)
LEAST_SHOWN = 2.5
"""Less than this share (in percent) shows no mark."""
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True)
class Drawn:
    """The lines of a picture, and how many days a column stands for."""

    lines: tuple[str, ...]
    days_a_column: int


def draw(year: YearPicture, base: KnowledgeBase, width: int) -> Drawn:
    """Draw a plan's year no wider than asked."""
    names = [name for name, _ in year.seasons] + [phrase(base, "plan-picture-mow")]
    label = min(LABEL[1], max(LABEL[0], *(len(name) for name in names)))
    room = max(20, width - label - 3)
    step = max(1, math.ceil(len(year.horizon) / room))
    columns = [
        Days(first, min(first + (step - 1) * _DAY, year.horizon.last))
        for first in (year.horizon.first + n * _DAY for n in range(0, len(year.horizon), step))
    ]
    lines = [_row(label, "", _years(columns)), _row(label, "", _months(columns))]
    if year.frost:
        lines.append(
            _row(label, phrase(base, "plan-picture-frost"), _marks(columns, year.frost, "*"))
        )
    lines += [_row(label, name, _fits(columns, runs)) for name, runs in year.seasons]
    if year.steps:
        lines.append(_row(label, phrase(base, "plan-picture-step"), _steps(columns, year.steps)))
    if year.no_mowing:
        lines.append(
            _row(label, phrase(base, "plan-picture-mow"), _marks(columns, year.no_mowing, "x"))
        )
    if year.sowing:
        lines.append(
            _row(label, phrase(base, "plan-picture-sow"), _marks(columns, year.sowing, "s"))
        )
    if year.steps:
        lines += _left(label, columns, year, phrase(base, "plan-picture-left"))
    return Drawn(tuple(line.rstrip() for line in lines), step)


def _row(width: int, label: str, cells: str) -> str:
    return f"  {label[:width]:<{width}} {cells}"


def _meets(column: Days, run: Days) -> bool:
    return run.first <= column.last and column.first <= run.last


def _marks(columns: Sequence[Days], runs: Iterable[Days], mark: str) -> str:
    found = list(runs)
    return "".join(mark if any(_meets(c, run) for run in found) else " " for c in columns)


def _fits(columns: Sequence[Days], runs: Sequence[SeasonRun]) -> str:
    """The best fit that falls into each column."""
    cells = []
    for column in columns:
        here = [run.fit for run in runs if _meets(column, run.days)]
        cells.append(FITS[min(here, key=ORDER.index)])
    return "".join(cells)


def _steps(columns: Sequence[Days], steps: Sequence[Mark]) -> str:
    """The windows as bars; the column of a best day shows the step's number."""
    cells = list(_marks(columns, (s.window for s in steps), "="))
    for n, column in enumerate(columns):
        for step in steps:
            if column.holds(step.day):
                cells[n] = str(step.number % 10)
    return "".join(cells)


def _left(width: int, columns: Sequence[Days], year: YearPicture, label: str) -> list[str]:
    """The share alive as columns of marks that fall with every step."""
    shares = [year.left_on(column.first).expected * 100 for column in columns]
    floors = (*LEVELS[1:], 0)
    lines = []
    for level, floor in zip(LEVELS, floors, strict=True):
        least = (level + floor) / 2 if floor else LEAST_SHOWN
        cells = "".join("#" if share >= least else " " for share in shares)
        name = f"{label if level == LEVELS[0] else '':<{width - 5}}{level:>3} %"
        lines.append(_row(width, name, cells))
    return lines


def _months(columns: Sequence[Days]) -> str:
    """The names of the months; single letters where three do not fit."""
    starts = [
        (n, calendar.month_abbr[column.last.month])
        for n, column in enumerate(columns)
        if n == 0 or column.last.month != columns[n - 1].last.month
    ]
    rooms = [after - here for (here, _), (after, _) in itertools.pairwise(starts[1:])]
    if min(rooms, default=4) < 4:
        starts = [(n, name[0]) for n, name in starts]
    elif len(starts) > 1 and starts[1][0] < 2:  # one letter close to a name reads as part of it
        starts = [(0, ""), *starts[1:]]
    return _names(starts, len(columns))


def _years(columns: Sequence[Days]) -> str:
    starts = [
        (n, str(column.last.year))
        for n, column in enumerate(columns)
        if n == 0 or column.last.year != columns[n - 1].last.year
    ]
    return _names(starts, len(columns))


def _names(starts: Sequence[tuple[int, str]], width: int) -> str:
    cells = [" "] * width
    ends = [n for n, _ in starts[1:]] + [width + 1]
    for (start, name), end in zip(starts, ends, strict=True):
        shown = name if len(name) < end - start else name[:1] if name.isalpha() else ""
        for k, letter in enumerate(shown):
            if start + k < width:
                cells[start + k] = letter
    return "".join(cells)
