"""K208: for every weed on a label the base has a figure for one of the product's actives.

Without one, what a well-made application does would be a guess; and a weed on no label at all could
only ever be answered with "nothing here is made for it".

PASS:
    # weeds/wild-violet.yaml
    specials: []

FAIL:
    control:
      dithiopyr: {share: 0.05, low: 0.0, high: 0.1, from: memory}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The weeds without a figure for a product that lists them, or on no label."""
    products = subject.base.products.values()
    for weed in subject.base.weeds.values():
        listing = [product for product in products if product.lists(weed.id) != "not-listed"]
        bare = [p.id for p in listing if not any(a.name in weed.control for a in p.actives)]
        if not listing:
            message = f"no product lists {weed.id}"
        elif bare:
            message = (
                f"no active of {', '.join(bare)} is among these, though the label lists {weed.id}"
            )
        else:
            continue
        path = weed.place.path
        yield subject.pages.problem("K208", message, path, "control", at_key=True)
