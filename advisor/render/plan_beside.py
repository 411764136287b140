"""What stands beside the sprays of a plan: other products, care, sowing, seed in the soil.

Shared by the page, the printed sheet and the document, like `plan_summary`. Nothing is worked out
here.
"""

from __future__ import annotations

import re

from advisor.model import KnowledgeBase, Weed
from advisor.planning.beyond import Slot
from advisor.planning.seedbank import SeedYear
from advisor.planning.sheet import Sheet
from advisor.render.plan_words import capital, joined, span
from advisor.render.say import PLACEHOLDER, percent, phrase
from advisor.terms import Span
from advisor.units import show

MOWING = {"two": 2.0, "three": 3.0, "four": 4.0}
MOW = re.compile(r"\b[Mm]ow(?: \w+)? at (\d+(?:\.\d+)?|two|three|four)(?= |-)")
"""A height of cut in a sentence of the knowledge base, in inches."""


def instead(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What else can be done of the weeds that the plan does little to."""
    result = []
    for other in sheet.instead:
        weed = other.weed.name
        for product in other.products:
            result.append(phrase(base, "plan-instead-product", product=product.name, weed=weed))
        for product in other.licensed:
            result.append(phrase(base, "plan-instead-licensed", product=product.name, weed=weed))
        for product in other.spot:
            result.append(phrase(base, "plan-instead-spot", product=product.name, weed=weed))
        result.append(by_hand(other.weed, base))
    return result


def by_hand(weed: Weed, base: KnowledgeBase) -> str:
    """What can be done with a spade: by habit where that says more than its class."""
    name = f"plan-instead-hand-{weed.habit}"
    if name not in base.phrases:
        name = f"plan-instead-hand-{base.habit_class(weed.habit)}"
    return phrase(base, name, weed=weed.name)


def beyond(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What to do beside spraying."""
    result = []
    turf = base.turf.get(sheet.plan.request.turf or "")
    if turf is not None:
        height = show(turf.mowing_height_in, "in")
        result.append(phrase(base, "plan-care-mow", height=height))
    several = len(sheet.plan.request.weeds) > 1
    for care in sheet.care:
        if turf is not None and _too_high(care.do, turf.mowing_height_in.high):
            continue
        text = _named(care.do, care.weed.name)
        own = several and care.customer is None
        result.append(f"{capital(care.weed.name)}: {text}" if own else text)
    return result


def _too_high(text: str, most: float) -> bool:
    """Whether a sentence asks for a cut that the lawn grass does not stand."""
    heights = (MOWING[word] if word in MOWING else float(word) for word in MOW.findall(text))
    return any(height > most for height in heights)


def _named(text: str, weed: str) -> str:
    """A remedy of the knowledge base with the weed's name in it."""
    known = {"weed": weed, "product": "the product"}
    return capital(PLACEHOLDER.sub(lambda found: known.get(found[1], found[0]), text))


def sowing(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """When grass seed can go down between the waits."""
    turf = base.turf.get(sheet.plan.request.turf or "")
    if turf is None:
        return []
    if not turf.seeding:
        return [phrase(base, "plan-seed-none")]
    if not sheet.slots:
        return [phrase(base, "plan-seed-outside")]
    return [_slot(slot, base) for slot in sheet.slots] + _waits(sheet, base)


def _slot(slot: Slot, base: KnowledgeBase) -> str:
    season = span(slot.season)
    if slot.closed_by is None:
        return phrase(base, "plan-seed-all", season=season)
    if not slot.open:
        return phrase(base, "plan-seed-closed", season=season, product=slot.closed_by.name)
    days = joined([span(run) for run in slot.open], "or")
    return phrase(base, "plan-seed-open", season=season, days=days)


def _waits(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    products = {s.closed_by.id: s.closed_by for s in sheet.slots if s.closed_by is not None}
    return [
        phrase(
            base,
            "plan-seed-waits",
            product=product.name,
            after=_days(product.seed_after_days),
            age=_days(product.new_grass_days),
        )
        for product in products.values()
    ]


def _days(days: float) -> str:
    return show(Span(days, days), "days")


def bank(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What the seed in the soil still brings."""
    start = sheet.plan.request.start.year
    result = []
    for weed, years in sheet.seeds:
        said = ", ".join(_seed_year(year, start, base) for year in years)
        result.append(capital(phrase(base, "plan-bank", weed=weed.name, years=said)))
    return [*result, phrase(base, "plan-bank-assumed")] if result else []


def _seed_year(found: SeedYear, start: int, base: KnowledgeBase) -> str:
    low, high = percent(found.low), percent(found.high)
    year = str(start + found.year)
    if low == high:
        return phrase(base, "plan-bank-year", year=year, share=low)
    return phrase(base, "plan-bank-years", year=year, low=low, high=high)
