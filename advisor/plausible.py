"""What an amount in a call can plausibly be, so that a slip of the unit is caught where it stands.

`call` asks it about every amount that is no fact of its own (facts have their range in facts.yaml).
The limits are wide: they hold whatever a lawn and a label can be, and refuse what only a wrong unit
or a slipped digit makes. It changes no amount and knows nothing of any one product.
"""

from __future__ import annotations

from advisor.units import Amount

SPRAYER = {
    "output": "volume-per-area",
    "nozzle": "flow",
    "pressure": "pressure",
    "pace": "speed",
    "swath": "length",
}
"""What may be told of a sprayer, and in which dimension."""

LIMITS: dict[str, tuple[float, float, str]] = {
    "mowing_height": (0.2, 12, "in"),
    "water on the lawn": (0, 20, "in"),
    "area": (1, 43_560_000, "ft2"),
    "water": (0, 10_000, "gal"),
    "output": (0.02, 20, "gal/1000 ft2"),
    "nozzle": (0.005, 20, "gal/min"),
    "pressure": (1, 500, "psi"),
    "pace": (0.2, 12, "mph"),
    "swath": (0.2, 100, "ft"),
    "rainfast": (0, 72, "h"),
    "interval": (0, 730, "days"),
    "temperature": (-20, 120, "F"),
}
"""Lowest, highest and unit. Labels ask at most a day of dry weather and some months between
applications; the temperatures are those of the fact air_temp."""

MOST_PER_AREA = {
    "volume": (64, "fl oz/1000 ft2", "64 fl oz per 1000 ft2"),
    "mass": (50, "lb/1000 ft2", "50 lb per 1000 ft2"),
}
"""More product than any lawn label comes near: ten pounds of granules, a few ounces of a spray."""
SPRAY = (0.02, 20, "gal/1000 ft2")
"""Spray put out, as in the fact spray_volume."""

_SAID = {"F": "degrees F", "in": "inches"}


def outside(amount: Amount, key: str) -> str:
    """What it can be, where the amount lies outside of that; empty where it does not."""
    low, high, unit = LIMITS[key]
    span = amount.to(unit)
    if low <= span.low and span.high <= high:
        return ""
    return f"{low:g} to {high:,.10g} {_SAID.get(unit, unit)}"


def too_much(amount: Amount, area: Amount | None) -> str:
    """The most product that can be meant on the area, where the amount is surely more.

    An amount that is itself one per area needs no other; one per volume of spray says nothing here.
    """
    matter, _, per = amount.dimension.partition("-per-")
    most, unit, says = MOST_PER_AREA[matter]
    top, bottom = unit.split("/")
    if per == "area":
        least = amount.to(unit).low
    elif per or area is None or area.high <= 0:
        return ""
    else:
        least = amount.to(top).low / area.to(bottom).high
    return f"at most {says}; check both units" if least > most else ""


def odd_spray(water: Amount, area: Amount) -> str:
    """How much spray can be meant on the area, where the water is surely less or more."""
    low, high, unit = SPRAY
    top, bottom = unit.split("/")
    put_out, ground = water.to(top), area.to(bottom)
    if ground.low <= 0 or (put_out.low / ground.high <= high and put_out.high / ground.low >= low):
        return ""
    return f"{low:g} to {high:g} gal per 1000 ft2; check both units"
