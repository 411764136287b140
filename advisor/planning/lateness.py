"""What a follow-up loses where it comes so late that the survivors have spread again.

The forward use of the cause `retreated-too-late`: its rules say how many days past a weed's own
time for the next spray cost how much of that spray's kill. `setup` and `behind` ask it. Days on
which the ground is usually frozen are not counted, for nothing spreads then.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

from advisor.model import KnowledgeBase, Product, Weed
from advisor.planning.labels import gap_days, label_of, through_leaf
from advisor.planning.request import Done, Request
from advisor.planning.seasons import Seasons

CAUSE, FACT = "retreated-too-late", "retreat_lateness"
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True)
class Band:
    """From so many days late on: the share of the kill lost, by habit class."""

    days: int
    loss: dict[str, float]


@dataclass(frozen=True)
class Lateness:
    """Lateness at one place, for the weeds of one request."""

    base: KnowledgeBase
    seasons: Seasons
    request: Request

    @cached_property
    def bands(self) -> tuple[Band, ...]:
        """The rules of the cause, the mildest first."""
        cause = self.base.causes.get(CAUSE)
        found = [
            Band(round(condition.low), dict(rule.loss))
            for rule in (cause.rules if cause is not None else ())
            for clause in rule.clauses
            for condition in clause.conditions
            if condition.fact == FACT and condition.low is not None
        ]
        return tuple(sorted(found, key=lambda band: band.days))

    def shared(self, before: Product, after: Product) -> tuple[str, ...]:
        """The weeds that two leaf products both go for."""
        if not (through_leaf(before) and through_leaf(after)):
            return ()
        return tuple(
            w for w in self.request.weeds if "not-listed" not in (before.lists(w), after.lists(w))
        )

    def timely_days(self, before: Product, after: Product) -> int:
        """Days within which a follow-up is no later than the weeds and the labels want it."""
        weeds = [self.base.weeds[w] for w in self.shared(before, after)]
        return max(
            gap_days(before, after, weeds), *(w.retreatments.interval_days[1] for w in weeds), 0
        )

    def since(self, first: dt.date, before: Product, after: Product, band: Band) -> dt.date:
        """The first day on which a follow-up falls into a band."""
        due = first + self.timely_days(before, after) * _DAY
        return self._from + self._place((due - self._from).days, band) * _DAY

    def since_days(self, before: Product, after: Product, band: Band) -> list[int]:
        """The same for every day of the horizon, as days from its first one."""
        ahead = (self.request.start - self._from).days
        timely = ahead + self.timely_days(before, after)
        return [self._place(n + timely, band) - ahead for n in range(len(self.request.dates))]

    def _place(self, due: int, band: Band) -> int:
        grown = self._grown
        return bisect_left(grown, grown[min(due, len(grown) - 1)] + band.days)

    def band_of(
        self, first: dt.date, before: Product, date: dt.date, after: Product
    ) -> Band | None:
        """The band into which an application falls after the one before it."""
        if not self.shared(before, after):
            return None
        found = [b for b in self.bands if self.since(first, before, after, b) <= date]
        return found[-1] if found else None

    def loss(self, band: Band | None, weed: Weed, shared: Sequence[str]) -> float:
        """The share of the kill of one weed that is lost in a band."""
        if band is None or weed.id not in shared:
            return 0.0
        return band.loss.get(self.base.habit_class(weed.habit), 0.0)

    @cached_property
    def last_done(self) -> tuple[dt.date, Product] | None:
        """The application before the plan's first; None if what it left alive is told."""
        last: Done | None = max(self.request.done, key=lambda d: d.date, default=None)
        if last is None or last.counted or last.product is None:
            return None
        return last.date, label_of(self.request, self.base, last.product)

    @cached_property
    def _from(self) -> dt.date:
        return min([self.request.start, *(d.date for d in self.request.done)])

    @cached_property
    def _grown(self) -> list[int]:
        """By day from the first one: the days so far on which weeds can spread; then no more."""
        intervals = [w.retreatments.interval_days[1] for w in self.base.weeds.values()]
        days = (self.request.horizon.last - self._from).days + max(intervals, default=0) + 400
        open_ = (not self.seasons.frozen(self._from + n * _DAY) for n in range(days))
        return list(accumulate(map(int, open_)))
