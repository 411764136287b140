"""The order in which a tank is filled: by what each product is, whatever order they are named in.

`mixing` hands it the products of one load. It keeps the sequence by formulation type and never by a
memory word, because published readings of those words disagree; the label's own order outranks it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.model import Product

HALF, CONDITIONER, PRODUCT, SURFACTANT, TOP_UP, JAR_TEST, LABEL_ORDER = (
    *("half", "conditioner", "product", "surfactant"),
    *("top-up", "jar-test", "label-order"),
)
HOW = {
    "dry-flowable": "slurry",
    "suspension": "shaken",
    "ester": "stirred",
    "amine": "stirred",
    "salt": "stirred",
}
"""How a formulation goes in: a dry one as a thin slurry, a settling one after shaking."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of filling; `product` or `kind` (of surfactant) where it is about one."""

    what: str
    product: str | None = None
    kind: str | None = None
    how: str | None = None


def filling_order(
    products: Iterable[Product],
    surfactants: Sequence[str],
    order: Sequence[str],
    *,
    conditioner: bool,
) -> tuple[Step, ...]:
    """The steps for one load.

    Args:
        products: what shares the tank.
        surfactants: the kinds of surfactant that go in.
        order: formulations in the order they go in.
        conditioner: whether the water needs ammonium sulfate.
    """
    rank = {formulation: place for place, formulation in enumerate(order)}
    sorted_products = sorted(products, key=lambda p: (rank.get(p.formulation, len(rank)), p.id))
    steps = [Step(HALF)]
    if conditioner:
        steps.append(Step(CONDITIONER))
    steps += [Step(PRODUCT, p.id, how=HOW.get(p.formulation, "stirred")) for p in sorted_products]
    oils_last = sorted(set(surfactants), key=lambda kind: ("oil" in kind, kind))
    steps += [Step(SURFACTANT, kind=kind) for kind in oils_last]
    steps.append(Step(TOP_UP))
    if len(sorted_products) > 1:
        steps.append(Step(JAR_TEST))
    return (*steps, Step(LABEL_ORDER))
