"""What the label forbids of a mix: its weeds, its grasses, its rates, its water, its company.

`mixing` asks here before it works anything out and refuses whatever comes back from `refusals`;
`remarks` are what the label says beside. Every limit is the label's own; none is made up here.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.acids import fraction
from advisor.dose.asking import GRANULE, Ask, Wanting, matter_of, rate_dimension
from advisor.dose.exact import OUTPUT, UNITS, Measure, Pair, both, inside, measure, ratio
from advisor.dose.remark import Remark, remark
from advisor.model import Active, KnowledgeBase, Product

NON_SELECTIVE = "non-selective"
ACRE = Fraction(4356, 100)
"""An acre in 1,000 ft2."""


@dataclass(frozen=True, slots=True)
class Part:
    """One product of the mix with its label's limits and its rate, as `Ask` counts them."""

    product: Product
    limits: Pair
    rate: Fraction
    asked: bool
    for_weed: bool

    @property
    def matter(self) -> str:
        """Whether it is measured by volume or by weight."""
        return matter_of(self.product)


def label_limits(product: Product, weed: str | None, *, spot: bool) -> tuple[Pair, bool] | None:
    """The label's rates for a weed, and whether they are set for it; None where there are none."""
    unit = UNITS[rate_dimension(product, spot=spot)]
    if spot:
        return None if product.spot is None else (both(product.spot, unit), False)
    rate = product.rate_for(weed)
    return None if rate is None else (both(rate.amount, unit), bool(rate.weeds))


def part(wanting: Wanting, ask: Ask) -> Part | None:
    """The product at the rate asked for, or else at the label's highest; None without a rate.

    A rate beyond the label is kept as it was asked for, so that it can be refused.
    """
    weed = ask.weed.id if ask.weed else None
    found = label_limits(wanting.product, weed, spot=ask.spot)
    if found is None:
        return None
    limits, for_weed = found
    if wanting.rate is None:
        return Part(wanting.product, limits, limits[1], False, for_weed)
    return Part(wanting.product, limits, inside(wanting.rate, limits)[1], True, for_weed)


def refusals(ask: Ask, parts: Sequence[Part], base: KnowledgeBase) -> list[Remark]:
    """Everything for which the label forbids the mix; `parts` are those with a rate."""
    return [
        *_weed(ask),
        *_turf(ask, base),
        *_rates(ask, parts),
        *_water(ask),
        *_company(ask),
        *_same_active(ask, parts),
    ]


# ---- weeds and grasses -----------------------------------------------------------------------


def _weed(ask: Ask) -> Iterator[Remark]:
    product = ask.main.product
    if ask.weed is not None and product.lists(ask.weed.id) == "not-listed":
        yield remark("refuse-weed-not-listed", product=product.name, weed=ask.weed.name)


def tolerates(product: Product, turf: str, base: KnowledgeBase) -> str | None:
    """Whether the label lets a lawn grass stand the product: yes, no, or None where it depends.

    A group of grasses stands it where all of its members do, and not where none does.
    """
    lawn, injured = grasses_of([turf], base), grasses_of(product.turf_injured, base)
    if lawn & injured:
        return "no" if lawn <= injured else None
    return "yes" if lawn <= grasses_of(product.turf_tolerant, base) else None


def grasses_of(names: Iterable[str], base: KnowledgeBase) -> frozenset[str]:
    """The grasses that the names stand for: a group for its members."""
    return frozenset(g for name in names for g in base.turf[name].members or (name,))


def _turf(ask: Ask, base: KnowledgeBase) -> Iterator[Remark]:
    if ask.turf is None:
        return
    for product in ask.products:
        if product.kind == NON_SELECTIVE and ask.spot:
            continue
        verdict = tolerates(product, ask.turf.id, base)
        hurt = [base.turf[t].name for t in ask.turf.members if t in product.turf_injured]
        name = "injured" if verdict == "no" else "some" if hurt else "not-listed"
        if verdict != "yes":
            yield remark(
                f"refuse-turf-{name}",
                product=product.name,
                turf=ask.turf.name,
                grasses=" and ".join(hurt),
            )


# ---- rates and water -------------------------------------------------------------------------


def _rates(ask: Ask, parts: Sequence[Part]) -> Iterator[Remark]:
    with_rate = {p.product.id for p in parts}
    for product in ask.products:
        if product.id not in with_rate:
            name = "refuse-no-spot" if ask.spot else "refuse-no-rate"
            yield remark(name, product=product.name)
    for each in parts:
        side, _ = inside(each.rate, each.limits)
        if side:
            unit = UNITS[rate_dimension(each.product, spot=ask.spot)]
            limit = each.limits[0] if side < 0 else each.limits[1]
            yield remark(
                "refuse-rate-above" if side > 0 else "refuse-rate-below",
                product=each.product.name,
                rate=measure(each.rate, unit),
                limit=measure(limit, unit),
                times=ratio(each.rate / limit),
            )


def _water(ask: Ask) -> Iterator[Remark]:
    if ask.output is None or ask.spot:
        return
    for product in ask.products:
        if product.water is None:
            continue
        limits = both(product.water, OUTPUT)
        side, _ = inside(ask.output, limits)
        if side:
            yield remark(
                "refuse-too-much-water" if side > 0 else "refuse-too-little-water",
                product=product.name,
                output=measure(ask.output, OUTPUT),
                label=Measure(*limits, OUTPUT),
                pace=measure(abs(ask.output / limits[side > 0] - 1), "share"),
            )


# ---- what shares the tank --------------------------------------------------------------------


def conflicts(one: Product, other: Product) -> bool:
    """Whether either label keeps the other's actives out of its tank."""
    return any(
        {a.group for a in theirs.actives} & set(own.conflict_groups)
        for own, theirs in ((one, other), (other, one))
    )


def _company(ask: Ask) -> Iterator[Remark]:
    for one, other in itertools.combinations(ask.products, 2):
        if conflicts(one, other):
            why = one.conflict_why or other.conflict_why or ""
            yield remark("refuse-tank-conflict", product=one.name, other=other.name, why=why)
    for product in ask.products[1:]:
        if product.formulation == GRANULE:
            yield remark("refuse-granule-in-tank", product=product.name)


def per_area(active: Active, rate: Fraction, matter: str) -> Fraction | None:
    """Ounces of an active (as its label counts it) per 1,000 ft2; None where it needs a density."""
    content = active.content
    if content.dimension == "mass-per-volume" and matter == "volume":
        return rate * both(content, "oz/fl oz")[0]
    if content.dimension == "share" and matter == "mass":
        return rate * both(content, "share")[0]
    return None


def as_acid(active: Active, amount: Fraction) -> Fraction:
    """The amount counted as acid, where its label does or the table knows the form."""
    share = fraction(active.name, active.form) if active.basis == "ai" else None
    return amount if share is None else amount * share


def _same_active(ask: Ask, parts: Sequence[Part]) -> Iterator[Remark]:
    """An active that comes out of two jugs must stay below what one label alone allows."""
    if ask.spot:
        return
    names = [a.name for p in parts for a in p.product.actives]
    for name in dict.fromkeys(n for n in names if names.count(n) > 1):
        together = _sum(name, ((p, p.rate) for p in parts))
        most = max(_sum(name, [(p, _highest(p.product))]) for p in parts)
        if together > most:
            yield remark(
                "refuse-same-active",
                active=name,
                together=measure(together / 16 * ACRE, "lb/acre"),
                limit=measure(most / 16 * ACRE, "lb/acre"),
            )


def _sum(name: str, rates: Iterable[tuple[Part, Fraction]]) -> Fraction:
    total = Fraction(0)
    for each, rate in rates:
        for active in each.product.actives:
            if active.name == name:
                amount = per_area(active, rate, each.matter)
                total += as_acid(active, amount) if amount is not None else 0
    return total


def _highest(product: Product) -> Fraction:
    return max(both(rate.amount)[1] for rate in product.rates)
