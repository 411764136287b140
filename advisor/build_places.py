"""Site features, lawn grasses and regions: from checked YAML to dataclasses.

Used by `knowledge.py` only, beside `build_things`. References are looked up and days read through
the `Reader`, which notes what is wrong and where.
"""

from __future__ import annotations

from advisor import model as m
from advisor.reading import Reader


def build_sites(reader: Reader) -> dict[str, m.Site]:
    """The site features of sites.yaml."""
    return {
        name: m.Site(
            name, raw["name"], raw["says"], raw["near_water"] == "yes", raw["ask"],
            float(raw["how_often"]), reader.basis("sites", name, "from"),
        )
        for name, raw in reader["sites"].items()
    }  # fmt: skip


def build_turf(reader: Reader) -> dict[str, m.Turf]:
    """The lawn grasses of turf.yaml."""
    result = {}
    for name, raw in reader["turf"].items():
        sowing = range(len(raw.get("seeding") or ()))
        result[name] = m.Turf(
            name,
            raw["name"],
            raw["season"],
            reader.span("turf", name, "mowing_height"),
            reader.references("turf", "turf", name, "members"),
            tuple(reader.stretch("turf", name, "seeding", i) for i in sowing),
            reader.basis("turf", name, "from"),
            tuple(reader.basis("turf", name, "seeding", i, "origin") for i in sowing),
        )
    return result


def build_region(reader: Reader) -> m.Region:
    """One region."""
    return m.Region(
        id=reader["id"],
        name=reader["name"],
        says=reader["says"],
        hemisphere=reader["hemisphere"],
        latitude=float(reader["latitude"]),
        longitude=float(reader["longitude"]),
        shift_days=reader["shift_days"],
        last_spring_frost=reader.day("frost", "last_spring"),
        first_fall_frost=reader.day("frost", "first_fall"),
        months=tuple(
            m.Month(
                float(raw["high"]), float(raw["low"]), float(raw["spread"]),
                float(raw["rain_days"]), float(raw["rain_in"]),
            )
            for raw in reader["months"]
        ),
        basis=reader.basis("from"),
    )  # fmt: skip
