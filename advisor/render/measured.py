"""Exact quantities in words, in US customary or metric units, and remarks as sentences.

The pages of mixes and calibrations show every figure through here. Units change only what is shown:
the same question has the same answer in both.
"""

from __future__ import annotations

import enum
from fractions import Fraction
from typing import Any

from advisor.dose.exact import Measure, measure
from advisor.dose.remark import Remark
from advisor.model import KnowledgeBase
from advisor.render.say import phrase
from advisor.terms import Span
from advisor.units import show


class System(enum.StrEnum):
    """Which units figures are shown in."""

    US = "us"
    METRIC = "metric"


_US = {"1000 ft2": "ft2"}
_METRIC = {
    "fl oz": "mL",
    "oz": "g",
    "gal": "L",
    "1000 ft2": "m2",
    "fl oz/1000 ft2": "mL/100 m2",
    "oz/1000 ft2": "g/100 m2",
    "gal/1000 ft2": "L/100 m2",
    "fl oz/gal": "mL/L",
    "oz/gal": "g/L",
    "gal/acre": "L/ha",
    "lb": "kg",
    "lb/1000 ft2": "kg/100 m2",
    "lb/acre": "kg/ha",
    "gal/min": "L/min",
    "mph": "km/h",
    "psi": "kPa",
    "ft": "m",
    "in": "cm",
}
_LARGER = {
    "fl oz": (128, "gal"),
    "oz": (16, "lb"),
    "oz/1000 ft2": (16, "lb/1000 ft2"),
    "mL": (1000, "L"),
    "g": (1000, "kg"),
    "g/100 m2": (1000, "kg/100 m2"),
}
"""From how many on a quantity reads better in a larger unit."""
_SMALLER = {"gal": (Fraction(1, 4), "fl oz"), "L": (Fraction(1), "mL")}
"""Below how many a quantity reads better in a smaller unit."""


def shown_in(quantity: Measure, system: System) -> str:
    """The unit in which a quantity is shown."""
    table = _US if system is System.US else _METRIC
    unit = table.get(quantity.unit, quantity.unit)
    if unit in _LARGER and quantity.exact(unit)[1] >= _LARGER[unit][0]:
        return _LARGER[unit][1]
    if unit in _SMALLER and quantity.exact(unit)[1] < _SMALLER[unit][0]:
        return _SMALLER[unit][1]
    return unit


def said(quantity: Measure, system: System) -> str:
    """A quantity in words: `1.5 fl oz per 1,000 ft2`, `47.7 mL per 100 m2`."""
    unit = shown_in(quantity, system)
    low, high = quantity.exact(unit) if unit != quantity.unit else (quantity.low, quantity.high)
    return show(Span(float(low), float(high)), unit)


def amount(value: Fraction, unit: str, system: System) -> str:
    """An amount of product to measure out; US amounts say mL or g as well."""
    quantity = measure(value, unit)
    text = said(quantity, system)
    return f"{text} ({said(quantity, System.METRIC)})" if system is System.US else text


def sentence(base: KnowledgeBase, remark: Remark, system: System) -> str:
    """What a remark says."""
    figures = {
        name: figure if isinstance(figure, str) else said(figure, system)
        for name, figure in remark.figures.items()
    }
    text = phrase(base, remark.id, **figures).strip()
    return text[:1].upper() + text[1:]


def temperature(span: Span, system: System) -> str:
    """A range of air temperatures, which are kept in F."""
    if system is System.US:
        return show(span, "F")
    return show(Span((span.low - 32) * 5 / 9, (span.high - 32) * 5 / 9), "C")


def number(quantity: Measure, system: System) -> dict[str, Any]:
    """A quantity as plain data, to nine digits."""
    unit = shown_in(quantity, system)
    low, high = quantity.exact(unit) if unit != quantity.unit else (quantity.low, quantity.high)
    return {"low": _plain(low), "high": _plain(high), "unit": unit}


def _plain(value: Fraction) -> float:
    return float(f"{float(value):.9g}")
