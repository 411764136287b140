"""What a plan aims at: a perennial that lives all along, or one year's crop of an annual.

An annual's plants of this year and of the next are two crops: killing the one does nothing to the
other. For each crop it is worked out when its seed comes up and when its plants die by themselves.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.model import Region, Stretch, Weed
from advisor.planning.request import Days, Request

LEAST_DAYS_LEFT = 21
"""An annual that dies by itself sooner than this is not worth a spray (common practice)."""
WINTER_ANNUAL_DIES_AFTER_FROST = 60


@dataclass(frozen=True)
class Target:
    """A weed, or one crop of an annual weed.

    Attributes:
        weed: the weed.
        name: how it is called in a plan.
        alive: when a leaf spray meets its plants.
        germinates: when its seed comes up; None where that is not what is planned against.
        survivors: share alive at the start (low, expected, high).
    """

    weed: Weed
    name: str
    alive: Days
    germinates: Days | None
    survivors: tuple[float, float, float]


def targets(request: Request, weed: Weed, region: Region) -> list[Target]:
    """The targets of one weed within the horizon."""
    horizon = Days(request.dates[0], request.dates[-1])
    told = request.alive.get(weed.id, (1.0, 1.0, 1.0))
    if weed.life_cycle not in {"summer-annual", "winter-annual"} or weed.germinates is None:
        return [Target(weed, weed.name, horizon, None, told)]
    result = []
    for crop in _crops(weed.germinates, region, horizon):
        dies = _death(weed, region, crop)
        if dies < horizon.first + dt.timedelta(days=LEAST_DAYS_LEFT) or crop.last > horizon.last:
            continue
        up = crop.first <= horizon.first
        survivors = told if up else (1.0, 1.0, 1.0)
        name = f"{weed.name} of {crop.first.year}"
        alive = Days(max(crop.first, horizon.first), min(dies, horizon.last))
        result.append(Target(weed, name, alive, crop, survivors))
    return result


def _crops(stretch: Stretch, region: Region, horizon: Days) -> Iterator[Days]:
    """The times of germination that touch the horizon or the year before it."""
    first = horizon.first - dt.timedelta(days=365)
    run: list[dt.date] = []
    for n in range((horizon.last - first).days + 1):
        date = first + dt.timedelta(days=n)
        if stretch.holds(region.weed_day(date)):
            run.append(date)
        elif run:
            yield Days(run[0], run[-1])
            run = []
    if run:
        yield Days(run[0], run[-1])


def _death(weed: Weed, region: Region, crop: Days) -> dt.date:
    """When the plants of a crop die by themselves."""
    if weed.life_cycle == "summer-annual":
        return _next(region, crop.first, fall=True)
    spring = _next(region, crop.first, fall=False)
    return spring + dt.timedelta(days=WINTER_ANNUAL_DIES_AFTER_FROST)


def _next(region: Region, after: dt.date, *, fall: bool) -> dt.date:
    day = region.first_fall_frost if fall else region.last_spring_frost
    for year in (after.year, after.year + 1):
        date = day.in_year(year)
        if date > after:
            return date
    raise AssertionError("a day of the year comes round every year")
