"""What labels let a plan do: which products fit, at which rate, how far apart, how often a year.

Asked by `setup` before any day is looked at. Every limit is the label's, but for the wait between
products of different groups and for the time a weed needs to grow leaf again.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.asking import GRANULE, matter_of
from advisor.dose.exact import PRINTED, UNITS
from advisor.dose.limits import as_acid, per_area, tolerates
from advisor.model import KnowledgeBase, Product, Rate, Weed
from advisor.planning.request import Done, Request

LEAST_GAP_DAYS = 14
"""Days between applications of different groups on one lawn (common practice)."""
NON_SELECTIVE = "non-selective"
PREVENTER = "pre-emergent"


@dataclass(frozen=True)
class Barred:
    """A product that a plan may not use, and why: a phrase `plan-barred-<why>` says it."""

    product: Product
    why: str


def through_leaf(product: Product) -> bool:
    """Whether a product is planned against plants that are up, by their leaves.

    One that works from the soil as well counts for the leaf unless it is sold to stop seedlings.
    """
    if product.acts_through == "both":
        return product.kind != PREVENTER
    return product.acts_through == "leaf"


def must_stick(product: Product) -> bool:
    """Whether a product is granules that have to cling to wet leaves."""
    return product.formulation == GRANULE and through_leaf(product)


def label_of(request: Request, base: KnowledgeBase, name: str) -> Product:
    """A product with its label as read out, where it was."""
    return request.labels.get(name) or base.products[name]


def usable_products(request: Request, base: KnowledgeBase) -> tuple[list[Product], list[Barred]]:
    """The products a plan may use, and those asked for or listed that it may not."""
    allowed = request.products if request.products is not None else tuple(base.products)
    usable: list[Product] = []
    barred: list[Barred] = []
    for name in allowed:
        product = label_of(request, base, name)
        why = _why_not(request, product, base)
        if why is None:
            usable.append(product)
        elif why != "not-listed" or request.products is not None or name in request.at_hand:
            barred.append(Barred(product, why))
    return usable, barred


def _why_not(request: Request, product: Product, base: KnowledgeBase) -> str | None:
    """Why a product may not be used at all; None if it may."""
    listed = [weed for weed in request.weeds if product.lists(weed) != "not-listed"]
    if not listed:
        return "not-listed"
    if all(_stood(product, request.resisted.get(weed, frozenset())) for weed in listed):
        return "resistant"
    if product.homeowner != "yes" and request.homeowner:
        return "licensed"
    if product.kind == NON_SELECTIVE:
        return None if request.spot_kill else "kills-grass"
    return _turf_forbids(request, product, base)


def _turf_forbids(request: Request, product: Product, base: KnowledgeBase) -> str | None:
    """Whether the lawn grass does not stand a product, or may not."""
    verdict = "yes" if request.turf is None else tolerates(product, request.turf, base)
    return {"yes": None, "no": "turf-no"}.get(verdict or "", "turf-unsure")


def _stood(product: Product, resisted: frozenset[str]) -> bool:
    return all(active.name in resisted for active in product.actives)


def rate_for(product: Product, weeds: Iterable[str]) -> Rate | None:
    """The label's rate for the weed among several that needs most."""
    listed = [weed for weed in weeds if product.lists(weed) != "not-listed"]
    rates = [rate for weed in listed if (rate := product.rate_for(weed)) is not None]
    return max(rates, key=lambda rate: (_top(product, rate), -rates.index(rate)), default=None)


def _top(product: Product, rate: Rate) -> Fraction:
    return rate.amount.exact(UNITS[f"{matter_of(product)}-per-area"])[1]


def per_year(product: Product, weeds: Sequence[str]) -> int:
    """Applications that the label allows in a year at the planned rate, by count and by amount."""
    rate = rate_for(product, weeds)
    if rate is None or product.yearly_amount is None:
        return product.per_year
    yearly = product.yearly_amount.exact(UNITS[f"{matter_of(product)}-per-area"])[1]
    return min(product.per_year, math.floor(yearly * (1 + PRINTED) / _top(product, rate)))


def groups(product: Product) -> frozenset[int]:
    """The groups of a product's actives."""
    return frozenset(a.group for a in product.actives)


def gap_days(before: Product, after: Product, shared: Iterable[Weed] = ()) -> int:
    """Days between two applications on one lawn.

    Products that share a group keep the longer of their intervals, others at least two weeks. A
    weed that both go for with a leaf spray must first have grown leaf again.
    """
    gap = LEAST_GAP_DAYS
    if before.id == after.id:
        gap = max(1, math.ceil(after.interval_days))
    elif groups(before) & groups(after):
        gap = max(1, math.ceil(max(before.interval_days, after.interval_days)))
    if through_leaf(before) and through_leaf(after):
        gap = max([gap, *(weed.retreatments.interval_days[0] for weed in shared)])
    return gap


def gap_after(done: Done, after: Product, request: Request, base: KnowledgeBase) -> int:
    """Days from an application already made to the next one.

    Of a product nobody knows the worst is taken: that it shares a group with the next one.
    """
    if done.product is None:
        return max(LEAST_GAP_DAYS, math.ceil(max(done.interval_days or 0, after.interval_days)))
    before = label_of(request, base, done.product)
    weeds = [base.weeds[w] for w in request.weeds if _both_list(before, after, w)]
    return gap_days(before, after, weeds)


def _both_list(one: Product, other: Product, weed: str) -> bool:
    return one.lists(weed) != "not-listed" and other.lists(weed) != "not-listed"


@dataclass(frozen=True)
class ActiveYear:
    """An active that several products hold: what each puts on in one application, and the cap.

    Amounts are ounces of acid (or of active) per 1,000 ft2. The cap is the most that any one of
    the labels allows in a year.
    """

    name: str
    per_application: dict[str, float]
    cap: float


def active_years(products: Sequence[Product], weeds: Sequence[str]) -> list[ActiveYear]:
    """The actives that more than one of the products hold."""
    result = []
    for name in sorted({a.name for p in products for a in p.actives}):
        holding = [p for p in products if any(a.name == name for a in p.actives)]
        if len(holding) < 2:
            continue
        each = {p.id: _of_active(p, name, _planned(p, weeds)) for p in holding}
        caps = [_of_active(p, name, _yearly(p, weeds)) for p in holding]
        if all(amount is not None for amount in (*each.values(), *caps)):
            amounts = {p: float(amount or 0) for p, amount in each.items()}
            result.append(ActiveYear(name, amounts, float(max(cap or 0 for cap in caps))))
    return result


def _planned(product: Product, weeds: Sequence[str]) -> Fraction:
    rate = rate_for(product, weeds) or product.rates[0]
    return _top(product, rate)


def _yearly(product: Product, weeds: Sequence[str]) -> Fraction:
    if product.yearly_amount is None:
        return product.per_year * _planned(product, weeds)
    return product.yearly_amount.exact(UNITS[f"{matter_of(product)}-per-area"])[1]


def _of_active(product: Product, name: str, amount: Fraction) -> Fraction | None:
    active = next(a for a in product.actives if a.name == name)
    ounces = per_area(active, amount, matter_of(product))
    return None if ounces is None else as_acid(active, ounces)


def day_open(request: Request, product: Product, date: dt.date) -> str | None:
    """What of the caller's days, mowing or seeding closes a day; None if it is open."""
    if request.not_before is not None and date < request.not_before:
        return "at-work"
    if any(days.holds(date) for days in request.avoid):
        return "days"
    for sown in request.seeding:
        after = (date - sown).days
        if -product.seed_after_days < after < product.new_grass_days:
            return "seeding"
    if request.keep_mowing and mowing_in_the_way(request, product, date):
        return "mowing"
    return None


def mowing_in_the_way(request: Request, product: Product, date: dt.date) -> list[dt.date]:
    """The mowing days that fall within the label's waits on either side of a day."""
    before = math.ceil(product.mow_before_h / 24)
    after = math.ceil(product.mow_after_h / 24)
    around = (date + dt.timedelta(days=n) for n in range(-before + 1, after))
    return [day for day in around if day.weekday() in request.mow_weekdays]
