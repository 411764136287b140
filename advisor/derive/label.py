"""The label of an application: the product's, with what the caller read out laid over it.

Feeds `derive.plant`, `derive.dose` and `derive.timing`, which need one view of a label whether
the product is known, only read out, or neither. It looks things up and concludes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.call import Application, Call
from advisor.fact import LABEL, TOLD, Origin
from advisor.model import KnowledgeBase, Product
from advisor.terms import Span
from advisor.units import Amount

Actives = tuple[tuple[str, int | None], ...]
"""Names of actives with their groups; None where a group is not known."""


@dataclass(frozen=True, slots=True)
class Label:
    """What is known of the label that applies; None where it is not known."""

    product: Product | None
    actives: Actives
    rate: Amount | None
    lists: str | None
    rainfast_h: float | None
    interval_days: float | None
    per_year: int | None
    temperature: Span | None
    tolerates_turf: str | None
    new_grass_days: float | None
    origin: Origin


def label_of(call: Call, application: Application | None, base: KnowledgeBase) -> Label:
    """The label of one application, or of the call's product where none is given."""
    name = (application.product if application else None) or call.product
    product = base.products.get(name) if name else None
    read = call.label if application is None or application.product is None else None
    told = call.label if read is not None else type(call.label)()
    weed = call.weed or call.weed_treated
    rate = told.rate
    if rate is None and product is not None:
        found = product.rate_for(weed)
        rate = found.amount if found else None
    origin = Origin(LABEL, product.name) if product else Origin(TOLD, "the label, read out")
    return Label(
        product=product,
        actives=actives_of(product) if product else _looked_up(call.actives, base),
        rate=rate,
        lists=_lists(call, product, weed),
        rainfast_h=_first(told.rainfast_h, product.rainfast_h if product else None),
        interval_days=_first(told.interval_days, product.interval_days if product else None),
        per_year=_first_count(told.per_year, product.per_year if product else None),
        temperature=told.temperature or (product.temperature if product else None),
        tolerates_turf=_tolerates(call, product, base),
        new_grass_days=product.new_grass_days if product else None,
        origin=origin,
    )


def actives_of(product: Product) -> Actives:
    """The actives of a product."""
    return tuple((a.name, a.group) for a in product.actives)


def _looked_up(names: tuple[str, ...], base: KnowledgeBase) -> Actives:
    """Actives read off a jug, with the groups that the known labels give them."""
    groups = {a.name: a.group for p in base.products.values() for a in p.actives}
    return tuple((name, groups.get(name)) for name in names)


def _first(*values: float | None) -> float | None:
    return next((v for v in values if v is not None), None)


def _first_count(*values: int | None) -> int | None:
    return next((v for v in values if v is not None), None)


def _lists(call: Call, product: Product | None, weed: str | None) -> str | None:
    if weed is None:
        return None
    told = call.label
    if told.controls is not None and weed in told.controls:
        return "controls"
    if told.suppresses is not None and weed in told.suppresses:
        return "suppresses"
    if product is not None:
        return product.lists(weed)
    read_whole = told.controls is not None and told.suppresses is not None
    return "not-listed" if read_whole else None


def _tolerates(call: Call, product: Product | None, base: KnowledgeBase) -> str | None:
    turf = call.turf
    if turf is None:
        return None
    members = base.turf[turf].members if turf in base.turf else ()
    grasses = set(members) or {turf}
    groups = {name for name, t in base.turf.items() if grasses & {*t.members}}
    if call.label.not_for and grasses & set(call.label.not_for):
        return "no"
    if call.label.turf is not None:
        return "yes" if (grasses | groups) & set(call.label.turf) else "no"
    if product is None:
        return None
    injured = set(product.turf_injured)
    if grasses & injured or turf in injured:
        return "no" if grasses <= injured or turf in injured else None
    return (
        "yes"
        if grasses <= set(product.turf_tolerant) or (({turf} | groups) & set(product.turf_tolerant))
        else None
    )
