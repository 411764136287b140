"""Dates and clock times as they are written: a day, a part of it, or a moment, each an interval.

`when` reads everything that stands by itself through here and adds what is said in relation to
something else. Nothing here guesses: a date in another order is an error that offers the likely
ones.
"""

from __future__ import annotations

import calendar
import difflib
import re
from datetime import date, datetime, time, timedelta
from typing import NoReturn

PARTS = {  # hours since midnight
    "morning": (6, 11),
    "noon": (11, 13),
    "afternoon": (12, 18),
    "evening": (17, 22),
    "night": (20, 30),
}
YEARS = range(1950, 2151)
_ABOUT = timedelta(days=3)
_ABOUT_CLOCK = timedelta(hours=1)

DATE = re.compile(r"(?P<year>[0-9]{4})-(?P<month>[0-9]{1,2})-(?P<day>[0-9]{1,2})(?![0-9])")
CLOCK = re.compile(
    r"(?P<hour>[0-9]{1,2})(?:[:.](?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2}))?)?"
    r" ?(?P<half>[ap]\.?m\b\.?)?"
)
_ROUND = re.compile(r"(?:about|around|roughly|approximately|approx|circa)\b *|~ *")
_MONTHS = [name.lower() for name in calendar.month_name]
_NAMED = r"\b(" + "|".join(name[:3] for name in _MONTHS[1:]) + ")[a-z]*"


class WhenError(ValueError):
    """A time that cannot be used: what is wrong with it, and what to write instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(f"{message}. {hint}" if hint else message)
        self.message = message
        self.hint = hint


def midnight(day: date) -> datetime:
    """The start of a day."""
    return datetime.combine(day, time.min)


def dated(text: str) -> tuple[datetime, datetime]:
    """A date, with a part of the day or a clock time, or by itself; `about` widens each."""
    about = _ROUND.match(text)
    rest = text[about.end() :] if about else text
    found = DATE.match(rest)
    if found is None:
        _no_date(rest)
    day = midnight(_day(found))
    spread = _ABOUT if about else timedelta(0)
    rest = re.sub("^t(?=[0-9])|^,? *(?:at |in the )?", "", rest[found.end() :]).strip()
    part = "noon" if rest == "midday" else rest
    if not rest or part in PARTS:
        start, end = PARTS.get(part, (0, 24))
        return day + timedelta(hours=start) - spread, day + timedelta(hours=end) + spread
    if roughly := _ROUND.match(rest):
        rest, spread = rest[roughly.end() :], spread + _ABOUT_CLOCK
    clock = CLOCK.fullmatch(rest)
    if clock is None:
        _no_part(rest)
    moment = day + _time_of_day(clock)
    return moment - spread, moment + spread


def _day(found: re.Match[str]) -> date:
    """The date written, checked."""
    year, month, day = (int(found[name]) for name in ("year", "month", "day"))
    if year not in YEARS:
        raise WhenError(f"`{found[0]}` is outside the years 1950 to 2150", "Check the year.")
    if not 1 <= month <= 12:
        raise WhenError(f"`{found[0]}` has no such month: {month}", "Months run from 01 to 12.")
    longest = calendar.monthrange(year, month)[1]
    if not 1 <= day <= longest:
        hint = f"{calendar.month_name[month]} {year} has {longest} days."
        raise WhenError(f"`{found[0]}` has no such day: {day}", hint)
    return date(year, month, day)


def _time_of_day(found: re.Match[str]) -> timedelta:
    """The clock time written, checked; 24:00 is the next midnight."""
    said, half = found[0].strip(), (found["half"] or "")[:1]
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    if half and not 1 <= hour <= 12:
        raise WhenError(f"`{said}` has no such hour: {hour}", "With am or pm hours run 1 to 12.")
    if found["minute"] is None and not half:
        raise WhenError(
            f"`{said}` is not a whole time", f"Write {said}:00, {said} am or {said} pm."
        )
    if minute > 59 or second > 59:
        raise WhenError(f"`{said}` has no such minute or second", "They run from 00 to 59.")
    if half:
        hour = hour % 12 + 12 * (half == "p")
    if hour * 3600 + minute * 60 + second > 24 * 3600:
        raise WhenError(f"`{said}` has no such hour: {hour}", "Hours run from 00:00 to 24:00.")
    return timedelta(hours=hour, minutes=minute, seconds=second)


def _no_part(rest: str) -> NoReturn:
    if rest == "midnight":
        hint = "Write 00:00 for the start of the day, 24:00 for its end."
    elif re.search(r"[0-9] ?(?:z|utc|gmt|[-+][0-9]{2}:?[0-9]{2})$", rest):
        hint = "Times are local: leave the zone out."
    else:
        near = difflib.get_close_matches(rest, [*PARTS], n=1)
        parts = ", ".join([*PARTS])
        hint = f"Did you mean {near[0]}?" if near else f"Write 10:00, 10 am or one of {parts}."
    raise WhenError(f"`{rest}` is not a time of day known here", hint)


def _no_date(text: str) -> NoReturn:
    """Say why there is no date in the text, and what the date most likely is."""
    if clock := CLOCK.fullmatch(text):
        _time_of_day(clock)
    if CLOCK.fullmatch(text) or text in PARTS or text in ("midday", "midnight"):
        raise WhenError(f"`{text}` has no date", f"Write the date before it: YYYY-MM-DD {text}.")
    if likely := [day for day in _likely(text) if day]:
        said = [f"{d} ({calendar.month_name[d.month]} {d.day})" for d in dict.fromkeys(likely)]
        raise WhenError(f"`{text}` is not written as YYYY-MM-DD", f"Write {' or '.join(said)}.")
    hint = "Write YYYY-MM-DD, YYYY-MM-DD 10:00, YYYY-MM-DD morning or about YYYY-MM-DD."
    if re.search(_NAMED, text) or re.fullmatch("[0-9]{4}-[0-9]{1,2}", text):
        hint = "For part of a month write between YYYY-MM-DD and YYYY-MM-DD."
    raise WhenError(f"`{text}` does not give a date", hint)


def _likely(text: str) -> list[date | None]:
    """The dates that the text may mean, in the order of likelihood."""
    if found := re.search(r"\b([0-9]{4})[/. ]?([0-9]{1,2})[/. ]?([0-9]{1,2})\b", text):
        return [_try(*(int(part) for part in found.groups()))]
    if found := re.search(r"\b([0-9]{1,2})([/.-])([0-9]{1,2})[/.-]([0-9]{4}|[0-9]{2})\b", text):
        first, second, year = int(found[1]), int(found[3]), int(found[4])
        year += 2000 if year < 100 else 0
        both = [_try(year, first, second), _try(year, second, first)]
        return both[::-1] if found[2] == "." else both
    named = re.search(_NAMED, text)
    day = re.search(r"\b([0-9]{1,2})(?:st|nd|rd|th)?\b", text)
    year_said = re.search(r"\b([0-9]{4})\b", text)
    if named and day and year_said:
        month = next(i for i, name in enumerate(_MONTHS) if name[:3] == named[1])
        return [_try(int(year_said[1]), month, int(day[1]))]
    return []


def _try(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day) if year in YEARS else None
    except ValueError:
        return None
