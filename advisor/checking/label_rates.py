"""K207: a rate is given only for weeds that the label lists.

A label that sets a rate for a weed must say whether it controls or suppresses it.

PASS:
    # products/quickfell-spot.yaml
    summary: A contact spray that burns leaves down.

FAIL:
    rates:
      - {for: [quackgrass], amount: 1 fl oz per 1000 ft2}
      - {amount: 1 fl oz per 1000 ft2}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The weeds with a rate that the label does not list."""
    for product in subject.base.products.values():
        for i, rate in enumerate(product.rates):
            for j, weed in enumerate(rate.weeds):
                if product.lists(weed) == "not-listed":
                    message = f"a rate for {weed}, which the label neither controls nor suppresses"
                    keys = ("rates", i, "for", j)
                    yield subject.pages.problem("K207", message, product.place.path, *keys)
