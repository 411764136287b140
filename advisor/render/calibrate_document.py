"""A calibration as a JSON document, described by schemas/calibration.schema.json.

For programs that take answers from this one. Quantities are intervals with their unit; the format
has a version, and a key is never dropped or given another meaning without raising it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from advisor.dose.calibrate import Calibration
from advisor.dose.exact import AREA, Measure, measure
from advisor.dose.remark import Remark
from advisor.dose.sprayer import Adjust
from advisor.model import KnowledgeBase
from advisor.render.calibrate_page import against_remarks, tank_remarks
from advisor.render.measured import System, number, sentence
from advisor.render.mix_page import caution_texts

FORMAT = "cameback-calibration"
VERSION = 1


def calibration_document(found: Calibration, base: KnowledgeBase, system: System) -> dict[str, Any]:
    """The whole result as plain data."""
    unit, got = found.found.unit, found.found
    says = [got.how, *tank_remarks(found), *against_remarks(found)]
    product = found.against.product
    return {
        "format": FORMAT,
        "version": VERSION,
        "method": got.method,
        "of": got.of,
        "units": system.value,
        "output": number(measure(got.output, unit), system),
        "per_acre": number(got.per_acre, system),
        "product": None if product is None else product.id,
        "weed": None if found.against.weed is None else found.against.weed.id,
        "wanted": None if found.wanted is None else number(Measure(*found.wanted, unit), system),
        "within": None if found.wanted is None else found.adjust is None,
        "change": None if found.adjust is None else _change(found.adjust, unit, system),
        "flow": _maybe(got.flow, "gal/min", system),
        "pace": _maybe(got.pace, "mph", system),
        "drops": None if got.drops is None else got.drops.name,
        "tank_covers": _maybe(found.tank_covers, AREA, system),
        "in_spray": _number(found.in_a_gallon, system),
        "in_tank": _number(found.in_a_tank, system),
        "leaves": found.leaves,
        "says": [sentence(base, each, system) for each in says],
        "cautions": caution_texts([product] if product else [], base, system),
    }


def sentence_document(
    method: str, of: str, said: Remark, base: KnowledgeBase, system: System
) -> dict[str, Any]:
    """An answer that is one sentence, as plain data."""
    empty = "output per_acre product weed wanted within change flow pace drops tank_covers in_spray"
    return {
        "format": FORMAT,
        "version": VERSION,
        "method": method,
        "of": of,
        "units": system.value,
        **dict.fromkeys([*empty.split(), "in_tank", "leaves"]),
        "says": [sentence(base, said, system)],
        "cautions": caution_texts([], base, system),
    }


def _change(change: Adjust, unit: str, system: System) -> dict[str, Any]:
    return {
        "to": number(measure(change.target, unit), system),
        "output": float(change.factor),
        "pace": float(change.pace),
        "nozzle": float(change.factor),
        "pressure": float(change.pressure),
        "by_pressure": change.by_pressure,
    }


def _maybe(value: Fraction | None, unit: str, system: System) -> dict[str, Any] | None:
    return None if value is None else number(measure(value, unit), system)


def _number(quantity: Measure | None, system: System) -> dict[str, Any] | None:
    return None if quantity is None else number(quantity, system)
