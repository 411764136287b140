"""K213: a weed's file lacks nothing that a caller asks about.

What the schemas leave open must be filled all the same: what every active on the shelf does to the
weed, if only that it does nothing; what favors it and what keeps it out; what it is taken for; what
a professional would add; when it is in flower; and what can be had of it on wet ground.

PASS:
    # weeds/wild-violet.yaml
    unit: rhizome bud

FAIL:
    favoured_by: []
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.model import Weed
from advisor.problem import Problem

WET = ("high-water-table", "pond-edge", "poor-drainage")
"""Site features of wet ground; asked for only where the knowledge base has any of them."""
FILLED = ("favoured_by", "kept_out_by", "lookalikes", "specials")


def check(subject: Subject) -> Iterator[Problem]:
    """What is missing, at the key under which it belongs."""
    base = subject.base
    holders = {a.name: p.id for p in base.products.values() for a in p.actives}
    for weed in base.weeds.values():
        for key, message in _missing(weed, holders, [s for s in WET if s in base.sites]):
            yield subject.pages.problem("K213", message, weed.place.path, key, at_key=True)


def _missing(weed: Weed, holders: dict[str, str], wet: list[str]) -> Iterator[tuple[str, str]]:
    for name, product in holders.items():
        if name not in weed.control:
            yield "control", f"nothing says what {name} of {product} does to {weed.id}"
    for key in FILLED:
        if not getattr(weed, key):
            yield key, f"{weed.id} has nothing under {key}"
    if "flowers" not in weed.calendar:
        yield "calendar", f"nothing says when {weed.id} is in flower"
    if wet and not any(limit.feature in wet for limit in weed.sites):
        yield "sites", f"nothing says what can be had of {weed.id} on wet ground"
