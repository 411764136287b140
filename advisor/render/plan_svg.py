"""The year of a plan as an SVG picture: seasons, windows, waits, frost, and what is left alive.

Drawn from a `YearPicture` for the printed sheet. It can be read without color, carries a title and
a description for those who cannot see it, and holds no style that the sheet does not set.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator, Sequence
from html import escape

from advisor.model import KnowledgeBase
from advisor.planning.request import Days
from advisor.render.plan_words import span
from advisor.render.plan_year import NO_LEAF, YearPicture
from advisor.render.say import percent, phrase

WIDTH, GUTTER, RIGHT = 760, 128, 20
AXIS, ROW, GAP = 36, 20, 6
CHART = 124
DOT = 9
LEAST_LABEL = 44
"""A figure needs so much room to the next drop of the line."""


class _Scale:
    """Days to places on the picture."""

    def __init__(self, horizon: Days) -> None:
        self._first = horizon.first
        self._each = (WIDTH - GUTTER - RIGHT) / len(horizon)

    def start(self, date: dt.date) -> float:
        """Where a day begins."""
        return GUTTER + (date - self._first).days * self._each

    def end(self, date: dt.date) -> float:
        """Where a day ends."""
        return self.start(date) + self._each

    def middle(self, date: dt.date) -> float:
        """The middle of a day."""
        return (self.start(date) + self.end(date)) / 2


def draw(year: YearPicture, base: KnowledgeBase) -> str:
    """The picture as an SVG element."""
    scale = _Scale(year.horizon)
    parts: list[str] = []
    y = AXIS
    for name, runs in year.seasons:
        parts += [_label(name, y)]
        parts += [_rect(scale, run.days, y, f"fit-{run.fit}") for run in runs if run.fit != NO_LEAF]
        y += ROW + GAP
    if year.steps:
        parts += [_label(phrase(base, "plan-picture-step"), y)]
        parts += [_rect(scale, mark.window, y, "window", least=5) for mark in year.steps]
        dots = [_dot(scale.middle(mark.day), y, mark.number) for mark in year.steps]
        parts += dots
        y += ROW + GAP
    for name, marked, style in (
        ("plan-picture-mow", year.no_mowing, "wait"),
        ("plan-picture-sow", year.sowing, "sow"),
    ):
        if marked:
            parts += [_label(phrase(base, name), y)]
            parts += [_rect(scale, run, y, style, least=3) for run in marked]
            y += ROW + GAP
    foot = y
    if year.steps:
        y += GAP
        parts += list(_chart(year, scale, y, base))
        foot = y + CHART
    frost = [_band(scale, run, foot) for run in year.frost]
    height = foot + 26
    return "\n".join(
        [
            f'<svg viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="year-t year-d">',
            f'<title id="year-t">{escape(phrase(base, "plan-head-picture").capitalize())}</title>',
            f'<desc id="year-d">{escape(words(year, base))}</desc>',
            _patterns(),
            *frost,
            *_months(year, scale, foot),
            *parts,
            *_frost_names(year, scale, foot, base),
            "</svg>",
        ]
    )


def words(year: YearPicture, base: KnowledgeBase) -> str:
    """The picture told to somebody who does not see it."""
    steps = " ".join(
        phrase(base, "plan-picture-words-step", number=str(m.number), window=span(m.window))
        for m in year.steps
    )
    return phrase(
        base,
        "plan-picture-words",
        first=str(year.horizon.first),
        last=str(year.horizon.last),
        steps=steps,
        now=percent(year.left[0][1].expected),
        left=percent(year.left[-1][1].expected),
    )


def _patterns() -> str:
    return (
        '<defs><pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="5" height="5" class="hatch-ground"/>'
        '<line x1="0" y1="0" x2="0" y2="5" class="hatch-line"/></pattern></defs>'
    )


def _label(text: str, y: float) -> str:
    shown = text[:1].upper() + text[1:]
    return f'<text x="{GUTTER - 8}" y="{y + 14:.1f}" class="row-name">{escape(shown)}</text>'


def _rect(scale: _Scale, days: Days, y: float, style: str, least: float = 0) -> str:
    start, end = scale.start(days.first), scale.end(days.last)
    width = max(least, end - start)
    return f'<rect x="{start:.1f}" y="{y}" width="{width:.1f}" height="{ROW}" class="{style}"/>'


def _dot(x: float, y: float, number: int) -> str:
    return (
        f'<circle cx="{x:.1f}" cy="{y + ROW / 2}" r="{DOT}" class="dot"/>'
        f'<text x="{x:.1f}" y="{y + ROW / 2 + 4}" class="dot-number">{number}</text>'
    )


# ---- axis and frost --------------------------------------------------------------------------


def _months(year: YearPicture, scale: _Scale, foot: float) -> Iterator[str]:
    """Lines at the first of each month, their letters, and the years."""
    months = list(year.months())
    starts = [year.horizon.first, *months]
    ends = [*months, year.horizon.last + dt.timedelta(days=1)]
    for first, end in zip(starts, ends, strict=True):
        left, right = scale.start(first), scale.start(end)
        style = "year-line" if first.month == 1 and first.day == 1 else "month-line"
        if first.day == 1:
            yield f'<line x1="{left:.1f}" y1="16" x2="{left:.1f}" y2="{foot}" class="{style}"/>'
        name = calendar.month_abbr[first.month]
        shown = name if right - left >= 26 else name[0] if right - left >= 10 else ""
        yield f'<text x="{(left + right) / 2:.1f}" y="29" class="month">{shown}</text>'
    for date in {first.year: first for first in reversed(starts)}.values():
        yield f'<text x="{scale.start(date) + 2:.1f}" y="12" class="year">{date.year}</text>'


def _band(scale: _Scale, run: Days, foot: float) -> str:
    start, end = scale.start(run.first), scale.end(run.last)
    return (
        f'<rect x="{start:.1f}" y="{AXIS - 4}" width="{end - start:.1f}" '
        f'height="{foot - AXIS + 4}" class="frost"/>'
    )


def _frost_names(
    year: YearPicture, scale: _Scale, foot: float, base: KnowledgeBase
) -> Iterator[str]:
    for run in year.frost:
        start, end = scale.start(run.first), scale.end(run.last)
        if end - start > 40:
            name = escape(phrase(base, "plan-picture-frost"))
            middle = (start + end) / 2
            yield f'<text x="{middle:.1f}" y="{foot + 16}" class="frost-name">{name}</text>'


# ---- what is left ----------------------------------------------------------------------------


def _chart(year: YearPicture, scale: _Scale, top: float, base: KnowledgeBase) -> Iterator[str]:
    """The share alive: a line that falls with every step, in its range."""
    head, foot = top + 20, top + CHART - 6

    def at(share: float) -> float:
        return foot - share * (foot - head)

    name = escape(phrase(base, "plan-sheet-left"))
    yield f'<text x="{GUTTER - 8}" y="{top + 6}" class="row-name">{name}</text>'
    for level in (0.0, 0.5, 1.0):
        line = at(level)
        yield (
            f'<line x1="{GUTTER}" y1="{line:.1f}" x2="{WIDTH - RIGHT}" y2="{line:.1f}" '
            'class="level"/>'
        )
        yield (
            f'<text x="{GUTTER - 8}" y="{line + 4:.1f}" class="level-name">'
            f"{level * 100:.0f} %</text>"
        )
    places = [scale.start(year.left[0][0]), *(scale.middle(day) for day, _ in year.left[1:])]
    ends = [*places[1:], scale.end(year.horizon.last)]
    shares = [share for _, share in year.left]
    high = [(x, at(s.high)) for x, s in _corners(places, ends, shares)]
    low = [(x, at(s.low)) for x, s in _corners(places, ends, shares)]
    yield f'<polygon points="{_points([*high, *reversed(low)])}" class="left-range"/>'
    line_points = [(x, at(s.expected)) for x, s in _corners(places, ends, shares)]
    yield f'<polyline points="{_points(line_points)}" class="left-line"/>'
    for x, end, share in zip(places, ends, shares, strict=True):
        if end - x >= LEAST_LABEL or end == ends[-1]:
            y = at(share.expected) - 6
            text = percent(share.expected)
            yield f'<text x="{x + 6:.1f}" y="{y:.1f}" class="left-figure">{text}</text>'


def _corners(places: Sequence[float], ends: Sequence[float], shares: Sequence) -> list:  # type: ignore[type-arg]
    """The corners of a line that runs level and falls at each place."""
    result = []
    for x, end, share in zip(places, ends, shares, strict=True):
        result += [(x, share), (end, share)]
    return result


def _points(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
