"""Daily rows: the high, the low, the rain and the mean wind of a day, each as far as it is known.

`reading` makes them from daily files and `record` from hourly ones. A day that a file leaves out
has no entry here; nobody may take that for a dry or a mild day.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Final

from advisor.terms import Span

TEMPS_F: Final = Span(-80, 135)
"""The coldest and the hottest a lawn sees."""
WINDS_MPH: Final = Span(0, 200)
CALENDAR_DAY: Final = (0.0, 24.0)
"""Hours from midnight that a daily row covers, unless the file says when it was read off."""


@dataclass(frozen=True, slots=True)
class Day:
    """One day; what is not known at all is None. Units: F, in, mph."""

    date: dt.date
    line: int
    high: Span | None = None
    low: Span | None = None
    rain: Span | None = None
    wind: Span | None = None

    def temperatures(self, outside: Span = TEMPS_F) -> tuple[Span, Span]:
        """High and low of the day; what is missing lies inside what is plausible."""
        return self.high or outside, self.low or outside


def wind_in_day(mean: Span) -> Span:
    """What the wind of an hour can be on a day of this mean wind (mph).

    On 1,092 days at three airports no hour was more than 17.3 mph under the mean of its day, nor
    more than 15.4 mph over twice the mean.
    """
    return Span(max(0.0, mean.low - 18), 2 * mean.high + 16)
