"""What was done before a plan, or in the course of it: its kills, and what labels make of it.

Asked by `setup` and `planner`. Applications whose kill is already in the share told to be alive
count for the labels only.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from advisor.model import KnowledgeBase, Product
from advisor.planning.kill import Killing
from advisor.planning.labels import gap_after, groups, label_of
from advisor.planning.lateness import Lateness
from advisor.planning.request import Done, Request
from advisor.planning.targets import Target

LEAST_KILL = 0.02
"""Less than this of every target is not worth an application."""


@dataclass(frozen=True)
class Behind:
    """The applications made of one request."""

    request: Request
    base: KnowledgeBase
    killing: Killing
    lateness: Lateness

    def left_of(self, target: Target) -> Target:
        """A target with what was done already taken off."""
        low, expected, high = target.survivors
        last: tuple[dt.date, Product] | None = None
        for done in sorted(self.request.done, key=lambda d: d.date):
            if done.counted or done.product is None:
                last = None
                continue
            product = label_of(self.request, self.base, done.product)
            kill = self.killing.kill(target, product, done.date, done.causes)
            kept = 1.0
            if last is not None:
                band = self.lateness.band_of(*last, done.date, product)
                shared = self.lateness.shared(last[1], product)
                kept -= self.lateness.loss(band, target.weed, shared)
            low *= 1 - kept * kill.high
            expected *= 1 - kept * kill.expected
            high *= 1 - kept * kill.low
            last = done.date, product
        return replace(target, survivors=(low, expected, high))

    def went_for(self, target: Target, done: Done) -> bool:
        """Whether an application already made went for a target."""
        if done.product is None:
            return done.counted
        product = label_of(self.request, self.base, done.product)
        return self.killing.kill(target, product, done.date).expected >= LEAST_KILL

    def used(self, product: Product) -> dict[int, int]:
        """Applications of a product already made, by year."""
        used: dict[int, int] = {}
        for done in self.request.done:
            if done.product == product.id:
                used[done.date.year] = used.get(done.date.year, 0) + 1
        return used

    def first_free(self, product: Product) -> int:
        """The first day that is left for a product, counted from the first of the horizon."""
        days = [
            (done.date - self.request.start).days
            + gap_after(done, product, self.request, self.base)
            for done in self.request.done
        ]
        return max(days, default=0)

    @property
    def last_groups(self) -> frozenset[int]:
        """The groups of the last product used; of none a group that no product has."""
        made = [d for d in self.request.done if d.product is not None]
        if not made:
            return frozenset({-1})
        last = max(made, key=lambda done: done.date)
        return groups(label_of(self.request, self.base, str(last.product)))
