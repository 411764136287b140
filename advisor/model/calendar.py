"""Days and stretches of any year, for weeds, grasses and regions alike.

Beside `base` at the foot of the model; seasons, sowing times and frosts are written in it. It knows
no year and no hemisphere.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

_COMMON_YEAR = [dt.date(2023, 1, 1) + dt.timedelta(days=n) for n in range(365)]
_ORDINALS = {(day.month, day.day): n for n, day in enumerate(_COMMON_YEAR, start=1)}


@dataclass(frozen=True, slots=True)
class DayOfYear:
    """A month and day of any year; 29 February counts as 28 February."""

    month: int
    day: int

    @classmethod
    def of(cls, date: dt.date) -> DayOfYear:
        """The day of the year of a date."""
        return cls(date.month, min(date.day, 28) if date.month == 2 else date.day)

    @property
    def ordinal(self) -> int:
        """1 to 365, counted in a common year."""
        return _ORDINALS[self.month, self.day]

    def in_year(self, year: int) -> dt.date:
        """This day in a year."""
        return dt.date(year, self.month, self.day)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the year, from a day to a day, both included; it may run over new year."""

    first: DayOfYear
    last: DayOfYear

    def holds(self, day: DayOfYear) -> bool:
        """Whether the day lies in it."""
        start, end, here = self.first.ordinal, self.last.ordinal, day.ordinal
        return start <= here <= end if start <= end else here >= start or here <= end

    @property
    def days(self) -> int:
        """Its length in a common year."""
        return (self.last.ordinal - self.first.ordinal) % 365 + 1
