"""A weed's year as rows of characters: how well each week suits, and what the weed does then.

Used by `show`. A column is a week of a common year; the picture of the handbook shows the same days
drawn to scale.
"""

from __future__ import annotations

import calendar
from collections.abc import Callable, Mapping
from typing import Final

from advisor.model import DayOfYear, Stretch, Weed

WEEKS: Final = 52
FIT_MARKS: Final = {"best": "#", "fair": "+", "poor": "-"}
STARTS: Final = (1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335)


def stages(weed: Weed) -> Mapping[str, Stretch]:
    """The stages of a weed's year, each by the name of its phrase."""
    found = {} if weed.germinates is None else {"germinates": weed.germinates}
    return found | {name.replace("_", "-"): days for name, days in weed.calendar.items()}


def year_strip(weed: Weed, label: Callable[[str], str]) -> list[str]:
    """The rows, each behind its label."""
    days = [_day(7 * week + 4) for week in range(WEEKS)]
    rows = [("", _months())]
    rows.append((label("year-season"), "".join(FIT_MARKS[weed.season_on(d).fit] for d in days)))
    for name, stretch in stages(weed).items():
        marks = "".join("=" if stretch.holds(day) else " " for day in days)
        rows.append((label(f"label-{name}"), marks))
    width = max(len(head) for head, _ in rows)
    return [f"  {head:<{width}}  {marks}".rstrip() for head, marks in rows]


def _months() -> str:
    text = ""
    for month, start in enumerate(STARTS, 1):
        at = (start - 1) // 7
        text = text.ljust(at) + calendar.month_abbr[month]
    return text


def _day(ordinal: int) -> DayOfYear:
    month = max(n for n, start in enumerate(STARTS, 1) if start <= ordinal)
    return DayOfYear(month, ordinal - STARTS[month - 1] + 1)
