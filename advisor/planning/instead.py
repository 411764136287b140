"""What else can be done where a plan has no spray for a weed, or only sprays that do little to it.

Asked by `sheet` of a finished plan. It names products that were not on the list and whose labels
fit, and says which weeds are left to the spade; it plans nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.dose.limits import tolerates
from advisor.model import KnowledgeBase, Product, Weed
from advisor.planning.labels import NON_SELECTIVE
from advisor.planning.plan import Plan

LITTLE = 0.5
"""A plan that leaves more than this share of what was there does little."""
CLEARLY_BETTER = 0.15
"""Share of control by which another product must be ahead to be named."""
MOST_NAMED = 2


@dataclass(frozen=True)
class Instead:
    """What is left for one weed.

    Attributes:
        weed: the weed.
        sprayed: whether the plan sprays it at all.
        products: better products that a homeowner may use on this grass, the best first.
        licensed: the same for licensed applicators.
        spot: products that kill the grass too, for spots.
    """

    weed: Weed
    sprayed: bool
    products: tuple[Product, ...]
    licensed: tuple[Product, ...]
    spot: tuple[Product, ...]


def instead(plan: Plan, base: KnowledgeBase) -> list[Instead]:
    """What else can be done of each weed that the plan does little to."""
    return [_of(base.weeds[n], plan, base) for n in plan.request.weeds if _little(n, plan)]


def _little(weed: str, plan: Plan) -> bool:
    aims = [t for t in plan.targets if t.weed.id == weed]
    if plan.beaten or not aims:
        return False
    return any(plan.alive[t.name].expected > LITTLE * t.survivors[1] for t in aims)


def _of(weed: Weed, plan: Plan, base: KnowledgeBase) -> Instead:
    considered = {p.id for p in plan.products}
    ours = max((_share(weed, p) for p in plan.products), default=0.0)
    resisted = plan.request.resisted.get(weed.id, frozenset())
    turf = plan.request.turf
    better = sorted(
        (
            p
            for p in base.products.values()
            if p.id not in considered
            and p.kind != NON_SELECTIVE
            and (turf is None or tolerates(p, turf, base) == "yes")
            and _share(weed, p) >= ours + CLEARLY_BETTER
            and not all(a.name in resisted for a in p.actives)
        ),
        key=lambda p: (-_share(weed, p), p.id),
    )
    spot = [
        p
        for p in base.products.values()
        if p.kind == NON_SELECTIVE and p.id not in considered and p.lists(weed.id) != "not-listed"
    ]
    return Instead(
        weed,
        any(target.weed == weed for step in plan.steps for target in step.against),
        tuple(p for p in better if p.homeowner == "yes")[:MOST_NAMED],
        tuple(p for p in better if p.homeowner != "yes")[:MOST_NAMED],
        tuple(sorted(spot, key=lambda p: (-_share(weed, p), p.id)))[:1],
    )


def _share(weed: Weed, product: Product) -> float:
    return base_of(weed, actives_of(product)).share if product.lists(weed.id) != "not-listed" else 0
