"""A mix as a JSON document, described by schemas/mix.schema.json.

For programs that take answers from this one. Quantities are intervals with their unit; the format
has a version, and a key is never dropped or given another meaning without raising it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from advisor.dose.asking import rate_dimension
from advisor.dose.cups import Reading
from advisor.dose.exact import AREA, SPRAY, UNITS, Measure, measure
from advisor.dose.limits import Part
from advisor.dose.mixing import Delivered, Load, Mix
from advisor.dose.remark import Remark
from advisor.dose.yearly import Year
from advisor.model import KnowledgeBase
from advisor.render.measured import System, number, sentence
from advisor.render.mix_page import caution_texts, filling_texts

FORMAT = "cameback-mix"
VERSION = 1


def mix_document(mix: Mix, base: KnowledgeBase, system: System) -> dict[str, Any]:
    """The whole mix as plain data; a refused one has its reasons and nothing to pour."""
    ask = mix.ask
    return {
        "format": FORMAT,
        "version": VERSION,
        "product": ask.main.product.id,
        "weed": ask.weed.id if ask.weed else None,
        "turf": ask.turf.id if ask.turf else None,
        "spot": ask.spot,
        "units": system.value,
        "refused": [_remark(r, base, system) for r in mix.refused],
        "rates": [
            {
                "product": part.product.id,
                "rate": _one(part.rate, _rate_unit(part, mix), system),
                "label": number(Measure(*part.limits, _rate_unit(part, mix)), system),
                "for_weed": part.for_weed,
                "lists": part.product.lists(ask.weed.id) if ask.weed else None,
            }
            for part in mix.parts
        ],
        "loads": [_load(load, system) for load in mix.loads],
        "totals": [
            {
                "product": part.product.id,
                "amount": _one(mix.total(part.product), UNITS[part.matter], system),
            }
            for part in mix.parts
        ],
        "finer_marks": [_one(cup.mark, UNITS[cup.matter], system) for cup in mix.finer],
        "filling": list(filling_texts(mix, base, system)) if mix.steps else [],
        "delivers": [_delivered(each, system) for each in mix.delivered],
        "year": None if mix.year is None else _year(mix.year, system),
        "notes": [_remark(note, base, system) for note in mix.notes],
        "cautions": caution_texts(ask.products, base, system),
    }


def _rate_unit(part: Part, mix: Mix) -> str:
    return UNITS[rate_dimension(part.product, spot=mix.ask.spot)]


def _one(value: Fraction, unit: str, system: System) -> dict[str, Any]:
    return number(measure(value, unit), system)


def _maybe(value: Fraction | None, unit: str, system: System) -> dict[str, Any] | None:
    return None if value is None else _one(value, unit, system)


def _load(load: Load, system: System) -> dict[str, Any]:
    return {
        "count": load.count,
        "spray": _maybe(load.spray, SPRAY, system),
        "area": _maybe(load.area, AREA, system),
        "products": [
            {
                "product": dose.product.id,
                "amount": _one(dose.amount, dose.unit, system),
                "measured": None
                if dose.reading is None
                else _reading(dose.reading, dose.unit, system),
            }
            for dose in load.doses
        ],
        "surfactants": [
            {"kind": w.kind, "label": w.label, "amount": _one(w.amount, w.unit, system)}
            for w in load.wetters
        ],
    }


def _reading(read: Reading, unit: str, system: System) -> dict[str, Any]:
    return {
        "marks": read.marks,
        "mark": _one(read.mark, unit, system),
        "amount": _one(read.measured, unit, system),
        "error": float(read.error),
        "verdict": read.verdict,
    }


def _delivered(each: Delivered, system: System) -> dict[str, Any]:
    return {
        "product": each.product.id,
        "active": each.name,
        "form": each.form,
        "acid": _maybe(each.acid, "lb/acre", system),
        "whole": _maybe(each.whole, "lb/acre", system),
    }


def _year(year: Year, system: System) -> dict[str, Any]:
    after = year.after
    return {
        "used_before": list(year.times),
        "per_year": year.per_year,
        "now": _maybe(year.now, year.unit, system),
        "after": None if after is None else number(Measure(*after, year.unit), system),
        "limit": _maybe(year.limit, year.unit, system),
    }


def _remark(remark: Remark, base: KnowledgeBase, system: System) -> dict[str, Any]:
    return {"id": remark.id, "says": sentence(base, remark, system)}
