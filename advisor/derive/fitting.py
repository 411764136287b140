"""The products that fit a weed on a lawn: listed as controlling it, and stood by the turf.

Feeds the fact whether there is one, the best that can be expected and the names in texts. It ranks
by what the actives do to the weed and judges no day and no site.
"""

from __future__ import annotations

from advisor.account import Call
from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.dose.limits import NON_SELECTIVE, tolerates
from advisor.fact import KNOWLEDGE, Gathering, Origin
from advisor.model import KnowledgeBase, Product, Weed
from advisor.terms import Options

PREVENTER = "pre-emergent"


def fitting_products(
    base: KnowledgeBase, weed: Weed, turf: str | None, *, preventers: bool = False
) -> tuple[Product, ...]:
    """The products that list a weed as controlled and spare the turf, the best on it first.

    What injures the turf never counts, and what kills all grass does not; where the label leaves it
    open for a group of grasses, a product counts only if none is sure.

    Args:
        base: the knowledge base.
        weed: the weed.
        turf: the lawn grass or group of grasses, None where it is not known.
        preventers: whether preventers are looked for, which do nothing to a plant that stands.
    """
    listed = [p for p in base.products.values() if weed.id in p.controls]
    selective = [
        p for p in listed if p.kind != NON_SELECTIVE and (p.kind == PREVENTER) == preventers
    ]
    if turf is not None:
        verdicts = {p.id: tolerates(p, turf, base) for p in selective}
        sure = [p for p in selective if verdicts[p.id] == "yes"]
        selective = sure or [p for p in selective if verdicts[p.id] is None]
    ranked = {p.id: base_of(weed, actives_of(p)) for p in selective}
    return tuple(sorted(selective, key=lambda p: (-ranked[p.id].share, -ranked[p.id].high, p.id)))


def fitting_facts(call: Call, base: KnowledgeBase, into: Gathering) -> None:
    """Whether some label lists the weed and spares the turf."""
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    if weed is None:
        return
    found = fitting_products(base, weed, call.turf, preventers=is_preventer(call.product, base))
    lawn = f" on {base.turf[call.turf].name}" if call.turf is not None else ""
    words = f"{found[0].name if found else 'no label'} for {weed.name}{lawn}"
    into.add("product_for_it", Options.of("yes" if found else "no"), Origin(KNOWLEDGE, words))


def is_preventer(product: str | None, base: KnowledgeBase) -> bool:
    """Whether a product only stops seed, so that what would do better is another preventer."""
    return product is not None and base.products[product].kind == PREVENTER
