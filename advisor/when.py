"""Times as intervals: what a caller says of a day or an hour, and how far apart two of them are.

The call file's dates are read here into `When`, from which the facts about waiting and drying are
worked out. All times are local and without a zone: where clocks change for summer a gap can be an
hour off, which no rule is fine enough to feel. Nothing here knows today's date.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from advisor.dates import CLOCK, DATE, PARTS, YEARS, WhenError, dated, midnight
from advisor.spoken import UnitError, plain_text
from advisor.terms import Span, Truth
from advisor.units import parse_amount

__all__ = ["Since", "When", "WhenError", "days_between", "gap_hours", "order", "parse_when"]

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class When:
    """A moment known to lie in [low, high], local time; `text` is what was said of it.

    A day is [00:00, 24:00], and 24:00 is the next midnight. What was said in relation to another
    time keeps that relation in `since`, so that `3 hours before spraying` stays 3 hours before it
    on a day whose hour nobody knows.
    """

    low: datetime
    high: datetime
    text: str = field(default="", compare=False)
    since: Since | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"a time needs low <= high, got {self.low} and {self.high}")

    @property
    def first_day(self) -> date:
        """The earliest day it can have been."""
        return self.low.date()

    @property
    def last_day(self) -> date:
        """The latest day it can have been; a closing midnight belongs to the day before."""
        ends_a_day = self.high > self.low and self.high.time() == time.min
        return (self.high - _DAY if ends_a_day else self.high).date()

    def within(self, other: When) -> bool:
        """Whether this says at least as much as the other one."""
        return other.low <= self.low and self.high <= other.high


@dataclass(frozen=True, slots=True)
class Since:
    """How far a time is from the one it was told by: hours, and days by the calendar."""

    base: When
    hours: Span
    days: Span


def gap_hours(earlier: When, later: When) -> Span:
    """The hours from the one to the other; negative where the second may come first."""
    hour = timedelta(hours=1)
    gap = Span((later.low - earlier.high) / hour, (later.high - earlier.low) / hour)
    if later.since and later.since.base == earlier:
        return _both(gap, later.since.hours)
    if earlier.since and earlier.since.base == later:
        return _both(gap, _back(earlier.since.hours))
    return gap


def days_between(earlier: When, later: When) -> Span:
    """The days from the one to the other as a calendar counts them, by dates alone.

    Labels are read so: sprayed on the 1st and again on the 29th is 28 days, whatever the hours.
    """
    gap = Span(
        float((later.first_day - earlier.last_day).days),
        float((later.last_day - earlier.first_day).days),
    )
    if later.since and later.since.base == earlier:
        return _both(gap, later.since.days)
    if earlier.since and earlier.since.base == later:
        return _both(gap, _back(earlier.since.days))
    return gap


def order(a: When, b: When) -> Truth:
    """Whether `a` comes before `b`. Days that only share a midnight are in order."""
    gap = gap_hours(a, b)
    if gap.high <= 0:
        return Truth.RULED_OUT
    return Truth.SHOWN if gap.low >= 0 else Truth.OPEN


def _both(a: Span, b: Span) -> Span:
    """What two spans say together; the first alone where they disagree."""
    low, high = max(a.low, b.low), min(a.high, b.high)
    return Span(float(low), float(high)) if low <= high else a


def _back(span: Span) -> Span:
    return Span(-span.high, -span.low)


# ---- reading ---------------------------------------------------------------------------------

_SPRAYING = (
    r"(?:the )?(?:spraying|spray|sprayed|spreading|spread|treatment|treating|application|applying)"
)
_SPANS = {**PARTS, "day": (0, 24)}
_PART = "|".join(_SPANS)
_BETWEEN = re.compile(r"between (?P<a>.+?) and (?P<b>.+)")
_FROM_TO = re.compile(r"(?:from )?(?P<a>(?:about )?[0-9]{4}-.+?) (?:to|until|till|-) (?P<b>.+)")
_AWAY = re.compile(r"(?P<gap>.*?) ?\b(?P<side>before|after) (?P<from>.+)")
_OF = re.compile(rf"(?:in |on )?(?:the )?(?P<part>{_PART}) (?P<side>of|before|after) (?P<from>.+)")
_SAME = re.compile(rf"(?:on |in )?(?:the )?(?:same|that) (?P<part>{_PART})")


def parse_when(text: str, anchor: When | None = None) -> When:
    """Read a time; `anchor` is the spraying that `2 days before spraying` counts from.

    `about` before a date gives or takes 3 days, before a clock time an hour, and before a length
    of time a quarter. A length in days or longer means those whole days; one in hours or minutes
    is taken to the minute.
    """
    said = " ".join(str(text).split())
    if len(said) > 120:
        raise WhenError(f"`{said[:40]}...` is too long for a time", "Write it as YYYY-MM-DD.")
    found = _expression(" ".join(plain_text(said).lower().split()), anchor)
    if not (found.first_day.year in YEARS and found.last_day.year in YEARS):
        raise WhenError(f"`{said}` is outside the years 1950 to 2150", "Check the year.")
    return When(found.low, found.high, said, found.since)


def _expression(text: str, anchor: When | None) -> When:
    """Any expression: a range, a relation to another time, or a date."""
    between = _BETWEEN.fullmatch(text) or _FROM_TO.fullmatch(text)
    if between and not re.fullmatch("[0-9./ ]+", between["a"]):
        return _between(between["a"], between["b"], anchor)
    if re.fullmatch(rf"(?:at |while |during |when )?{_SPRAYING}", text):
        base = _need(anchor, text)
        return When(base.low, base.high, "", Since(base, Span(0, 0), Span(0, 0)))
    if same := _SAME.fullmatch(text):
        return _part(same["part"], 0, _need(anchor, text))
    if of := _OF.fullmatch(text):
        return _beside(of["part"], of["side"], _base(of["from"], anchor, text))
    if away := _AWAY.fullmatch(text):
        return _shifted(away["gap"], away["side"], _base(away["from"], anchor, text), text)
    return When(*dated(text))


def _need(anchor: When | None, text: str) -> When:
    if anchor is None:
        raise WhenError(
            f"`{text}` needs to know when it was sprayed",
            "Give the date of spraying, or write this date as YYYY-MM-DD.",
        )
    return anchor


def _base(text: str, anchor: When | None, whole: str) -> When:
    """What a relation counts from: the spraying, or a date."""
    return _need(anchor, whole) if re.fullmatch(_SPRAYING, text) else When(*dated(text))


def _between(first: str, second: str, anchor: When | None) -> When:
    a = _expression(first, anchor)
    day = DATE.match(first)
    if day and not DATE.match(second) and (second in PARTS or CLOCK.fullmatch(second)):
        second = f"{day[0]} {second}"  # between 2027-09-13 8 am and 10 am
    b = _expression(second, anchor)
    if b.low < a.low or b.high <= a.low:
        raise WhenError(f"`{second}` comes before `{first}`", "Write the earlier time first.")
    return When(a.low, max(a.high, b.high))


def _part(part: str, shift: int, base: When) -> When:
    """A part of the base's day, or of the day that many days off."""
    start, end = _SPANS[part]
    first, last = (midnight(day) + shift * _DAY for day in (base.first_day, base.last_day))
    hours = Span(24 * (shift - 1) + start, 24 * shift + end)
    since = Since(base, hours, Span(shift, shift + (end > 24)))
    return When(first + timedelta(hours=start), last + timedelta(hours=end), "", since)


def _beside(part: str, side: str, base: When) -> When:
    """A part of the day of, before or after the base, cut off where the base begins or ends.

    The evening after is that evening if the base may have come before it, else the next one; the
    morning and the day after are the next.
    """
    if side == "of":
        return _part(part, 0, base)
    if side == "before":
        return _cut(_part(part, -1, base), side, base)
    same_day = _part(part, 0, base)
    next_day = part in ("morning", "day") or base.low >= same_day.low
    return _cut(_part(part, 1, base) if next_day else same_day, side, base)


def _cut(found: When, side: str, base: When) -> When:
    """Only what comes before, or after, the base."""
    assert found.since is not None
    hours, days = found.since.hours, found.since.days
    if side == "before":
        since = Since(base, _both(hours, Span(-math.inf, 0)), days)
        return When(found.low, max(found.low, min(found.high, base.high)), "", since)
    since = Since(base, _both(hours, Span(0, math.inf)), days)
    return When(min(found.high, max(found.low, base.low)), found.high, "", since)


def _shifted(gap: str, side: str, base: When, text: str) -> When:
    """A length of time before or after the base: to the minute, or in whole days."""
    if not gap:
        raise WhenError(f"`{text}` does not say how long {side}", f"Write e.g. 2 days {side}.")
    try:
        amount = parse_amount(gap, "time")
    except UnitError as wrong:
        raise WhenError(wrong.message, wrong.hint) from None
    near, far = amount.exact("h")
    if far > 24 * 366 * 200:
        raise WhenError(f"`{text}` is outside the years 1950 to 2150", "Check the length.")
    sign = 1 if side == "after" else -1
    if amount.unit in ("h", "min", "s"):
        low, high = sorted((sign * near, sign * far))
        hours = Span(float(low), float(high))
        since = Since(base, hours, Span(math.floor(low / 24), math.ceil(high / 24)))
        ends = (timedelta(seconds=float(x * 3600)) for x in (low, high))
        return When(base.low + next(ends), base.high + next(ends), "", since)
    first, last = sorted((sign * math.floor(near / 24), sign * math.ceil(far / 24)))
    since = Since(base, Span(24 * (first - 1), 24 * (last + 1)), Span(first, last))
    start, end = midnight(base.first_day) + first * _DAY, midnight(base.last_day) + last * _DAY
    return _cut(When(start, end + _DAY, "", since), side, base)
