"""Beyond spraying: what keeps a weed out, when grass seed may be sown, what the site allows.

Takes a finished plan and adds what the spray alone does not do. The sentences are the knowledge
base's own; dates respect the labels' waits for seed in both directions.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.diagnosis import CONTROL, SUPPRESSION, UNLIKELY, Diagnosis
from advisor.model import KnowledgeBase, Product, SiteLimit, Turf, Weed
from advisor.planning.labels import label_of
from advisor.planning.plan import Plan
from advisor.planning.request import Days, Request
from advisor.planning.seasons import Seasons
from advisor.windows import Case, words

SITE = "site"
THIN, WET, SHORT = "thin-turf", "overwatered", "mown-too-short"
WATER_TABLE, WET_SITES = "shallow-water-table", {"high-water-table", "poor-drainage"}
OFTEN_WATERED = 3
"""Watering on so many days a week keeps the top wet (common practice)."""
LEAST_SLOT_DAYS = 3
"""A gap shorter than this is no time to sow."""
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True)
class Care:
    """Something to do beside spraying: for whom of the weeds, and a cause's own words if it has."""

    weed: Weed
    do: str
    customer: str | None = None


@dataclass(frozen=True)
class Slot:
    """One sowing season: the runs of days that the labels' waits leave of it.

    `closed_by` is the product whose wait takes the most of it; None if none does.
    """

    season: Days
    open: tuple[Days, ...]
    closed_by: Product | None


@dataclass(frozen=True)
class SiteWord:
    """What can be had of a weed here: the level, and the features and labels that set it."""

    weed: Weed
    level: str
    limits: tuple[SiteLimit, ...]
    suppressed_only: bool


def site_words(plan: Plan, base: KnowledgeBase) -> list[SiteWord]:
    """For each weed what the site and the labels allow to be promised, the worst first."""
    result = []
    for name in plan.request.weeds:
        weed = base.weeds[name]
        limits = tuple(limit for limit in weed.sites if limit.feature in plan.request.features)
        levels = {limit.outlook for limit in limits}
        used = [s.product for s in plan.steps if s.product.lists(name) != "not-listed"]
        suppressed = bool(used) and all(p.lists(name) == "suppresses" for p in used)
        level = CONTROL
        if suppressed or SUPPRESSION in levels:
            level = SUPPRESSION
        if UNLIKELY in levels:
            level = UNLIKELY
        result.append(SiteWord(weed, level, limits, suppressed))
    return sorted(result, key=lambda word: (UNLIKELY, SUPPRESSION, CONTROL).index(word.level))


def care(plan: Plan, base: KnowledgeBase, found: Diagnosis | None = None) -> list[Care]:
    """What to do beside spraying: from the diagnosis, the weeds' likes, and what keeps them out."""
    result: list[Care] = []
    for name in plan.request.weeds:
        weed = base.weeds[name]
        for cause in _causes(plan, weed, found):
            remedy = base.causes[cause].remedies[0]
            do, customer = (undated(text, plan, base) for text in (remedy.do, remedy.customer))
            result.append(Care(weed, do, customer))
        result += [Care(weed, saying.say) for saying in weed.kept_out_by]
    first = {entry.do: entry for entry in reversed(result)}
    return [entry for entry in result if first[entry.do] is entry]


def undated(text: str, plan: Plan, base: KnowledgeBase) -> str:
    """A text without days of its own: the plan gives those, with the labels' waits kept."""
    nowhere = Case(None, None, None, plan.request.start)
    for name, figure in words(base, nowhere).items():
        text = text.replace(f"{{{name}}}", figure)
    return text


def _causes(plan: Plan, weed: Weed, found: Diagnosis | None) -> Iterator[str]:
    """The causes of site whose remedy helps here, each once."""
    if found is not None:
        shown = [c.cause for c in found.beside if c.cause.group == SITE]
        if shown:
            yield from (cause.id for cause in shown)
            return
    if weed.likes_wet_soil == "yes" and len(plan.request.water_weekdays) >= OFTEN_WATERED:
        yield WET
    if weed.likes_thin_turf == "yes":
        yield THIN
        yield SHORT
    if weed.likes_wet_soil == "yes" and WET_SITES & set(plan.request.features):
        yield WATER_TABLE


# ---- grass seed ------------------------------------------------------------------------------


def slots(plan: Plan, base: KnowledgeBase, seasons: Seasons) -> list[Slot]:
    """The sowing seasons of the turf within the plan, and what the waits leave of each."""
    turf = base.turf.get(plan.request.turf or "")
    if turf is None:
        return []
    result = []
    for season in sowing_seasons(turf, plan.request, seasons):
        days = [season.first + n * _DAY for n in range(len(season))]
        closing = [_closed_by(day, plan, base) for day in days]
        runs = _runs(days, [product is None for product in closing])
        names = [product.id for product in closing if product is not None]
        most = max(set(names), key=lambda name: (names.count(name), name), default=None)
        closed = label_of(plan.request, base, most) if most else None
        result.append(Slot(season, tuple(r for r in runs if len(r) >= LEAST_SLOT_DAYS), closed))
    return result


def sowing_seasons(turf: Turf, request: Request, seasons: Seasons) -> list[Days]:
    """The sowing seasons of a turf within a request's horizon."""
    sowing = [
        any(stretch.holds(seasons.region.weed_day(date)) for stretch in turf.seeding)
        for date in request.dates
    ]
    return _runs(request.dates, sowing)


def _closed_by(day: dt.date, plan: Plan, base: KnowledgeBase) -> Product | None:
    """The product whose wait for seed a day falls into."""
    made = [(step.day, step.product) for step in plan.steps]
    made += [
        (done.date, label_of(plan.request, base, done.product))
        for done in plan.request.done
        if done.product is not None
    ]
    for date, product in made:
        after = math.ceil(product.seed_after_days)
        before = math.ceil(product.new_grass_days)
        if date - before * _DAY < day < date + after * _DAY:
            return product
    return None


def _runs(dates: Sequence[dt.date], holds: Sequence[bool]) -> list[Days]:
    """The runs of days on which something holds."""
    found: list[Days] = []
    for date, here in zip(dates, holds, strict=True):
        if here and found and found[-1].last + _DAY == date:
            found[-1] = Days(found[-1].first, date)
        elif here:
            found.append(Days(date, date))
    return found
