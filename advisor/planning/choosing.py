"""Which few products a plan is made with, where more would fit than the optimiser should weigh.

`setup` asks it once. A product counts for what it kills on its best day; a preventer and a spray
on leaves add up, two of one sort do not.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence

from advisor.model import Product
from advisor.planning.behind import LEAST_KILL
from advisor.planning.kill import Killing
from advisor.planning.labels import groups, through_leaf
from advisor.planning.targets import Target

MOST_PRODUCTS = 5
LEAST_ADDED = 0.02
DAYS_TRIED = 60
"""Days spread over the horizon on which products are tried."""
Worth = Mapping[str, Sequence[float]]
"""For each product what it gains of each target on its best day."""


def few(
    usable: Sequence[Product],
    aims: Sequence[Target],
    killing: Killing,
    dates: Sequence[dt.date],
    *,
    rotate: bool,
) -> list[Product]:
    """The products that together go for most: one after the other the one that adds most.

    While there is room, the best one of another group is added for each target, so that groups can
    be changed.
    """
    tried = dates[:: max(1, len(dates) // DAYS_TRIED)]
    worth = {p.id: [_best(p, target, killing, tried) for target in aims] for p in usable}
    by_id = {p.id: p for p in usable if any(worth[p.id])}
    picked: dict[str, Product] = {}
    while len(picked) < MOST_PRODUCTS:
        added = {
            name: _together([*picked.values(), product], worth)
            for name, product in by_id.items()
            if name not in picked
        }
        best = max(added, key=lambda name: (added[name], name), default=None)
        if best is None or added[best] - _together(list(picked.values()), worth) < LEAST_ADDED:
            break
        picked[best] = by_id[best]
    if rotate:
        for n in range(len(aims)):
            other = _other_group(n, picked, by_id, worth)
            if other is not None and len(picked) < MOST_PRODUCTS:
                picked[other.id] = other
    return list(picked.values())


def _best(product: Product, target: Target, killing: Killing, dates: Sequence[dt.date]) -> float:
    most = max((killing.kill(target, product, date).expected for date in dates), default=0.0)
    return -math.log(max(1 - most, 1e-9)) if most >= LEAST_KILL else 0.0


def _together(products: Sequence[Product], worth: Worth) -> float:
    """What products gain together: of each sort the best one for each target."""
    total = 0.0
    for soil in (False, True):
        rows = [worth[p.id] for p in products if through_leaf(p) is not soil]
        total += sum(max(column) for column in zip(*rows, strict=True))
    return total


def _other_group(
    target: int, picked: Mapping[str, Product], by_id: Mapping[str, Product], worth: Worth
) -> Product | None:
    """The best leaf product for a target of another group than the best one picked."""
    sprays = [p for p in picked.values() if through_leaf(p) and worth[p.id][target] > 0]
    if not sprays:
        return None
    first = max(sprays, key=lambda p: worth[p.id][target])
    if any(groups(p) != groups(first) for p in sprays):
        return None
    others = [
        p
        for p in by_id.values()
        if through_leaf(p) and worth[p.id][target] > 0 and groups(p) != groups(first)
    ]
    return max(others, key=lambda p: (worth[p.id][target], p.id), default=None)
