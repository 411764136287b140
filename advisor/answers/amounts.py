"""Amounts in a question: how long ago, how warm, how big the lawn is.

Reads them with `advisor.units`, as everywhere else, after putting the ways people say them into
the ways amounts are written: `upper 80s`, `50 by 80 feet`, `5,000 sq. ft.`; another language is put
into English first, by its own list. It draws no conclusion.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping

from advisor.spoken import plain_text
from advisor.units import Amount, UnitError, parse_amount

WANTED = ("time", "temperature", "area")
VOLUME = "volume"
_NUMBER = r"(?:\d[\d,]*(?:\.\d+)?|\.\d+)(?: ?\d/\d)?|\d/\d"
_TO = rf"(?:{_NUMBER})(?: ?(?:to|-|or) ?(?:{_NUMBER}))?"
_UNIT = (
    r"sq(?:uare|\.)? ?(?:feet|foot|ft|yards|yds|yd|meters)\b|ft2|acres?\b"
    r"|degrees?(?: ?[fc]\b)?|degres\b|deg\b|f\b"
    r"|gallons?\b|gals?\b|gal\b|liters?\b|quarts?\b"
    r"|hours?\b|hrs?\b|h\b|minutes?\b|mins?\b|days?\b|weeks?\b|wks?\b|months?\b|years?\b|yrs?\b"
)
_AMOUNT = re.compile(rf"(?P<number>{_TO}) ?-?(?:more )?(?P<unit>{_UNIT})", re.I)
_SIDES = re.compile(
    r"(\d[\d,.]*) ?(?:ft|feet|foot)? ?(?:by|x) ?(\d[\d,.]*) ?(?:ft|feet|foot)?\b", re.I
)
_TENS = re.compile(r"\b(low|lower|mid|middle|upper|high)? ?-?(\d)0'?s\b", re.I)
_PART_OF_TENS = {"low": (0, 3), "lower": (0, 3), "mid": (4, 6), "middle": (4, 6)}
_PART_OF_TENS |= {"upper": (7, 9), "high": (7, 9), "": (0, 9)}
_THOUSANDS = re.compile(r"\b(\d{1,3}) 1000\b")
"""How `plain_text` leaves `5 thousand`."""
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


def amounts(
    text: str, heard: Mapping[str, str] | None = None, wanted: tuple[str, ...] = WANTED
) -> tuple[Amount, ...]:
    """The amounts in a text, in the order they stand.

    Args:
        text: the text.
        heard: how another language says amounts, and the English for it; see `speech`.
        wanted: the dimensions looked for.
    """
    try:
        plain = plain_text(in_english(text, heard or {}))
        plain = _ARTICLE.sub("1 ", _THOUSANDS.sub(r"\g<1>000", plain))
    except UnitError:
        return ()
    found = [a for said in _said(plain) if (a := _read(said, wanted)) is not None]
    return tuple(dict.fromkeys(found))


def in_english(text: str, heard: Mapping[str, str]) -> str:
    """A text with the words of its amounts put into English; accents do not count."""
    if not heard:
        return text
    known = {_bare(said): meant for said, meant in heard.items()}
    pieces = sorted(known, key=lambda piece: (-len(piece), piece))
    pattern = rf"\b(?:{'|'.join(re.escape(piece) for piece in pieces)})\b"
    return re.sub(pattern, lambda found: known[found[0]], _bare(text))


def _bare(text: str) -> str:
    plain = unicodedata.normalize("NFD", text.casefold())
    return "".join(c for c in plain if not unicodedata.combining(c))


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


def _read(said: str, wanted: tuple[str, ...]) -> Amount | None:
    try:
        return parse_amount(said, wanted)
    except UnitError:
        return None
