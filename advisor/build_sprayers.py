"""Sprayers, nozzles, drops and measures: from the checked sprayers.yaml to `Sprayers`.

Used by `knowledge.py` only. Every figure's origin is looked up here, so that a source that does not
exist is found; the formulations and droplet sizes named must be options of their facts.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.equipment import Drops, Sprayers
from advisor.model import FactDef
from advisor.reading import Key, Reader

SPRAY = "volume-per-area"
ORIGINS: tuple[tuple[Key, ...], ...] = (
    *((part, "from") for part in ("by_hand", "carrier", "leaves", "drops", "nozzles", "measuring")),
    ("drops", "fines_from"),
    *(("tank", f"{what}_from") for what in ("order", "most", "hard_water")),
)


def build_sprayers(reader: Reader, facts: Mapping[str, FactDef]) -> Sprayers:
    """The whole file."""
    for keys in ORIGINS:
        reader.basis(*keys)
    for i in range(len(reader["tank"]["order"])):
        reader.fact_value(facts["formulation"], "tank", "order", i, codes=("K303", "K304"))
    short = reader.amount("measuring", "short_at_most", dimension="share")
    return Sprayers(
        by_hand=reader.amount("by_hand", "output", dimension=SPRAY),
        carrier_moves=reader.amount("carrier", "moves", dimension=SPRAY),
        carrier_contact=reader.amount("carrier", "contact", dimension=SPRAY),
        spotted_below=reader.amount("leaves", "spotted_below", dimension=SPRAY),
        dripping_from=reader.amount("leaves", "dripping_from", dimension=SPRAY),
        drops=tuple(_drops(reader, facts, i) for i in range(len(reader["drops"]["classes"]))),
        rated_at=reader.amount("nozzles", "rated_at", dimension="pressure"),
        pressure_corrects=reader.amount("nozzles", "pressure_corrects", dimension="ratio"),
        short_at_most=short.exact("share")[1] if short.dimension == "share" else short.high,
        marks=tuple(
            reader.amount("measuring", f"{matter}_marks", i, dimension=matter)
            for matter in ("volume", "mass")
            for i in range(len(reader["measuring"][f"{matter}_marks"]))
        ),
        order=tuple(reader["tank"]["order"]),
        most_products=reader["tank"]["most_products"],
        hard_water=reader.amount("tank", "hard_water", dimension="hardness"),
    )


def _drops(reader: Reader, facts: Mapping[str, FactDef], i: int) -> Drops:
    keys = ("drops", "classes", i)
    raw = reader.get(*keys)
    reader.fact_value(facts["droplets"], *keys, "droplets", codes=("K303", "K304"))
    fines = reader.optional_amount(*keys, "fines", dimension="share")
    return Drops(raw["name"], raw["letters"], float(raw["microns"]), raw["droplets"], fines)
