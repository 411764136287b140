"""What applications gain where they come late after another, for the optimiser's problem.

Made by `setup` from its own targets and gains; `lateness` says how late is late and what it costs.
It knows no limits of labels and chooses nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from operator import mul

from advisor.model import Product
from advisor.planning.lateness import Band, Lateness
from advisor.planning.problem import FORBIDDEN, Late
from advisor.planning.targets import Target

Key = tuple[str, dt.date, int, tuple[str, ...]]
Made = tuple[dt.date, Product]
"""An application: its day and its product."""


@dataclass(frozen=True)
class FollowUps:
    """Gains of late applications.

    Attributes:
        lateness: how late they are and what that costs.
        aims: the targets.
        dates: the days of the horizon.
        gained: what a product gains on a target on a day that loses a share of its kill.
        usual: for each day what a product gains on each target in time; None where it may not be
            used.
    """

    lateness: Lateness
    aims: Sequence[Target]
    dates: Sequence[dt.date]
    gained: Callable[[Target, Product, dt.date, float], float]
    usual: Callable[[Product], Sequence[tuple[float, ...] | None]]
    _kept: dict[Key, tuple[float, ...]] = field(default_factory=dict)

    def late(self, before: Product, after: Product, weights: Sequence[float]) -> Iterator[Late]:
        """What one product gains where it comes late after another, by how late."""
        shared = self.lateness.shared(before, after)
        for band in self.lateness.bands if shared else ():
            since = self.lateness.since_days(before, after, band)
            if since[0] < len(self.dates):
                yield Late(since, self._weighed(after, weights, [band] * len(since), shared))

    def first_gains(
        self, by_name: Mapping[str, Product], weights: Sequence[float]
    ) -> dict[str, list[float]]:
        """What choices gain after what was done already, where they can come late after that."""
        result = {}
        if self.lateness.last_done is not None:
            first, before = self.lateness.last_done
            for name, product in by_name.items():
                bands = [self.lateness.band_of(first, before, d, product) for d in self.dates]
                if any(bands):
                    shared = self.lateness.shared(before, product)
                    result[name] = self._weighed(product, weights, bands, shared)
        return result

    def loss(self, before: Made | None, made: Made, target: Target) -> float:
        """What lateness takes of an application's kill of a target, after the one before it."""
        before = before or self.lateness.last_done
        if before is None:
            return 0.0
        band = self.lateness.band_of(*before, *made)
        return self.lateness.loss(band, target.weed, self.lateness.shared(before[1], made[1]))

    def _weighed(
        self,
        product: Product,
        weights: Sequence[float],
        bands: Sequence[Band | None],
        shared: tuple[str, ...],
    ) -> list[float]:
        """By day the gain of a product that comes as late as told."""
        days = zip(self.dates, self.usual(product), bands, strict=True)
        return [
            FORBIDDEN
            if usual is None
            else sum(map(mul, weights, self._each(product, date, band, shared)))
            for date, usual, band in days
        ]

    def _each(
        self, product: Product, date: dt.date, band: Band | None, shared: tuple[str, ...]
    ) -> tuple[float, ...]:
        """What a product gains on each target on a day where it comes late."""
        key = (product.id, date, 0 if band is None else band.days, shared)
        if key not in self._kept:
            self._kept[key] = tuple(
                self.gained(t, product, date, self.lateness.loss(band, t.weed, shared))
                for t in self.aims
            )
        return self._kept[key]
