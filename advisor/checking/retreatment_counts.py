"""K210: the retreatments that a weed's file expects agree with what the kill model makes of them.

The model needs some number of applications of the usual active to leave few enough alive; the file
says how many the trade expects. Where one lies outside the other a figure is wrong, or the file
says under `exempt` what the model does not know.

PASS:
    # weeds/wild-violet.yaml
    specials: []

FAIL:
    retreatments: {applications: [7, 9], interval_days: [21, 35], seasons: 2, from: memory}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.control import retreatments
from advisor.model import KnowledgeBase, Product, Weed
from advisor.problem import Problem

SPRAYS = "post-emergent"
NON_SELECTIVE = "non-selective"


def check(subject: Subject) -> Iterator[Problem]:
    """The weeds whose expected number of applications does not hold the one worked out."""
    target = subject.base.settings.target_survivors
    for weed in subject.base.weeds.values():
        active = usual_active(weed, subject.base)
        if active is None:
            continue
        share = weed.control[active].share
        number = retreatments(share, target)
        low, high = weed.retreatments.applications
        if (number is not None and low <= number <= high) or subject.excused(
            "K210", weed.exempt, {weed.id}
        ):
            continue
        worked_out = "no number" if number is None else f"{number}"
        message = f"{active} kills {share:.0%}, so {worked_out} would do, not {low} to {high}"
        keys = ("retreatments", "applications")
        yield subject.pages.problem("K210", message, weed.place.path, *keys)


def usual_active(weed: Weed, base: KnowledgeBase) -> str | None:
    """The active that does most, in products that list the weed as controlled.

    What kills the grass too counts only where nothing else controls the weed, and a preventer only
    where no spray does.
    """
    listing = [p for p in base.products.values() if weed.id in p.controls]
    shares = {
        active.name: weed.control[active.name].share
        for product in _usual(listing)
        for active in product.actives
        if active.name in weed.control
    }
    return max(shares, key=lambda name: (shares[name], name), default=None)


def _usual(products: list[Product]) -> list[Product]:
    lawn = [p for p in products if p.kind != NON_SELECTIVE]
    sprays = [p for p in lawn if p.kind == SPRAYS]
    return sprays or lawn or products
