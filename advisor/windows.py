"""When a thing is best done here: the next days for a spray, for a preventer, for grass seed.

Moves the north-temperate calendars of weeds and grasses to the region, and fills the placeholders
of texts that speak of such days or of the products that fit. It knows no weather and judges none.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from advisor.derive.fitting import fitting_products
from advisor.derive.timing import germination_start
from advisor.model import DayOfYear, KnowledgeBase, Region, Stretch, Weed

BEST = "best"
PREVENTER_LEAD_DAYS = (21, 14)
"""A preventer goes down two to three weeks before the weed starts to come up (Purdue)."""
LEAST_LEFT = dt.timedelta(days=3)
"""A time that is over sooner than this is no time to plan for."""
MOST_PRODUCTS = 2
NAMES = ("best_season", "preventer_window", "sow_window", "next_spray", "fitting_products")
"""The placeholders that `words` fills."""

Days = tuple[dt.date, dt.date]


@dataclass(frozen=True, slots=True)
class Case:
    """What decides the days: the weed, the place, the grass, the day asked, the label's wait."""

    weed: Weed | None
    region: Region | None
    turf: str | None
    asked: dt.date
    not_before: dt.date | None = None

    @property
    def start(self) -> dt.date:
        """The first day on which anything may be sprayed again."""
        return max(self.asked, self.not_before or self.asked)


def words(base: KnowledgeBase, case: Case) -> dict[str, str]:
    """What stands in for each placeholder; plain words where the days are not known."""
    made: dict[str, Callable[[], str]] = {
        "best_season": lambda: _said("best-season", best_season(case), base, case),
        "preventer_window": lambda: _said("preventer-window", preventer_window(case), base, case),
        "sow_window": lambda: _said("sow-window", sow_window(base, case), base, case),
        "next_spray": lambda: _day(base, case),
        "fitting_products": lambda: _products(base, case),
    }
    return {name: made[name]() for name in NAMES}


def best_season(case: Case) -> Days | None:
    """The next of the weed's best seasons, from the first day it may be sprayed again."""
    if case.weed is None:
        return None
    best = _joined(s.stretch for s in case.weed.seasons if s.fit == BEST)
    return _next(best, case.region, case.start)


def preventer_window(case: Case) -> Days | None:
    """The next days on which a preventer goes down, ahead of the weed's germination."""
    if case.weed is None or case.weed.germinates is None:
        return None
    for years in range(3):
        near = case.asked + dt.timedelta(days=365 * years)
        start = germination_start(case.weed, case.region, near)
        if start is not None:
            first, last = (start - dt.timedelta(days=d) for d in PREVENTER_LEAD_DAYS)
            if last - case.asked >= LEAST_LEFT:
                return max(first, case.asked), last
    return None


def sow_window(base: KnowledgeBase, case: Case) -> Days | None:
    """The next days on which this grass is best sown."""
    turf = base.turf.get(case.turf or "")
    return None if turf is None else _next(turf.seeding, case.region, case.start)


def _next(stretches: Iterable[Stretch], region: Region | None, day: dt.date) -> Days | None:
    """The stretch that is on or comes next, in dates of the region, from a day on."""
    shift = 0
    if region is not None:
        shift = region.shift_days - (182 if region.hemisphere == "south" else 0)
    found = []
    for stretch in stretches:
        for year in range(day.year - 1, day.year + 3):
            first = stretch.first.in_year(year) + dt.timedelta(days=shift)
            last = first + dt.timedelta(days=stretch.days - 1)
            if last - day >= LEAST_LEFT:
                found.append((max(first, day), last))
    return min(found, default=None)


def _joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Stretches with neighbors made one."""
    left = sorted(stretches, key=lambda s: s.first.ordinal)
    joined: list[Stretch] = []
    for stretch in left:
        if joined and _meet(joined[-1].last, stretch.first):
            joined[-1] = Stretch(joined[-1].first, stretch.last)
        else:
            joined.append(stretch)
    if len(joined) > 1 and _meet(joined[-1].last, joined[0].first):
        joined[0] = Stretch(joined.pop().first, joined[0].last)
    return joined


def _meet(last: DayOfYear, first: DayOfYear) -> bool:
    return last.ordinal % 365 + 1 == first.ordinal


def _said(name: str, days: Days | None, base: KnowledgeBase, case: Case) -> str:
    if days is None:
        return base.phrases[f"customer-word-{name}"]
    first, last = (base.speech.day(d.month, d.day) for d in days)
    form = "customer-word-days" if case.region is not None else "customer-word-days-about"
    return _put(base.phrases[form], {"first": first, "last": last})


def _day(base: KnowledgeBase, case: Case) -> str:
    if case.not_before is None:
        return base.phrases["answer-next-spray"]
    return base.speech.day(case.start.month, case.start.day)


def _products(base: KnowledgeBase, case: Case) -> str:
    """The best products for the weed on this grass; those for anybody come before the others."""
    found = fitting_products(base, case.weed, case.turf) if case.weed is not None else ()
    free = [p.name for p in found if p.homeowner == "yes"]
    if free:
        return base.speech.one_of(free[:MOST_PRODUCTS])
    if found:
        return _put(base.phrases["customer-word-by-a-pro"], {"product": found[0].name})
    return base.phrases["answer-products"]


def _put(text: str, figures: Mapping[str, str]) -> str:
    for name, figure in figures.items():
        text = text.replace(f"{{{name}}}", figure)
    return text
