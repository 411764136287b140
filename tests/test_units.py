"""Amounts with units: what is read, what is refused, what is exact, what is shown."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.terms import Condition, Span, Truth
from advisor.units import (
    Amount,
    UnitError,
    dimension_of,
    parse_amount,
    parse_value,
    scale,
    show,
    show_amount,
)

F = Fraction
FACTS = Path(__file__).parents[1] / "knowledge" / "facts.yaml"
VOLUMES = ("volume", "volume-per-area")


def read(text: str | float, dimension: str | tuple[str, ...] | None = None) -> tuple[object, ...]:
    """What an amount reads as, for comparing."""
    amount = parse_amount(text, dimension)
    return amount.low, amount.high, amount.unit, amount.dimension


def exact(amount: Amount, unit: str) -> tuple[object, ...]:
    """Both ends of an amount in a unit, for comparing."""
    return amount.exact(unit)


def refusal(text: str | float, dimension: str | tuple[str, ...] | None = None) -> str:
    """What the error says of an amount."""
    with pytest.raises(UnitError) as caught:
        parse_amount(text, dimension)
    assert str(caught.value) == f"{caught.value.message}. {caught.value.hint}"
    return str(caught.value)


def outcome(text: str, dimension: str | None, signed: bool) -> Amount | UnitError:
    """The amount read, or the error."""
    try:
        return parse_amount(text, dimension, signed=signed)
    except UnitError as error:
        return error


# ---- reading ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "low", "high", "unit", "dimension"),
    [
        ("2 fl oz", 2, 2, "fl oz", "volume"),
        ("2 FL. OZ.", 2, 2, "fl oz", "volume"),
        ("2 fluid ounces", 2, 2, "fl oz", "volume"),
        ("3 tablespoons", 3, 3, "tbsp", "volume"),
        ("1 Teaspoon", 1, 1, "tsp", "volume"),
        ("1 1/2 cups", F(3, 2), F(3, 2), "cup", "volume"),
        ("1-1/2 cups", F(3, 2), F(3, 2), "cup", "volume"),
        ("1½ cups", F(3, 2), F(3, 2), "cup", "volume"),
        ("half a cup", F(1, 2), F(1, 2), "cup", "volume"),
        ("one and a half cups", F(3, 2), F(3, 2), "cup", "volume"),
        ("one third of a cup", F(1, 3), F(1, 3), "cup", "volume"),
        ("between a quarter and a half cup", F(1, 4), F(1, 2), "cup", "volume"),
        ("2gal", 2, 2, "gal", "volume"),
        ("500 ml", 500, 500, "mL", "volume"),
        ("2 oz", 2, 2, "oz", "mass"),
        ("2 lb 4 oz", F(9, 4), F(9, 4), "lb", "mass"),
        ("1,000 ft2", 1000, 1000, "ft2", "area"),
        ("1000 sq ft", 1000, 1000, "ft2", "area"),
        ("1000 ft²", 1000, 1000, "ft2", "area"),
        ("3,500.5 Square Feet", F(7001, 2), F(7001, 2), "ft2", "area"),
        ("a thousand square feet", 1000, 1000, "ft2", "area"),
        ("1/4 acre", F(1, 4), F(1, 4), "acre", "area"),
        ("2 ha", 2, 2, "ha", "area"),
        ("100 m²", 100, 100, "m2", "area"),
        ("1/2 in", F(1, 2), F(1, 2), "in", "length"),
        ("½-inch", F(1, 2), F(1, 2), "in", "length"),
        ("half an inch", F(1, 2), F(1, 2), "in", "length"),
        ('.5"', F(1, 2), F(1, 2), "in", "length"),
        ("2 to 3 inches", 2, 3, "in", "length"),
        ("1 in to 1 ft", F(1, 12), 1, "ft", "length"),
        ("2 weeks", 2, 2, "weeks", "time"),
        ("21 days", 21, 21, "days", "time"),
        ("a day", 1, 1, "days", "time"),
        ("24-hour", 24, 24, "h", "time"),
        ("1 h 30 min", F(3, 2), F(3, 2), "h", "time"),
        ("2 or 3 days", 2, 3, "days", "time"),
        ("two to three hours", 2, 3, "h", "time"),
        ("a day or two", 1, 2, "days", "time"),
        ("48 F", 48, 48, "F", "temperature"),
        ("48°f", 48, 48, "F", "temperature"),
        ("9 C", 9, 9, "C", "temperature"),
        ("50 to 85 F", 50, 85, "F", "temperature"),
        ("48 F - 60 F", 48, 60, "F", "temperature"),
        ("-5 to -2 C", -5, -2, "C", "temperature"),
        ("−5 C", -5, -5, "C", "temperature"),
        ("minus 5 C", -5, -5, "C", "temperature"),
        ("12 MPH", 12, 12, "mph", "speed"),
        ("12 miles per hour", 12, 12, "mph", "speed"),
        ("40 psi", 40, 40, "psi", "pressure"),
        ("400 ppm", 400, 400, "ppm", "hardness"),
        ("17 gpg", 17, 17, "gpg", "hardness"),
        ("17 grains per gallon", 17, 17, "gpg", "hardness"),
        ("60 %", 60, 60, "%", "share"),
        ("60 percent", 60, 60, "%", "share"),
        ("6 out of ten", 6, 6, "out of 10", "share"),
        ("0.5 x", F(1, 2), F(1, 2), "x", "ratio"),
        ("1.0 to 1.5 fl oz per 1000 ft2", 1, F(3, 2), "fl oz/1000 ft2", "volume-per-area"),
        ("1-1.5 fl oz/1000 ft2", 1, F(3, 2), "fl oz/1000 ft2", "volume-per-area"),
        ("1–1.5 fl oz / 1,000 sq. ft.", 1, F(3, 2), "fl oz/1000 ft2", "volume-per-area"),
        ("2 gal per thousand square feet", 2, 2, "gal/1000 ft2", "volume-per-area"),
        ("1 qt/A", 1, 1, "qt/acre", "volume-per-area"),
        ("2 oz/M", 2, 2, "oz/1000 ft2", "mass-per-area"),
        ("2 lb per acre", 2, 2, "lb/acre", "mass-per-area"),
        ("2 tbsp per gallon of water", 2, 2, "tbsp/gal", "volume-per-volume"),
        ("2.4 lb/gal", F(12, 5), F(12, 5), "lb/gal", "mass-per-volume"),
    ],
)
def test_reads(
    text: str, low: int | Fraction, high: int | Fraction, unit: str, dimension: str
) -> None:
    """Every way of writing an amount reads as the exact interval it means."""
    assert read(text) == (low, high, unit, dimension)


def test_keeps_what_was_written() -> None:
    """An amount keeps the words it was read from, and they do not make it another amount."""
    assert parse_amount("  half  a cup ").text == "half a cup"
    assert parse_amount("half a cup") == parse_amount("0.5 cup")


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("0.25 %", "volume-per-volume", (F(1, 4), F(1, 4), "%", "volume-per-volume")),
        ("0.25 %", ("volume", "volume-per-volume"), (F(1, 4), F(1, 4), "%", "volume-per-volume")),
        ("50 %", "ratio", (50, 50, "%", "ratio")),
        ("10 F", "temperature-difference", (10, 10, "F-degrees", "temperature-difference")),
        ("2 mg/L", "hardness", (2, 2, "ppm", "hardness")),
        ("2 mg/L", "mass-per-volume", (2, 2, "mg/L", "mass-per-volume")),
        ("2 times", "count", (2, 2, "count", "count")),
        ("2 times", "ratio", (2, 2, "x", "ratio")),
        ("2", "count", (2, 2, "count", "count")),
        (2, "count", (2, 2, "count", "count")),
        ("1 to 2", "count", (1, 2, "count", "count")),
    ],
)
def test_wanted_dimension_decides(
    text: str | float, dimension: str | tuple[str, ...], expected: tuple[object, ...]
) -> None:
    """Where a unit has several meanings, the one that is wanted is taken."""
    assert read(text, dimension) == expected


def test_about() -> None:
    """`about` gives or takes a quarter, for a temperature 5 F; a share stays within the whole."""
    assert read("about 2 fl oz")[:2] == (F(3, 2), F(5, 2))
    assert read("roughly 2 to 4 h")[:2] == (F(3, 2), 5)
    assert exact(parse_amount("about 50 F"), "F") == (45, 55)
    assert exact(parse_amount("~ 10 C"), "F") == (45, 55)
    assert read("about 90 %")[:2] == (F(135, 2), 100)
    assert parse_amount("about 6 out of 10").to("share") == Span(0.45, 0.75)


def test_open_ends() -> None:
    """An end left open is closed by the limits, or by zero below and the whole of a share above."""
    limits = (0.2, 40.0)
    assert parse_value("at least 12 mph", "mph", limits=limits) == Span(12, 40)
    assert parse_value("12 mph or more", "mph", limits=limits) == Span(12, 40)
    assert parse_value("over 12 mph", "mph", limits=limits) == Span(12, 40)
    assert parse_value("up to 12 mph", "mph", limits=limits) == Span(0.2, 12)
    assert parse_value("at least 2 days", "h", limits=(0, 1440)) == Span(48, 1440)
    assert parse_value("at most 0 C", "F", limits=(-20, 120)) == Span(-20, 32)
    assert read("within 3 h")[:2] == (0, 3)
    assert read("at least 60 %")[:2] == (60, 100)
    assert "has an open end" in refusal("at least 3 h")
    assert "has an open end" in refusal("under 40 F")
    assert "open end and two numbers" in refusal("at least 2 to 3 h")
    with pytest.raises(UnitError, match="beyond what is plausible"):
        parse_value("at least 50 mph", "mph", limits=limits)


def test_under_is_below_the_band() -> None:
    """A wind told as under 5 mph is certainly below 5; one told as up to 5 may be 5."""
    below = Condition("wind", high=5)
    assert below.truth(parse_value("under 5 mph", "mph")) is Truth.SHOWN
    assert below.truth(parse_value("up to 5 mph", "mph")) is Truth.OPEN
    assert Condition("wind", low=5).truth(parse_value("under 5 mph", "mph")) is Truth.RULED_OUT
    assert show(parse_value("under 5 mph", "mph"), "mph") == "0 to 5 mph"


# ---- refusing --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("2", "volume", "`2` has no unit. Write 2 fl oz, 2 tbsp, 2 gal or 2 mL."),
        (2, "volume", "`2` has no unit. Write 2 fl oz, 2 tbsp, 2 gal or 2 mL."),
        ("1 to 2", "length", "`1 to 2` has no unit. Write 1 to 2 in, 1 to 2 ft or 1 to 2 cm."),
        ("5", "share", "`5` has no unit. Write 5 %."),
        ("5", "ratio", "`5` has no unit. Write 5 x."),
        (
            "2 oz",
            VOLUMES,
            "`2 oz` is a weight; a volume or a volume per area is wanted here. Fluid ounces are "
            "written fl oz. Write 2 fl oz, 2 tbsp, 2 gal, 2 mL, 2 fl oz per 1000 ft2, 2 gal per "
            "acre or 2 L per ha.",
        ),
        (
            "2 oz per 1000 ft2",
            "volume-per-area",
            "`2 oz per 1000 ft2` is a weight per area; a volume per area is wanted here. Fluid "
            "ounces are written fl oz. Write 2 fl oz per 1000 ft2, 2 gal per acre or 2 L per ha.",
        ),
        ("2 fl oz", "mass", "Ounces of weight are written oz."),
        ("2 h", "volume", "`2 h` is a time; a volume is wanted here. Write 2 fl oz,"),
        ("2 h", "count", "`2 h` is a time; a count is wanted here. Write 2."),
        ("10 F-degrees", "temperature", "is a difference of temperatures; a temperature is"),
        ("2 galons", "volume", "`galons` is not a unit known here. Did you mean gal?"),
        ("2 sqare feet", None, "Did you mean ft2?"),
        ("2 huors", "time", "Did you mean h?"),
        ("2 zorkmids", "time", "`zorkmids` is not a unit known here. Write 2 h, 2 days or"),
        ("2 fl oz per 1000 sqft2", None, "`sqft2` is not a unit known here. Did you mean ft2?"),
        ("2 galons per acre", None, "`galons` is not a unit known here. Did you mean gal?"),
        ("2 gal per day", None, "`gal per day` is not a unit known here."),
        ("2 T", None, "Write tsp for a teaspoon, tbsp for a tablespoon."),
        ("50 degrees", "temperature", "Write F or C after the number."),
        ("a few days", None, "Write a range, such as 2 to 5."),
        ("-2 h", None, "`-2 h` is negative. This amount cannot be below zero."),
        ("-2 to 3 h", None, "is negative"),
        ("2 to 1 h", None, "`2 to 1 h` runs backwards. Write the smaller amount first."),
        ("1 ft to 2 in", None, "runs backwards"),
        ("2 ft to 1 h", None, "`2 ft` is a length; a time is wanted here."),
        ("120 %", "share", "`120 %` is more than the whole. A share is at most 100 %."),
        ("1,5 h", None, "`1,5 h` has a comma in its number. Write 1.5, or 1,000."),
        ("1e9 h", None, "`1e9 h` has an exponent."),
        ("1e999999999 h", None, "has an exponent"),
        (1e-7, "count", "has an exponent"),
        (10**40, "count", "too many digits"),
        (f"{'9' * 30} h", None, "has too many digits"),
        (f"{'9' * 5000} h", None, "is too long for an amount"),
        ("1/0 in", None, "divides by zero"),
        ("2 fl oz per 0 ft2", None, "`fl oz per 0 ft2` is not a unit known here."),
        ("48 F 5 F", None, "`48 F 5 F` reads as two amounts."),
        ("nan h", None, "`nan h` does not give a number."),
        (math.nan, "count", "does not give a number"),
        (math.inf, "count", "does not give a number"),
        ("unknown", "time", "`unknown` does not give a number."),
        ("", None, "does not give a number"),
    ],
)
def test_refuses(text: str | float, dimension: str | tuple[str, ...] | None, said: str) -> None:
    """Every amount that cannot be used is refused with what is wrong and what to write."""
    assert said in refusal(text, dimension)


def test_signed() -> None:
    """Negative amounts are read where a margin may be negative: asked for, or by the limits."""
    assert exact(parse_amount("-3 days", signed=True), "days") == (-3, -3)
    assert parse_value("-3 days", "days", limits=(-90, 720)) == Span(-3, -3)
    assert parse_value("-3 to 5 days", "h", signed=True) == Span(-72, 120)
    assert parse_value("-1 h 30 min", "h", signed=True) == Span(-1.5, -1.5)
    assert parse_value("-10 F", "F-degrees") == Span(-10, -10)


WORDS = """2 1/2 ½ 1,000 .5 - to or about at least under per / fl oz gal ft2 ² % F C h days x of out
a an half third and + 1e9 nan 0 º ⁄ " ' , . ( minus M A thousand × ﷺ ٣"""
any_text = st.one_of(
    st.text(max_size=40), st.lists(st.sampled_from(WORDS.split()), max_size=8).map(" ".join)
)


@given(any_text, st.sampled_from([None, "volume", "share", "count", "time"]), st.booleans())
@example("1/2/0", None, False)
@example("2 fl oz per 1/0 ft2", None, False)
@example("0 out of 0", "share", False)
def test_no_text_breaks_it(text: str, dimension: str | None, signed: bool) -> None:
    """No text at all raises anything but the module's own error, and what is read can be shown."""
    found = outcome(text, dimension, signed)
    if isinstance(found, UnitError):
        assert found.message
        assert found.hint.endswith((".", "?"))
    else:
        assert found.low <= found.high
        assert show_amount(found)


# ---- exactness, against the outside ----------------------------------------------------------

GAL_ML = F("3785.411784")


@pytest.mark.parametrize(
    ("amount", "unit", "value"),
    [
        ("1 gal", "L", F("3.785411784")),
        ("1 fl oz", "mL", F("29.5735295625")),
        ("1 gal", "qt", 4),
        ("1 gal", "pt", 8),
        ("1 gal", "cup", 16),
        ("1 gal", "fl oz", 128),
        ("1 pt", "fl oz", 16),
        ("1 cup", "fl oz", 8),
        ("1 fl oz", "tbsp", 2),
        ("1 fl oz", "tsp", 6),
        ("1 tbsp", "tsp", 3),
        ("1 acre", "ft2", 43560),
        ("1 acre", "m2", F("4046.8564224")),
        ("1 acre", "1000 ft2", F("43.56")),
        ("1 lb", "g", F("453.59237")),
        ("1 oz", "g", F("28.349523125")),
        ("1 ha", "m2", 10000),
        ("1 mph", "km/h", F("1.609344")),
        ("1 mph", "m/s", F("0.44704")),
        ("1 mph", "ft/s", F(22, 15)),
        ("1 mph", "ft/min", 88),
        ("1 gpg", "ppm", F("64.79891") / (GAL_ML / 1000)),
        ("1 fl oz/1000 ft2", "fl oz/acre", F("43.56")),
        ("1 gal/1000 ft2", "gal/acre", F("43.56")),
    ],
)
def test_exact_factors(amount: str, unit: str, value: int | Fraction) -> None:
    """Conversions are exactly those of NIST Handbook 44, Appendix C, and NIST SP 811.

    1 gal = 231 in3, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 grain = 64.79891 mg.
    """
    assert parse_amount(amount).exact(unit) == (value, value)
    assert scale(amount.removeprefix("1 "), unit) == value


@pytest.mark.parametrize(
    ("amount", "unit", "printed"),
    [
        ("1 ha", "acre", "2.471054"),
        ("1 gal/acre", "L/ha", "9.35396"),
        ("1 lb/acre", "kg/ha", "1.120851"),
        ("1 fl oz/1000 ft2", "L/ha", "3.18327"),
        ("1 fl oz/1000 ft2", "mL/100 m2", "31.83"),
        ("1 gal/1000 ft2", "L/ha", "407.46"),
        ("1 gal/1000 ft2", "L/100 m2", "4.0746"),
        ("1 pt/acre", "fl oz/1000 ft2", "0.36731"),
        ("1 qt/acre", "fl oz/1000 ft2", "0.73462"),
        ("1 oz/acre", "g/1000 ft2", "0.65082"),
        ("1.5 fl oz/1000 ft2", "L/ha", "4.7749"),
        ("1 gpg", "ppm", "17.118"),
    ],
)
def test_printed_factors(amount: str, unit: str, printed: str) -> None:
    """Rates convert to the figures worked out by hand from the NIST factors, digit for digit."""
    digits = len(printed.partition(".")[2])
    low, high = parse_amount(amount).exact(unit)
    assert low == high
    assert f"{float(low):.{digits}f}" == printed


def test_trial_rounding() -> None:
    """1 lb per acre is the 1.12 kg/ha of Weed Technology 34(4), 2020, common blue violet trial."""
    assert round(float(scale("lb/acre", "kg/ha")), 2) == 1.12


def test_field_rounding() -> None:
    """30 mL for a fluid ounce is 1.4 % high (backpack sprayer worksheet, NC State Extension)."""
    assert round(float(30 / scale("fl oz", "mL") - 1) * 100, 1) == 1.4


def test_temperatures() -> None:
    """C = (F - 32) * 5/9, and a difference converts by 5/9 alone (NIST SP 811)."""
    for fahrenheit, celsius in (("32 F", 0), ("212 F", 100), ("-40 F", -40), ("50 F", 10)):
        assert exact(parse_amount(fahrenheit), "C") == (celsius, celsius)
    assert exact(parse_amount("9 C"), "F") == (F("48.2"), F("48.2"))
    assert exact(parse_amount("9 F-degrees"), "C-degrees") == (5, 5)
    assert parse_value("5 C", "F-degrees") == Span(9, 9)
    assert scale("C-degrees", "F-degrees") == F(9, 5)
    with pytest.raises(UnitError, match="no factor turns C into F"):
        scale("C", "F")
    with pytest.raises(UnitError, match="is a temperature"):
        parse_amount("9 C").to("F-degrees")


def test_percent_by_volume() -> None:
    """0.25 % by volume is 0.32 fl oz a gallon and 1 qt in 100 gal."""
    surfactant = parse_amount("0.25 %", "volume-per-volume")
    assert exact(surfactant, "fl oz/gal") == (F("0.32"), F("0.32"))
    assert exact(surfactant, "qt/100 gal") == (1, 1)


def test_scale_refuses() -> None:
    """No factor leads from one dimension to another, or from a word that is no unit."""
    with pytest.raises(UnitError, match="`lb` is a weight; a volume is wanted here"):
        scale("lb", "gal")
    with pytest.raises(UnitError, match="not a unit known here"):
        scale("gal", "gallonz!")


PINT_NAMES = {
    "volume": {
        "fl oz": "fluid_ounce",
        "tsp": "teaspoon",
        "tbsp": "tablespoon",
        "cup": "cup",
        "pt": "pint",
        "qt": "quart",
        "gal": "gallon",
        "mL": "milliliter",
        "L": "liter",
    },
    "mass": {"oz": "ounce", "lb": "pound", "mg": "milligram", "g": "gram", "kg": "kilogram"},
    "area": {
        "ft2": "foot**2",
        "yd2": "yard**2",
        "acre": "acre",
        "m2": "meter**2",
        "ha": "hectare",
    },
    "length": {
        "in": "inch",
        "ft": "foot",
        "yd": "yard",
        "mm": "millimeter",
        "cm": "centimeter",
        "m": "meter",
    },
    "time": {
        "h": "hour",
        "days": "day",
        "weeks": "week",
        "months": "month",
        "years": "year",
        "min": "minute",
        "s": "second",
    },
    "temperature": {"F": "degF", "C": "degC"},
    "temperature-difference": {"F-degrees": "delta_degF", "C-degrees": "delta_degC"},
    "speed": {
        "mph": "mile/hour",
        "km/h": "kilometer/hour",
        "m/s": "meter/second",
        "ft/s": "foot/second",
        "ft/min": "foot/minute",
        "kn": "knot",
    },
    "pressure": {"psi": "psi", "bar": "bar", "kPa": "kilopascal"},
    "hardness": {"ppm": "milligram/liter", "gpg": "grain/gallon"},
}
for _top in ("volume", "mass"):
    for _bottom in ("area", "volume"):
        PINT_NAMES[f"{_top}-per-{_bottom}"] = {
            f"{over}/{under}": f"{theirs}/({below})"
            for over, theirs in PINT_NAMES[_top].items()
            for under, below in PINT_NAMES[_bottom].items()
        }
PINT_NAMES["volume-per-area"]["fl oz/1000 ft2"] = "fluid_ounce/thousand_ft2"
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
REGISTRY.define("thousand_ft2 = 1000 * foot ** 2")
numbers = st.fractions(min_value=0, max_value=10**6, max_denominator=1000)


@st.composite
def unit_pairs(draw: st.DrawFn) -> tuple[str, str, str]:
    """A dimension and two of its units."""
    dimension = draw(st.sampled_from(sorted(PINT_NAMES)))
    units = sorted(PINT_NAMES[dimension])
    return dimension, draw(st.sampled_from(units)), draw(st.sampled_from(units))


@given(numbers, unit_pairs())
def test_agrees_with_pint(value: Fraction, pair: tuple[str, str, str]) -> None:
    """Every conversion is the one that pint, an independent library, makes.

    pint's acre is the survey acre, 4 parts in a million larger than the acre of labels.
    """
    dimension, have, want = pair
    ours = Amount(value, value, dimension, have, "").to(want)
    theirs = REGISTRY.Quantity(float(value), PINT_NAMES[dimension][have])
    expected = theirs.to(PINT_NAMES[dimension][want]).magnitude
    tolerance = 4.1e-6 if "acre" in have + want else 1e-12
    assert ours.low == ours.high == pytest.approx(expected, rel=tolerance, abs=1e-9)


@given(numbers, numbers, unit_pairs())
def test_there_and_back(a: Fraction, b: Fraction, pair: tuple[str, str, str]) -> None:
    """An amount converted to another unit and back is the same amount, exactly."""
    dimension, have, want = pair
    amount = Amount(min(a, b), max(a, b), dimension, have, "")
    low, high = amount.exact(want)
    assert low <= high
    assert Amount(low, high, dimension, want, "").exact(have) == (amount.low, amount.high)
    if dimension != "temperature":
        assert scale(have, want) * scale(want, have) == 1


@given(st.integers(0, 10**6), st.integers(0, 10**6), unit_pairs())
def test_writing_and_reading(a: int, b: int, pair: tuple[str, str, str]) -> None:
    """An amount written out as `low to high unit` is read as itself."""
    dimension, unit, _ = pair
    low, high = sorted((a, b))
    assert read(f"{low} to {high:,} {unit}", dimension) == (low, high, unit, dimension)
    assert read(f"{low}-{high}{unit}", dimension) == (low, high, unit, dimension)


# ---- facts and texts -------------------------------------------------------------------------


def test_units_of_the_facts() -> None:
    """Every unit in facts.yaml is known, and the whole range of each fact reads back and shows."""
    found = re.findall(r"unit: (.+)\n +range: \[(.+), (.+)\]", FACTS.read_text("utf-8"))
    assert len(found) > 20
    for unit, low, high in found:
        assert dimension_of(unit)
        spelled = "" if unit == "count" else unit
        value = parse_value(f"{low} to {high} {spelled}", unit, limits=(float(low), float(high)))
        assert value == Span(float(low), float(high))
        assert re.match(r"-?[0-9]", show(value, unit))


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [
        (4, 4, "h", "4 hours"),
        (1, 1, "h", "1 hour"),
        (2, 6, "h", "2 to 6 hours"),
        (0.5, 0.5, "h", "30 minutes"),
        (0.5, 4, "h", "30 minutes to 4 hours"),
        (0, 0.5, "h", "0 to 30 minutes"),
        (0, 0, "h", "0 hours"),
        (72, 72, "h", "72 hours"),
        (96, 96, "h", "4 days"),
        (100, 100, "h", "4.2 days"),
        (24, 96, "h", "1 to 4 days"),
        (6, 240, "h", "6 hours to 10 days"),
        (0, 1440, "h", "0 to 60 days"),
        (-48, 1440, "h", "-2 to 60 days"),
        (-6, -2, "h", "-6 to -2 hours"),
        (4.21, 4.22, "h", "about 4.2 hours"),
        (23.5, 23.5, "h", "24 hours"),
        (21, 21, "days", "21 days"),
        (-3, 1, "days", "-3 to 1 day"),
        (5, 5, "years", "5 years"),
        (48.2, 48.2, "F", "48 F"),
        (50, 85, "F", "50 to 85 F"),
        (-100, 90, "F-degrees", "-100 to 90 degrees F"),
        (1, 1, "F-degrees", "1 degree F"),
        (0.5, 0.5, "in", "0.5 inch"),
        (4, 4, "in", "4 inches"),
        (5, 12.4, "mph", "5 to 12 mph"),
        (400, 1500, "ppm", "400 to 1,500 ppm"),
        (0.6, 0.6, "share", "60 %"),
        (0.0025, 0.0025, "share", "0.25 %"),
        (0, 1, "share", "0 to 100 %"),
        (0.667, 0.667, "ratio", "0.67 times"),
        (2, 2, "count", "2"),
        (-10, 10, "count", "-10 to 10"),
        (1.5, 1.5, "gal/1000 ft2", "1.5 gal per 1,000 ft2"),
        (1, 1.5, "fl oz/1000 ft2", "1 to 1.5 fl oz per 1,000 ft2"),
        (1.0667, 1.0667, "fl oz/gal", "1.07 fl oz per gal"),
        (19.80008, 19.80008, "gal/acre", "19.8 gal per acre"),
        (1234.5, 1234.5, "ft2", "1,235 ft2"),
        (2.5, 2.5, "cup", "2.5 cups"),
        (-0.0, -0.0, "in", "0 inches"),
    ],
)
def test_shows(low: float, high: float, unit: str, text: str) -> None:
    """Values read in texts as a person at the counter would say them."""
    assert show(Span(low, high), unit) == text


def test_shows_amounts_as_written() -> None:
    """An amount reads in its own unit, a percentage by volume as well as a share."""
    assert show_amount(parse_amount("1.0-1.5 fl oz/1000 ft2")) == "1 to 1.5 fl oz per 1,000 ft2"
    assert show_amount(parse_amount("0.25 %", "volume-per-volume")) == "0.25 %"
    assert show_amount(parse_amount("1 pt per 1/2 acre")) == "1 pint per 1/2 acre"
    assert show_amount(parse_amount("2 mg/L", "mass-per-volume")) == "2 mg per L"
    assert show_amount(parse_amount("6 out of 10")) == "6 out of 10"


@given(st.floats(0.01, 70), st.sampled_from(["fl oz", "in", "mph", "share", "gal/1000 ft2"]))
def test_shown_reads_back(value: float, unit: str) -> None:
    """What is shown reads back as the value, but for the rounding of the last digit shown."""
    value = value / 70 if unit == "share" else value
    text = show(Span(value, value), unit)
    again = parse_value(text, unit)
    assert again.low == pytest.approx(value, rel=0.051, abs=0.0006)
