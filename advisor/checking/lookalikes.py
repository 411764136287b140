"""K206: plants that are taken for each other name each other.

A caller may name either one first, and the character that tells them apart must be found from both.

PASS:
    # weeds/wild-violet.yaml
    specials: []

FAIL:
    lookalikes:
      - {weed: dandelion, decide: The leaves of the dandelion are toothed., from: memory}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The lookalikes that do not name this weed back."""
    weeds = subject.base.weeds
    for weed in weeds.values():
        for i, other in enumerate(weed.lookalikes):
            if weed.id not in (back.weed for back in weeds[other.weed].lookalikes):
                message = f"{other.weed} does not list {weed.id} among its lookalikes"
                keys = ("lookalikes", i, "weed")
                yield subject.pages.problem("K206", message, weed.place.path, *keys)
