"""Amounts with units: what a person wrote, read as an exact interval, and shown again in words.

The call file, the labels and the examples in the knowledge base are read here, before any fact is
made of them; every text prints its figures through `show`. Nothing here guesses a unit that was
not written, knows what a fact means, or rounds anything but what is shown.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from advisor.spoken import NUMBER, UnitError, number_value, plain_text
from advisor.terms import Span
from advisor.unit_table import (
    Unit,
    Wanted,
    examples,
    find,
    meanings,
    reads,
    wrong_dimension,
)

__all__ = [
    "Amount",
    "UnitError",
    "dimension_of",
    "parse_amount",
    "parse_value",
    "scale",
    "show",
    "show_amount",
]


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount known to lie in [low, high], both in `unit`; `text` is what was written."""

    low: Fraction
    high: Fraction
    dimension: str
    unit: str
    text: str = field(compare=False)

    def exact(self, unit: str) -> tuple[Fraction, Fraction]:
        """Both ends in another unit of the same dimension."""
        have = find(self.unit, (self.dimension,))
        want = meanings(unit).get(self.dimension) or find(unit)
        if want.dimension != self.dimension:
            wrong_dimension(have, (want.dimension,), self.text or self.unit)
        return _convert(self.low, have, want), _convert(self.high, have, want)

    def to(self, unit: str) -> Span:
        """The interval in another unit of the same dimension, as the rules read it."""
        low, high = self.exact(unit)
        return Span(float(low), float(high))


def _convert(value: Fraction, have: Unit, want: Unit) -> Fraction:
    return (value * have.factor + have.offset - want.offset) / want.factor


def dimension_of(unit: str) -> str:
    """The dimension of a unit; of several (`%`, `F`) the one that a fact in this unit has."""
    return find(unit).dimension


def scale(amount_unit: str, target_unit: str) -> Fraction:
    """What an amount in the one unit is multiplied by to be in the other, exactly.

    Temperatures have no such factor; their differences (`F-degrees`, `C-degrees`) have.
    """
    have, want = find(amount_unit), find(target_unit)
    targets = meanings(target_unit)
    for dimension, unit in meanings(amount_unit).items():
        if dimension in targets:
            if unit.offset != targets[dimension].offset:
                hint = "Differences do convert: F-degrees and C-degrees."
                raise UnitError(f"no factor turns {amount_unit} into {target_unit}", hint)
            return unit.factor / targets[dimension].factor
    wrong_dimension(have, (want.dimension,), amount_unit)


# ---- reading ---------------------------------------------------------------------------------

_ABOUT = re.compile(r"(?:about|around|roughly|approximately|approx|circa)\b *|~ *")
_OPENINGS = (  # what the words say of the number that follows
    ("least", re.compile(r"(?:at least|no less than|not less than)\b *|>= *")),
    ("most", re.compile(r"(?:at most|up to|no more than|not more than|within)\b *|<= *")),
    ("least", re.compile(r"(?:over|above|more than|greater than|longer than)\b *|> *")),
    ("under", re.compile(r"(?:under|below|less than|fewer than|shorter than)\b *|< *")),
)
_CLOSINGS = (
    ("least", re.compile(r" ?\+$| (?:or|and) (?:more|longer|over|above|up|older|higher|taller)$")),
    ("most", re.compile(r" or (?:less|fewer|under|below|shorter|lower)$")),
)
_SIGN = re.compile(r" *(?P<sign>[-+]|minus )? *(?=[0-9.]|an? )", re.I)
_ARTICLE = re.compile("an? ", re.I)
_TO = re.compile(r" *(?:-|(?:to|or|and|through)\b) *(?=[-+]? ?[0-9.]|an? |minus )", re.I)
_LATER = re.compile(
    r"(?P<unit>.*?[^-0-9 ]) *(?:-|\b(?:to|or|and)\b) *(?P<rest>(?:[-+]?[0-9.]|an? |minus ).*)",
    re.I,
)
_MORE = re.compile(r"(?P<unit>[^0-9/,]+?),? (?:and )?(?P<rest>[0-9.].*)")
_SIGNED = ("temperature", "temperature-difference")
_ABOUT_F = 5
_STRICT = Fraction(1, 10**9)


def parse_amount(
    text: str | float,
    dimension: str | Wanted | None = None,
    *,
    fact_unit: str | None = None,
    signed: bool = False,
    limits: tuple[float, float] | None = None,
) -> Amount:
    """Read an amount: a number or a range, and its unit.

    `dimension` says what is wanted; without it `fact_unit` does, and without either any dimension
    will do. `limits` are the ends of what is plausible, in `fact_unit` (or else in the unit
    written): they close `at least 3 h` above and `under 5 mph` below, and nothing else; without
    them zero closes the low end of what cannot be negative, one the high end of a share, and any
    other open end is an error. `under` and its like end a billionth short of the number, because
    the bands of the rules leave their upper end out. `about` gives or takes a quarter, for a
    temperature 5 F. `signed` allows negative amounts; temperatures and their differences may
    always be negative.
    """
    written = _short(text)
    wanted: Wanted = (dimension,) if isinstance(dimension, str) else dimension or ()
    if not wanted and fact_unit is not None:
        wanted = (dimension_of(fact_unit),)
    plain, how = _hedges(plain_text(written))
    ends = _ends(plain, wanted, written)
    unit = ends[-1][1]
    low, high = (_convert(value, have, unit) for value, have in (ends[0], ends[-1]))
    if low > high:
        raise UnitError(f"`{written}` runs backwards", "Write the smaller amount first.")
    if how == "about":
        low, high = _give_or_take(low, unit)[0], _give_or_take(high, unit)[1]
        high = min(high, max(ends[-1][0], _top(unit) or high))
    elif how:
        if len(ends) > 1:
            hint = "Write either a range or one number with at least, under or the like."
            raise UnitError(f"`{written}` has an open end and two numbers", hint)
        low, high = _closed(how, low, _bounds(unit, signed, fact_unit, limits), written)
    if low < 0 and not signed and unit.dimension not in _SIGNED:
        raise UnitError(f"`{written}` is negative", "This amount cannot be below zero.")
    if unit.dimension == "share" and high * unit.factor > 1:
        raise UnitError(f"`{written}` is more than the whole", "A share is at most 100 %.")
    return Amount(low, high, unit.dimension, unit.name, written)


def parse_value(
    text: str | float,
    unit: str,
    *,
    signed: bool = False,
    limits: tuple[float, float] | None = None,
) -> Span:
    """Read the value of a number fact, in the fact's unit; a range that dips below 0 is signed."""
    signed = signed or (limits is not None and limits[0] < 0)
    return parse_amount(text, fact_unit=unit, signed=signed, limits=limits).to(unit)


def _short(text: str | float) -> str:
    if isinstance(text, int) and abs(text) >= 10**15:
        raise UnitError("the number has too many digits", "Write at most fifteen.")
    written = " ".join(str(text).split())
    if len(written) > 120:
        raise UnitError(f"`{written[:40]}...` is too long for an amount", "Write e.g. 2 fl oz.")
    return written


def _hedges(plain: str) -> tuple[str, str]:
    """The text without the words that open it to one or both sides, and what they say."""
    text = re.sub(r"^(?:between|from) | of (?:water|spray|lawn|turf)$", "", plain, flags=re.I)
    if about := _ABOUT.match(text):
        return text[about.end() :], "about"
    for how, words in _OPENINGS:
        if found := words.match(text):
            return text[found.end() :], how
    for how, words in _CLOSINGS:
        if found := words.search(text):
            return text[: found.start()], how
    return text, ""


def _number(text: str, written: str) -> tuple[Fraction, str]:
    """The number that the text starts with, and what follows it."""
    sign = _SIGN.match(text)
    start = sign.end() if sign else 0
    found = NUMBER.match(text, start) if sign else None
    article = _ARTICLE.match(text, start) if sign else None
    if found is None and article is None:
        if re.search("[0-9],[0-9]", text):
            raise UnitError(f"`{written}` has a comma in its number", "Write 1.5, or 1,000.")
        raise UnitError(f"`{written}` does not give a number", "Write e.g. 2 fl oz or 3 h.")
    value = number_value(found) if found else Fraction(1)
    rest = text[found.end() if found else article.end() if article else start :]
    if re.match("e[-+]?[0-9]", rest, re.I):
        raise UnitError(f"`{written}` has an exponent", "Write the number out, such as 1000.")
    return (-value if sign and sign["sign"] in ("-", "minus ") else value), rest


def _ends(plain: str, wanted: Wanted, written: str) -> list[tuple[Fraction, Unit]]:
    """The one number or the two ends that the text gives, each with its unit."""
    first, rest = _number(plain, written)
    number = plain.removesuffix(rest).strip()
    if to := _TO.match(rest):
        second, unit = _number(rest[to.end() :], written)
        number = plain.removesuffix(unit).strip()
        told = [(first, ""), (second, unit)]
    elif later := _LATER.fullmatch(rest):
        second, unit = _number(later["rest"], written)
        told = [(first, later["unit"]), (second, unit)]
    else:
        told = [(first, rest)]
    spelled = [re.sub("^ ?-? ?", "", unit).strip() for _, unit in told]
    if not any(spelled):
        if "count" not in wanted:
            raise UnitError(f"`{written}` has no unit", examples(number, wanted))
        spelled = ["count"] * len(told)
    value, unit_last = _quantity(told[-1][0], spelled[-1] or spelled[0], wanted, number)
    if len(told) == 1:
        return [(value, unit_last)]
    same = (unit_last.dimension,)
    return [_quantity(first, spelled[0] or spelled[-1], same, number), (value, unit_last)]


def _quantity(value: Fraction, text: str, wanted: Wanted, number: str) -> tuple[Fraction, Unit]:
    """A number with its unit, or a sum such as `1 h 30 min`, in the first of its units."""
    more = _MORE.fullmatch(text)
    if more is None or meanings(text) or not meanings(more["unit"]):
        return value, find(text, wanted, number)
    unit = find(more["unit"], wanted, number)
    extra, rest = _number(more["rest"], text)
    small = find(rest, (unit.dimension,))
    if small.factor >= unit.factor or unit.dimension in _SIGNED:
        raise UnitError(f"`{number} {text}` reads as two amounts", "Write one, or a range: 1 to 2.")
    extra *= small.factor / unit.factor
    return (value - extra if value < 0 else value + extra), unit


def _top(unit: Unit) -> Fraction | None:
    return 1 / unit.factor if unit.dimension == "share" else None


def _give_or_take(value: Fraction, unit: Unit) -> tuple[Fraction, Fraction]:
    spread = _ABOUT_F / unit.factor if unit.dimension == "temperature" else abs(value) / 4
    return value - spread, value + spread


def _bounds(
    unit: Unit, signed: bool, fact_unit: str | None, limits: tuple[float, float] | None
) -> tuple[Fraction | None, Fraction | None]:
    """What an open end below and above is closed with, in the unit."""
    if limits is None:
        return None if signed or unit.dimension in _SIGNED else Fraction(0), _top(unit)
    have = find(fact_unit, (unit.dimension,)) if fact_unit else unit
    low, high = (_convert(Fraction(str(limit)), have, unit) for limit in limits)
    return low, high


def _closed(
    how: str, value: Fraction, bounds: tuple[Fraction | None, Fraction | None], written: str
) -> tuple[Fraction, Fraction]:
    """Both ends of an amount that was given one."""
    if how == "under":
        value -= _STRICT * (abs(value) if abs(value) > 1 else 1)
    low, high = (value, bounds[1]) if how == "least" else (bounds[0], value)
    if low is None or high is None:
        raise UnitError(f"`{written}` has an open end", "Write both ends, such as 3 to 6.")
    if low > high:
        raise UnitError(
            f"`{written}` is beyond what is plausible", "Check the number and its unit."
        )
    return low, high


# ---- showing ---------------------------------------------------------------------------------

_COARSE = ("time", "temperature", "temperature-difference", "speed", "hardness", "share", "ratio")
"""Known to two digits at best: whole numbers from 10 up, one decimal below, two digits below 1.

All other dimensions are measured out: three digits, whole numbers from 100 up.
"""


def show(value: Span, unit: str) -> str:
    """A value for a text: `2 to 6 hours`, `60 %`, `1.5 gal per 1,000 ft2`.

    Rounding is half up (see `_COARSE`); a range whose ends read alike becomes `about`. Hours read
    as minutes below one and as days above 72; a range that starts at a day or later and ends
    above 72 hours is all in days.
    """
    return _shown(value, find(unit))


def show_amount(amount: Amount) -> str:
    """An amount for a text, in the unit it was written in."""
    return _shown(amount.to(amount.unit), find(amount.unit, (amount.dimension,)))


def _shown(value: Span, unit: Unit) -> str:
    if unit.name == "share":
        return _worded(value.low * 100, value.high * 100, find("%"))
    if unit.name != "h":
        return _worded(value.low, value.high, unit)
    low, high = _rung(value.low or value.high), _rung(value.high or value.low)
    if "days" in (low, high) and min(abs(value.low), abs(value.high)) >= 24:
        low = high = "days"
    first, last = (x * float(scale("h", r)) for x, r in ((value.low, low), (value.high, high)))
    if low == high:
        return _worded(first, last, find(low))
    return f"{_worded(first, first, find(low))} to {_worded(last, last, find(high))}"


def _rung(hours: float) -> str:
    return "days" if abs(hours) > 72 else "min" if 0 < abs(hours) < 1 else "h"


def _worded(low: float, high: float, unit: Unit) -> str:
    coarse = unit.dimension in _COARSE
    first, last = _rounded(low, coarse), _rounded(high, coarse)
    one, many = reads(unit)
    noun = one if last.lstrip("-") == "1" or last.lstrip("-").startswith("0.") else many
    if first != last:
        return f"{first} to {last} {noun}".strip()
    return f"{'about ' if low != high else ''}{last} {noun}".strip()


def _rounded(value: float, coarse: bool) -> str:
    exact = Decimal(repr(float(value)))
    if not exact:
        return "0"
    size = exact.adjusted()
    decimals = max(0, (1 if coarse else 2) - size)
    shown = f"{exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP):,f}"
    shown = shown.rstrip("0").rstrip(".") if "." in shown else shown
    return "0" if shown == "-0" else shown
