"""The closed table of units: US customary and metric, exact factors, every spelling understood.

`units` looks up here what a spelling means, alone (`fl oz`), counted (`1000 ft2`) or per another
unit (`gal/acre`). Nothing here reads whole amounts or knows what a fact is.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import NoReturn, TypeAlias

from advisor.spoken import NUMBER, UnitError, number_value

Wanted: TypeAlias = tuple[str, ...]
"""The dimensions that will do; empty where any will."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: `value * factor + offset` is the amount in the base unit of its dimension."""

    dimension: str
    name: str
    factor: Fraction
    offset: Fraction = Fraction(0)


# The US gallon is 231 cubic inches, the foot 0.3048 m (so the acre is 43,560 international square
# feet, not survey feet), the avoirdupois pound 0.45359237 kg or 7,000 grains, a year 365.25 days.
_FOOT = Fraction("0.3048")  # m
_INCH = _FOOT / 12 * 100  # cm
_GAL = 231 * _INCH**3  # mL
_POUND = Fraction("453.59237")  # g
_MPH = 5280 * _FOOT / 3600  # m/s
_PSI = _POUND / 1000 * Fraction("9.80665") / (_FOOT / 12) ** 2  # Pa
_GPG = _POUND * 1000 / 7000 / (_GAL / 1000)  # mg/L

# dimension, then one line a unit: name, how one and how many of it read, factor, other spellings.
# A spelling has no spaces, dots or capitals; `per` is written `/`; a plural s is understood.
_TABLE: dict[str, tuple[tuple[str, str, str, Fraction | int, str], ...]] = {
    "volume": (
        ("fl oz", "fl oz", "fl oz", _GAL / 128, "fluidounce fluidoz flounce"),
        ("tsp", "tsp", "tsp", _GAL / 768, "teaspoon teaspoonful"),
        ("tbsp", "tbsp", "tbsp", _GAL / 256, "tablespoon tablespoonful tbs tblsp"),
        ("cup", "cup", "cups", _GAL / 16, "cupful"),
        ("pt", "pint", "pints", _GAL / 8, "pint"),
        ("qt", "quart", "quarts", _GAL / 4, "quart"),
        ("gal", "gal", "gal", _GAL, "gallon"),
        ("mL", "mL", "mL", 1, "milliliter millilitre cc"),
        ("L", "L", "L", 1000, "liter litre"),
    ),
    "mass": (
        ("oz", "oz", "oz", _POUND / 16, "ounce"),
        ("lb", "lb", "lb", _POUND, "pound"),
        ("mg", "mg", "mg", Fraction(1, 1000), "milligram"),
        ("g", "g", "g", 1, "gram"),
        ("kg", "kg", "kg", 1000, "kilogram kilo"),
    ),
    "area": (
        ("ft2", "ft2", "ft2", _FOOT**2, "sqft squarefoot squarefeet squareft sqfoot sqfeet"),
        ("yd2", "yd2", "yd2", 9 * _FOOT**2, "sqyd squareyard squareyd sqyard"),
        ("acre", "acre", "acres", 43560 * _FOOT**2, "ac"),
        ("m2", "m2", "m2", 1, "sqm squaremeter squaremetre sqmeter sqmetre"),
        ("ha", "ha", "ha", 10000, "hectare"),
    ),
    "length": (
        ("in", "inch", "inches", _INCH, 'inch inches "'),
        ("ft", "foot", "feet", _FOOT * 100, "foot feet '"),
        ("yd", "yard", "yards", _FOOT * 300, "yard"),
        ("mm", "mm", "mm", Fraction(1, 10), "millimeter millimetre"),
        ("cm", "cm", "cm", 1, "centimeter centimetre"),
        ("m", "m", "m", 100, "meter metre"),
    ),
    "time": (
        ("h", "hour", "hours", 1, "hr hour"),
        ("days", "day", "days", 24, "d day"),
        ("weeks", "week", "weeks", 7 * 24, "week wk"),
        ("months", "month", "months", Fraction(8766, 12), "month"),
        ("years", "year", "years", 8766, "year yr"),
        ("min", "minute", "minutes", Fraction(1, 60), "minute"),
        ("s", "second", "seconds", Fraction(1, 3600), "second sec"),
    ),
    "temperature": (
        ("F", "F", "F", 1, "degf degreef degreesf fahrenheit degreesfahrenheit"),
        ("C", "C", "C", Fraction(9, 5), "degc degreec degreesc celsius degreescelsius centigrade"),
    ),
    "temperature-difference": (
        ("F-degrees", "degree F", "degrees F", 1, "fdegree f degf degreef degreesf"),
        ("C-degrees", "degree C", "degrees C", Fraction(9, 5), "cdegree c degc degreec degreesc"),
    ),
    "speed": (
        ("mph", "mph", "mph", _MPH, "mile/hour mile/h miles/hour miles/h mi/h mi/hr"),
        ("km/h", "km/h", "km/h", Fraction(5, 18), "kmh kph km/hr km/hour kilometers/hour"),
        ("m/s", "m/s", "m/s", 1, "mps m/sec m/second meters/second metres/second"),
        ("ft/s", "ft/s", "ft/s", _FOOT, "fps ft/sec ft/second feet/second"),
        ("ft/min", "ft/min", "ft/min", _FOOT / 60, "fpm ft/minute feet/minute"),
        ("kn", "knot", "knots", Fraction(1852, 3600), "knot kt"),
    ),
    "pressure": (
        ("psi", "psi", "psi", _PSI, "lb/in2 lbs/in2 lb/sqin"),
        ("bar", "bar", "bar", 100000, ""),
        ("kPa", "kPa", "kPa", 1000, "kilopascal"),
    ),
    "flow": (
        ("gal/min", "gal per minute", "gal per minute", _GAL, "gpm gal/minute gallons/minute"),
        ("fl oz/min", "fl oz per minute", "fl oz per minute", _GAL / 128, "floz/minute"),
        ("L/min", "L per minute", "L per minute", 1000, "lpm l/minute liter/minute litre/minute"),
        ("mL/min", "mL per minute", "mL per minute", 1, "ml/minute"),
    ),
    "hardness": (
        ("ppm", "ppm", "ppm", 1, "mg/l"),
        ("gpg", "grain per gal", "grains per gal", _GPG, "grain grains/gal grains/gallon gr/gal"),
    ),
    "share": (
        ("%", "%", "%", Fraction(1, 100), "percent pct"),
        ("share", "share", "share", 1, ""),
    ),
    "ratio": (
        ("x", "times", "times", 1, "ratio × time fold"),
        ("%", "%", "%", Fraction(1, 100), "percent pct"),
    ),
    "count": (("count", "", "", 1, "time"),),
    "volume-per-volume": (("%", "%", "%", Fraction(1, 100), "percent %v/v percentv/v"),),
}
_PER = {f"{top}-per-{bottom}" for top in ("volume", "mass") for bottom in ("area", "volume")}
_CAPITALS = {"M": "1000 ft2", "A": "acre"}
"""What the trade writes below the line in capitals: 2 oz/M, 1 qt/A."""

# How a dimension is called, and the units a person would write it in.
_CALLED: dict[str, tuple[str, str]] = {
    "volume": ("a volume", "fl oz,tbsp,gal,mL"),
    "mass": ("a weight", "oz,lb,g"),
    "area": ("an area", "ft2,acres,m2"),
    "length": ("a length", "in,ft,cm"),
    "time": ("a time", "h,days,weeks"),
    "temperature": ("a temperature", "F,C"),
    "temperature-difference": ("a difference of temperatures", "F-degrees,C-degrees"),
    "speed": ("a speed", "mph,km/h"),
    "pressure": ("a pressure", "psi,bar"),
    "flow": ("a flow", "gal per minute,fl oz per minute,L per minute"),
    "hardness": ("a hardness of water", "ppm,gpg"),
    "share": ("a share", "%"),
    "ratio": ("a ratio", "x"),
    "count": ("a count", ""),
    "volume-per-area": ("a volume per area", "fl oz per 1000 ft2,gal per acre,L per ha"),
    "mass-per-area": ("a weight per area", "oz per 1000 ft2,lb per acre,kg per ha"),
    "volume-per-volume": ("a volume per volume", "fl oz per gal,%"),
    "mass-per-volume": ("a weight per volume", "oz per gal,lb per gal,g per L"),
}
DIMENSIONS = tuple(_CALLED)


def _key(spelling: str) -> str:
    """A spelling as the table keeps it."""
    per = re.sub(r"\bper[ -]cent\b", "%", spelling.lower())
    return re.sub(r"[\s.^°-]", "", re.sub(r"\bper\b", "/", per))


def _build() -> tuple[dict[str, dict[str, Unit]], dict[tuple[str, str], tuple[str, str]]]:
    known: dict[str, dict[str, Unit]] = {}
    reads: dict[tuple[str, str], tuple[str, str]] = {}
    for dimension, rows in _TABLE.items():
        for name, one, many, factor, also in rows:
            offset = Fraction(32 if (dimension, name) == ("temperature", "C") else 0)
            unit = Unit(dimension, name, Fraction(factor), offset)
            reads[dimension, name] = (one, many)
            for spelling in (_key(name), *also.split()):
                known.setdefault(spelling, {})[dimension] = unit
    return known, reads


_KNOWN, _READS = _build()


def _simple(spelling: str) -> Mapping[str, Unit]:
    key = _key(spelling)
    return _KNOWN.get(key) or (_KNOWN.get(key[:-1], {}) if key.endswith("s") and key[2:] else {})


def _halves(spelling: str) -> tuple[str, str] | None:
    """What stands above and below the first `per` or `/`."""
    top, *bottom = re.split(r"\s*(?:\bper\b|/)\s*", spelling.strip(), maxsplit=1)
    return (top, _CAPITALS.get(bottom[0], bottom[0])) if bottom else None


@lru_cache(maxsize=4096)
def meanings(spelling: str) -> Mapping[str, Unit]:
    """Every unit that a spelling can mean, by dimension; empty where it means none."""
    found = dict(_simple(spelling))
    if halves := _halves(spelling):
        for under in _counted(halves[1]).values():
            for over in _simple(halves[0]).values():
                kind = f"{over.dimension}-per-{under.dimension}"
                if kind in _PER and kind not in found:
                    factor = over.factor / under.factor
                    found[kind] = Unit(kind, f"{over.name}/{under.name}", factor)
    elif out_of := re.fullmatch(
        r"\s*(?:out )?of ([1-9][0-9]{0,5})(?: (?:plants|weeds))?\s*", spelling
    ):
        found["share"] = Unit("share", f"out of {out_of[1]}", Fraction(1, int(out_of[1])))
    return found or _counted(spelling)


def _counted(spelling: str) -> Mapping[str, Unit]:
    """The units of area and volume, with or without a number before them: `1000 ft2`."""
    number = NUMBER.match(spelling.strip())
    size = number_value(number) if number else Fraction(1)
    rest = spelling.strip()[number.end() :] if number else spelling
    found: dict[str, Unit] = {}
    for dimension, unit in _simple(rest).items() if size else ():
        if dimension in ("area", "volume"):
            name = unit.name if size == 1 else f"{size} {unit.name}"
            found[dimension] = Unit(dimension, name, unit.factor * size)
    return found


def find(spelling: str, wanted: Wanted = (), number: str = "2") -> Unit:
    """The unit that a spelling means among the dimensions wanted, or an error that helps."""
    found = meanings(spelling)
    for dimension in wanted or tuple(found):
        if dimension in found:
            return found[dimension]
    if found:
        wrong_dimension(next(iter(found.values())), wanted, f"{number} {spelling.strip()}")
    if halves := _halves(spelling):
        below = NUMBER.sub("", halves[1], count=1)
        if not _simple(halves[0]):
            _unknown(halves[0] or spelling, ("volume", "mass"), number)
        if not _simple(halves[1]) and not _simple(below):
            _unknown(below or halves[1], ("area", "volume"), number)
    _unknown(spelling, wanted, number)


def _unknown(spelling: str, wanted: Wanted, number: str) -> NoReturn:
    key = _key(spelling)
    hint = examples(number, wanted)
    candidates = [s for s, m in _KNOWN.items() if not wanted or any(d in m for d in wanted)]
    near = difflib.get_close_matches(key, candidates, n=1, cutoff=0.65) if key[1:] else []
    if key in ("degree", "degrees", "deg"):
        hint = "Write F or C after the number."
    elif key == "t":
        hint = "Write tsp for a teaspoon, tbsp for a tablespoon."
    elif re.match("few|couple|several", key):
        hint = "Write a range, such as 2 to 5."
    elif near and not _halves(spelling):
        means = _KNOWN[near[0]]
        name = next(means[d].name for d in wanted or tuple(means) if d in means)
        hint = f"Did you mean {name}?"
    said = spelling.strip()
    said = said if len(said) <= 40 else said[:40] + "..."
    raise UnitError(f"`{said}` is not a unit known here", hint)


def called(wanted: Wanted) -> str:
    """The dimensions in words: `a volume or a weight`."""
    return " or ".join(_CALLED[d][0] for d in wanted)


def examples(number: str, wanted: Wanted) -> str:
    """The number with each unit that it could have, as an advice."""
    units = [u for d in wanted or DIMENSIONS[:6] for u in _CALLED[d][1].split(",")]
    said = [f"{number} {u}".strip() for u in units]
    return f"Write {', '.join(said[:-1])}{' or ' if said[1:] else ''}{said[-1]}."


def wrong_dimension(unit: Unit, wanted: Wanted, written: str) -> NoReturn:
    """Refuse an amount that is of another dimension than the ones wanted."""
    hint = examples("2", wanted)
    if unit.dimension.startswith("mass") and "volume" + unit.dimension[4:] in wanted:
        hint = f"Fluid ounces are written fl oz. {hint}"
    elif unit.dimension.startswith("volume") and "mass" + unit.dimension[6:] in wanted:
        hint = f"Ounces of weight are written oz. {hint}"
    what = _CALLED[unit.dimension][0]
    raise UnitError(f"`{written}` is {what}; {called(wanted)} is wanted here", hint)


def reads(unit: Unit) -> tuple[str, str]:
    """How one of a unit and how many of it read in a text: (`day`, `days`)."""
    if known := _READS.get((unit.dimension, unit.name)):
        return known
    top, per, bottom = unit.name.partition("/")
    if not per:
        return top, top
    number = NUMBER.match(bottom)
    below = bottom[number.end() :].strip() if number else bottom
    size = number_value(number) if number else Fraction(1)
    counted = f"{size.numerator:,}" + (f"/{size.denominator}" if size.denominator > 1 else "")
    under = f"{counted} {reads(find(below))[size > 1]}".removeprefix("1 ")
    one, many = reads(find(top))
    return f"{one} per {under}", f"{many} per {under}"
