"""Amounts in a question: how long ago, how warm, how big the lawn is.

Reads them with `advisor.units`, as everywhere else, after putting the ways people say them into
the ways amounts are written: `upper 80s`, `50 by 80 feet`, `5,000 sq. ft.`. It draws no conclusion.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.spoken import plain_text
from advisor.units import Amount, UnitError, parse_amount

WANTED = ("time", "temperature", "area")
_NUMBER = r"(?:\d[\d,]*(?:\.\d+)?|\.\d+)(?: ?\d/\d)?|\d/\d"
_TO = rf"(?:{_NUMBER})(?: ?(?:to|-|or) ?(?:{_NUMBER}))?"
_UNIT = (
    r"sq(?:uare|\.)? ?(?:feet|foot|ft|yards|yds|yd|meters)\b|ft2|acres?\b"
    r"|degrees?(?: ?[fc]\b)?|degres\b|deg\b|f\b"
    r"|hours?\b|hrs?\b|h\b|minutes?\b|mins?\b|days?\b|weeks?\b|wks?\b|months?\b|years?\b|yrs?\b"
)
_AMOUNT = re.compile(rf"(?P<number>{_TO}) ?-?(?:more )?(?P<unit>{_UNIT})", re.I)
_SIDES = re.compile(
    r"(\d[\d,.]*) ?(?:ft|feet|foot)? ?(?:by|x) ?(\d[\d,.]*) ?(?:ft|feet|foot)?\b", re.I
)
_TENS = re.compile(r"\b(low|lower|mid|middle|upper|high)? ?-?(\d)0'?s\b", re.I)
_PART_OF_TENS = {"low": (0, 3), "lower": (0, 3), "mid": (4, 6), "middle": (4, 6)}
_PART_OF_TENS |= {"upper": (7, 9), "high": (7, 9), "": (0, 9)}
_ARTICLE = re.compile(r"\ban? (?=(?:hour|day|week|minute|acre|month|year)\b)", re.I)
_UNITS = (  # how people write a unit, and how `units` reads it
    (re.compile(r"^sq.*(?:feet|foot|ft)$", re.I), "ft2"),
    (re.compile(r"^sq.*(?:yards|yds|yd)$", re.I), "yd2"),
    (re.compile(r"^sq.*meters$", re.I), "m2"),
    (re.compile(r"^deg\w* ?c$", re.I), "C"),
    (re.compile(r"^(?:deg\w*(?: ?f)?|f)$", re.I), "F"),
    (re.compile(r"^(?:hrs?|h)$", re.I), "h"),
    (re.compile(r"^mins?$", re.I), "min"),
    (re.compile(r"^wks?$", re.I), "weeks"),
    (re.compile(r"^yrs?$", re.I), "years"),
)
_WARM, _COOL = 75, 60
"""Degrees F from which a day is called hot, and below which it is called cold."""


def amounts(text: str) -> tuple[Amount, ...]:
    """The times, temperatures and areas in a text, in the order they stand."""
    try:
        plain = _ARTICLE.sub("1 ", plain_text(text))
    except UnitError:
        return ()
    found = [a for said in _said(plain) if (a := _read(said)) is not None]
    return tuple(dict.fromkeys(found))


def weather_words(found: tuple[Amount, ...]) -> Iterator[str]:
    """`hot` and `cold` for temperatures, so that a figure counts like the word."""
    for amount in found:
        if amount.dimension == "temperature":
            span = amount.to("F")
            if span.low >= _WARM:
                yield "hot"
            elif span.high < _COOL:
                yield "cold"


def _said(plain: str) -> Iterator[str]:
    for sides in _SIDES.finditer(plain):
        one, other = (float(side.replace(",", "").rstrip(".")) for side in sides.groups())
        yield f"{one * other:g} ft2" if one * other < 1e6 else ""
    for tens in _TENS.finditer(plain):
        low, high = _PART_OF_TENS[(tens[1] or "").lower()]
        yield f"{tens[2]}{low} to {tens[2]}{high} F"
    for amount in _AMOUNT.finditer(plain):
        unit = amount["unit"]
        for pattern, name in _UNITS:
            unit = pattern.sub(name, unit)
        yield f"{amount['number']} {unit}"


def _read(said: str) -> Amount | None:
    try:
        return parse_amount(said, WANTED)
    except UnitError:
        return None
