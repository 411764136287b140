"""Hourly rows, and what they say of the time between them.

`reading` makes the rows, `record` asks a `Track` of one measured thing how low and how high it may
have been. Between two readings a thing can move no faster than its rate, so a gap widens with its
length and nothing is ever interpolated to a point. It knows no files and no facts.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from advisor.terms import Span

EPOCH: Final = dt.datetime(1950, 1, 1)
RATES: Final[dict[str, float]] = {"temp": 6.0, "wind": 10.0, "humidity": 0.18}
"""Most that a reading changes in an hour: F, mph, share.

Of 26,000 hours at three airports (tests/data/weather) 99 in 100 changed by less; where two
readings lie further apart, the rate between them is that of the two.
"""


def hours_since_epoch(moment: dt.datetime) -> float:
    """A moment as a number of hours."""
    return (moment - EPOCH) / dt.timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Hour:
    """One row of an hourly file; what it leaves out is None. Units: F, in, mph, share."""

    moment: dt.datetime
    line: int
    temp: float | None = None
    rain: Span | None = None
    wind: float | None = None
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class _Between:
    """What two neighbouring readings allow on a stretch of time between them."""

    lowest: Span
    highest: Span


@dataclass(frozen=True, slots=True)
class Track:
    """The readings of one thing over time, and how fast it can move between them."""

    times: tuple[float, ...]
    values: tuple[float, ...]
    rate: float
    limits: Span

    @classmethod
    def of(cls, readings: Iterable[tuple[dt.datetime, float]], rate: float, limits: Span) -> Track:
        """A track of readings in the order of time."""
        pairs = [(hours_since_epoch(moment), value) for moment, value in readings]
        return cls(tuple(t for t, _ in pairs), tuple(v for _, v in pairs), rate, limits)

    def over(self, start: dt.datetime, end: dt.datetime) -> Span:
        """What it can be at a moment that lies somewhere in a stretch of time."""
        found = list(self._pieces(start, end))
        return self._clip(min(p.lowest.low for p in found), max(p.highest.high for p in found))

    def highest(self, start: dt.datetime, end: dt.datetime) -> Span:
        """How high it can have come in a stretch of time."""
        found = list(self._pieces(start, end))
        return self._clip(max(p.highest.low for p in found), max(p.highest.high for p in found))

    def lowest(self, start: dt.datetime, end: dt.datetime) -> Span:
        """How low it can have come in a stretch of time."""
        found = list(self._pieces(start, end))
        return self._clip(min(p.lowest.low for p in found), min(p.lowest.high for p in found))

    def _clip(self, low: float, high: float) -> Span:
        ends = (self.limits.low, self.limits.high)
        return Span(min(max(low, ends[0]), ends[1]), max(min(high, ends[1]), ends[0]))

    def _pieces(self, start: dt.datetime, end: dt.datetime) -> Iterator[_Between]:
        """The stretch cut at the readings."""
        first, last = hours_since_epoch(start), hours_since_epoch(end)
        cuts = [first, *self.times[bisect_right(self.times, first) : bisect_left(self.times, last)]]
        for a, b in zip(cuts, [*cuts[1:], last], strict=True):
            yield self._between(a, b)

    def _between(self, a: float, b: float) -> _Between:
        after = bisect_left(self.times, b)
        before = bisect_right(self.times, a) - 1
        left = (self.times[before], self.values[before]) if before >= 0 else None
        right = (self.times[after], self.values[after]) if after < len(self.times) else None
        if left is None and right is None:
            return _Between(self.limits, self.limits)
        rate, turns = self.rate, []
        if left and right and left[0] < right[0]:
            rate = max(rate, abs(right[1] - left[1]) / (right[0] - left[0]))
            middle, lean = (left[0] + right[0]) / 2, (right[1] - left[1]) / (2 * rate)
            turns = [t for t in (middle + lean, middle - lean) if a < t < b]
        near = [reading for reading in (left, right) if reading is not None]
        lows, highs = [], []
        for t in (a, b, *turns):
            lows.append(max(value - rate * abs(t - at) for at, value in near))
            highs.append(min(value + rate * abs(t - at) for at, value in near))
        # where the two readings just allow each other, rounding may swap the ends
        bottom, top = min(lows), max(highs)
        return _Between(Span(bottom, max(bottom, min(highs))), Span(min(max(lows), top), top))
