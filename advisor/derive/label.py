"""The label of an application: the product's, with what the caller read out laid over it.

Feeds `derive.plant`, `derive.dose` and `derive.timing`, which need one view of a label whether
the product is known, only read out, or neither. It looks things up and concludes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.account import Application, Call, LabelTold
from advisor.dose.limits import grasses_of, tolerates
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
    lists_origin: Origin
    turf_origin: Origin


def label_of(call: Call, application: Application | None, base: KnowledgeBase) -> Label:
    """The label of one application, or of the call's product where none is given."""
    name = (application.product if application else None) or call.product
    product = base.products.get(name) if name else None
    told = call.label if _read_out_of(call, application) else LabelTold()
    weed = call.weed or call.weed_treated
    rate = told.rate
    if rate is None and product is not None:
        found = product.rate_for(weed)
        rate = found.amount if found else None
    read_out = Origin(TOLD, "the label, read out")
    origin = Origin(LABEL, product.name) if product else read_out
    listed, told_of_turf = _listed(told, weed), _told_to_tolerate(call, told, base)
    return Label(
        product=product,
        actives=actives_of(product) if product else _looked_up(call.actives, base),
        rate=rate,
        lists=listed or _lists(told, product, weed),
        rainfast_h=_first(told.rainfast_h, product.rainfast_h if product else None),
        interval_days=_first(told.interval_days, product.interval_days if product else None),
        per_year=_first_count(told.per_year, product.per_year if product else None),
        temperature=told.temperature or (product.temperature if product else None),
        tolerates_turf=told_of_turf or _label_tolerates(call, product, base),
        new_grass_days=product.new_grass_days if product else None,
        origin=origin,
        lists_origin=read_out if listed else origin,
        turf_origin=read_out if told_of_turf else origin,
    )


def _read_out_of(call: Call, application: Application | None) -> bool:
    """Whether the label that was read out is the one of this application.

    It belongs to the call's product; where the call names none, to the only one that was used.
    """
    product = application.product if application else None
    if product is None or product == call.product:
        return True
    return call.product is None and {a.product for a in call.applications} == {product}


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


def _listed(told: LabelTold, weed: str | None) -> str | None:
    """What was read out of the label about the weed."""
    if told.controls is not None and weed in told.controls:
        return "controls"
    return "suppresses" if told.suppresses is not None and weed in told.suppresses else None


def _lists(told: LabelTold, product: Product | None, weed: str | None) -> str | None:
    if weed is None:
        return None
    if product is not None:
        return product.lists(weed)
    read_whole = told.controls is not None and told.suppresses is not None
    return "not-listed" if read_whole else None


def _told_to_tolerate(call: Call, told: LabelTold, base: KnowledgeBase) -> str | None:
    """What was read out of the label about the turf; a group may be any of its members."""
    if call.turf is None:
        return None
    lawn, barred = grasses_of([call.turf], base), grasses_of(told.not_for or (), base)
    if lawn <= barred:
        return "no"
    if told.turf is None or lawn & barred:
        return None
    allowed = grasses_of(told.turf, base)
    return "yes" if lawn <= allowed else None if lawn & allowed else "no"


def _label_tolerates(call: Call, product: Product | None, base: KnowledgeBase) -> str | None:
    return None if product is None or call.turf is None else tolerates(product, call.turf, base)
