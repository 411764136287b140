"""Other ways of going about it, side by side with the plan: what each does, takes and costs.

Takes a request and its plan; every row is a schedule followed by the same planner, so that the
figures differ only by the days and the products. It recommends nothing.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from advisor.dose.asking import matter_of
from advisor.dose.exact import UNITS
from advisor.model import DayOfYear, Product, Stretch
from advisor.planning.beyond import LEAST_SLOT_DAYS, sowing_seasons
from advisor.planning.labels import (
    NON_SELECTIVE,
    gap_after,
    label_of,
    per_year,
    rate_for,
    usable_products,
)
from advisor.planning.plan import Plan
from advisor.planning.planner import Planner
from advisor.planning.request import Days, Done, Request

FALL = Stretch(DayOfYear(9, 1), DayOfYear(11, 30))
"""Fall in the weeds' north-temperate year."""
RENOVATION_SPRAYS = 2
RENOVATION_DAYS = 75
"""The sprays of a renovation lie within so many days before the sowing season."""
Steps = list[tuple[dt.date, str]]


@dataclass(frozen=True)
class Used:
    """Product put on 1,000 ft2 in all (fl oz, or oz of a dry one), and what that costs."""

    product: Product
    amount: Fraction
    unit: str
    cost: float | None


@dataclass(frozen=True)
class Row:
    """One way of going about it.

    Attributes:
        name: which: a phrase `plan-row-<name>` says it.
        plan: the plan that it comes to; None where it cannot be done at all.
        used: what it takes.
        breaks: what of the labels it breaks; a phrase `plan-breaks-<what>` says it.
        reseed: when to sow after starting over.
    """

    name: str
    plan: Plan | None
    used: tuple[Used, ...] = ()
    breaks: tuple[str, ...] = ()
    reseed: Days | None = None

    @property
    def applications(self) -> int:
        """How many applications it takes."""
        return len(self.plan.steps) if self.plan else 0

    @property
    def cost(self) -> float | None:
        """What the product costs for 1,000 ft2; None where a price is not known."""
        costs = [u.cost for u in self.used]
        return None if None in costs else sum(c for c in costs if c is not None)


def compare(
    planner: Planner, plan: Plan, intended: Sequence[tuple[dt.date, str]] = ()
) -> list[Row]:
    """The rows, the plan last.

    Args:
        planner: makes the other plans.
        plan: the plan.
        intended: what the customer means to do; the same product again, as soon as its label
            allows, where nothing is told.
    """
    request = plan.request
    rows = [
        _followed(planner, plan, "intended", list(intended) or _same_again(planner, plan)),
        _followed(planner, plan, "now", _from_now(planner, plan)),
        _row(planner, "fall", _in_fall(planner, plan)),
        _row(planner, "once", planner.plan(replace(request, most=1))),
        _renovated(planner, plan),
        _row(planner, "plan", plan),
    ]
    return [row for row in rows if row.name != "fall" or not _starts_in_fall(planner, request)]


def _row(planner: Planner, name: str, plan: Plan, reseed: Days | None = None) -> Row:
    return Row(name, plan, tuple(_used(plan)), tuple(_breaks(planner, plan)), reseed)


def _followed(planner: Planner, plan: Plan, name: str, steps: Steps) -> Row:
    if not steps:
        return Row(name, None)
    return _row(planner, name, planner.follow(plan.request, steps))


def _breaks(planner: Planner, plan: Plan) -> Iterator[str]:
    """The limits of labels that a plan's steps break, each once."""
    request, base = plan.request, planner.base
    names = tuple(dict.fromkeys(step.product.id for step in plan.steps))
    why = {b.why for b in usable_products(replace(request, products=names), base)[1]}
    made = list(request.done)
    for step in plan.steps:
        done = [d for d in made if (step.day - d.date).days < _label_gap(d, step.product)]
        same = [d for d in made if d.product == step.product.id and d.date.year == step.day.year]
        if done:
            why.add("interval")
        if len(same) >= per_year(step.product, request.weeds):
            why.add("per-year")
        if not planner.killing.legal(step.product, step.day):
            why.add("temperature")
        made.append(Done(step.day, step.product.id))
    yield from sorted(why)


def _label_gap(done: Done, after: Product) -> int:
    """Days that the label asks for after an application of the same product."""
    if done.product is None:
        return math.ceil(max(done.interval_days or 0, after.interval_days))
    return math.ceil(after.interval_days) if done.product == after.id else 0


def _used(plan: Plan) -> Iterator[Used]:
    """What the steps put on 1,000 ft2, product by product, at the label's highest rate."""
    products = {step.product.id: step.product for step in plan.steps}
    for name, product in products.items():
        rate = rate_for(product, plan.request.weeds) or product.rates[0]
        unit = UNITS[matter_of(product)]
        each = rate.amount.exact(UNITS[f"{matter_of(product)}-per-area"])[1]
        amount = each * sum(step.product.id == name for step in plan.steps)
        cost = None
        if product.price is not None:
            pack = product.price.pack.exact(unit)[0]
            cost = float(amount / pack) * product.price.cost
        yield Used(product, amount, unit, cost)


# ---- the rows --------------------------------------------------------------------------------


def _same_again(planner: Planner, plan: Plan) -> Steps:
    """The same product once more as soon as its label allows, however the day suits."""
    request = plan.request
    made = [d for d in request.done if d.product is not None]
    if made:
        name = str(max(made, key=lambda done: done.date).product)
    elif request.at_hand:
        name = request.at_hand[0]
    elif request.products:
        name = request.products[0]
    elif plan.steps:
        name = plan.steps[0].product.id
    else:
        return []
    product = label_of(request, planner.base, name)
    return [(day, name) for day in _earliest(planner, request, product, 1)]


def _from_now(planner: Planner, plan: Plan) -> Steps:
    """The plan's main product as often as the plan sprays, each as soon as its label allows."""
    counts = [step.product.id for step in plan.steps]
    if not counts:
        return []
    name = max(dict.fromkeys(counts), key=counts.count)
    product = label_of(plan.request, planner.base, name)
    return [(day, name) for day in _earliest(planner, plan.request, product, len(counts))]


def _earliest(planner: Planner, request: Request, product: Product, count: int) -> list[dt.date]:
    """The first days that the label's interval, count and temperatures leave."""
    found: list[dt.date] = []
    free = request.start
    for done in request.done:
        gap = gap_after(done, product, request, planner.base)
        free = max(free, done.date + dt.timedelta(days=gap))
    most = per_year(product, request.weeds)
    for day in request.dates:
        made = [*found, *(d.date for d in request.done if d.product == product.id)]
        if day < free or sum(d.year == day.year for d in made) >= most:
            continue
        if planner.killing.legal(product, day):
            found.append(day)
            free = day + dt.timedelta(days=math.ceil(product.interval_days))
        if len(found) == count:
            break
    return found


def _starts_in_fall(planner: Planner, request: Request) -> bool:
    return FALL.holds(planner.region.weed_day(request.start))


def _in_fall(planner: Planner, plan: Plan) -> Plan:
    """The best plan that sprays in fall only."""
    other = [Days(d, d) for d in plan.request.dates if not FALL.holds(planner.region.weed_day(d))]
    return planner.plan(replace(plan.request, avoid=(*plan.request.avoid, *other)))


def _renovated(planner: Planner, plan: Plan) -> Row:
    """Kill everything, then sow in the turf's season: the best sprays that leave time for it."""
    request = plan.request
    names = tuple(
        p.id
        for p in planner.base.products.values()
        if p.kind == NON_SELECTIVE and any(p.lists(w) != "not-listed" for w in request.weeds)
    )
    turf = planner.base.turf.get(request.turf or "")
    if not names or turf is None or not turf.seeding:
        return Row("renovate", None)
    wait = min(math.ceil(planner.base.products[n].seed_after_days) for n in names)
    for season in sowing_seasons(turf, request, planner.seasons):
        found = _sprayed_before(planner, request, names, season, wait)
        if found.steps:
            free = found.steps[-1].day + dt.timedelta(days=wait)
            return _row(planner, "renovate", found, Days(max(free, season.first), season.last))
    return Row("renovate", None)


def _sprayed_before(
    planner: Planner, request: Request, names: tuple[str, ...], season: Days, wait: int
) -> Plan:
    """The best sprays in the weeks before a sowing season that leave a week of it to sow."""
    first = season.first - dt.timedelta(days=RENOVATION_DAYS)
    last = season.last - dt.timedelta(days=wait + LEAST_SLOT_DAYS)
    other = [Days(d, d) for d in request.dates if not first <= d <= last]
    asked = replace(
        request,
        products=names,
        spot_kill=True,
        avoid=(*request.avoid, *other),
        most=RENOVATION_SPRAYS,
        sooner=0.0,
    )
    return planner.plan(asked)
