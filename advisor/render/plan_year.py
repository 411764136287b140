"""A plan laid out over its days, ready to be drawn: seasons, windows, waits, frost, what is left.

The pictures in characters and in SVG are drawn from the same `YearPicture`. It holds dates and
shares, no words and no colors.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby

from advisor.planning.plan import Expected
from advisor.planning.request import Days
from advisor.planning.sheet import Sheet
from advisor.render.plan_summary import mean_left

NO_LEAF = "none"
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True)
class SeasonRun:
    """Days of a weed in one fit: best, fair, poor, or none where it has no leaf."""

    days: Days
    fit: str


@dataclass(frozen=True)
class Mark:
    """A step: its number, its window and its best day."""

    number: int
    window: Days
    day: dt.date


@dataclass(frozen=True)
class YearPicture:
    """Everything that a picture of a plan shows.

    `left` holds the mean share alive from each of its days on, the first of them the plan's first.
    """

    horizon: Days
    seasons: tuple[tuple[str, tuple[SeasonRun, ...]], ...]
    steps: tuple[Mark, ...]
    no_mowing: tuple[Days, ...]
    frost: tuple[Days, ...]
    sowing: tuple[Days, ...]
    left: tuple[tuple[dt.date, Expected], ...]

    def left_on(self, date: dt.date) -> Expected:
        """The mean share alive on a day."""
        return next(share for day, share in reversed(self.left) if day <= date)

    def months(self) -> Iterator[dt.date]:
        """The first days of the months within the horizon."""
        date = self.horizon.first.replace(day=1)
        while date <= self.horizon.last:
            if date >= self.horizon.first:
                yield date
            date = (date + 31 * _DAY).replace(day=1)


def year_of(sheet: Sheet) -> YearPicture:
    """The picture of a plan."""
    plan, seasons = sheet.plan, sheet.seasons
    horizon = plan.request.horizon
    weeds = {t.weed.id: t.weed for t in (*plan.targets, *plan.left_alone)}
    fits = []
    for weed in weeds.values():
        aims = [t for t in (*plan.targets, *plan.left_alone) if t.weed.id == weed.id]

        def fit(date: dt.date, aims: list = aims) -> str:  # type: ignore[type-arg]
            if not any(date in target.leaf for target in aims):
                return NO_LEAF
            return str(aims[0].season(date).fit)

        fits.append((weed.name, tuple(_seasons(horizon, fit))))
    start = {t.name: Expected(*t.survivors) for t in plan.targets}
    falls = [(horizon.first, mean_left(start, plan))]
    falls += [(step.day, mean_left(dict(step.alive), plan)) for step in plan.steps]
    return YearPicture(
        horizon=horizon,
        seasons=tuple(fits),
        steps=tuple(Mark(s.number, s.window, s.day) for s in plan.steps),
        no_mowing=tuple(_no_mowing(sheet)),
        frost=tuple(_runs(horizon, seasons.frozen)),
        sowing=tuple(run for slot in sheet.slots for run in slot.open),
        left=tuple(falls),
    )


def _seasons(horizon: Days, fit: Callable[[dt.date], str]) -> Iterator[SeasonRun]:
    dates = [horizon.first + n * _DAY for n in range(len(horizon))]
    for name, run in groupby(dates, key=fit):
        days = list(run)
        yield SeasonRun(Days(days[0], days[-1]), name)


def _runs(horizon: Days, holds: Callable[[dt.date], bool]) -> Iterator[Days]:
    dates = [horizon.first + n * _DAY for n in range(len(horizon))]
    for here, run in groupby(dates, key=holds):
        days = list(run)
        if here:
            yield Days(days[0], days[-1])


def _no_mowing(sheet: Sheet) -> Iterator[Days]:
    """The days around each step on which the label wants no mowing."""
    for step in sheet.steps:
        first, last = step.around.last_mowing, step.around.next_mowing
        if first is not None and last is not None:
            yield Days(first + _DAY, last - _DAY)
