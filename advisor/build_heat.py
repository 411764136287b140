"""Warmth and spray weather: from the checked heat.yaml to `Heat`.

Used by `knowledge.py` only. Totals and bases may be written in F or C and are kept in F; weeds and
sources named must exist.
"""

from __future__ import annotations

from fractions import Fraction

from advisor.degree_days import Recipe
from advisor.heat import Heat, SoilMean, Suits, Threshold
from advisor.reading import Key, Reader
from advisor.terms import Span

DEGREES = {"F-days": Fraction(1), "C-days": Fraction(9, 5)}


def build_heat(reader: Reader) -> Heat:
    """The whole file."""
    for what in ("temperature", "delta_t"):
        reader.basis("spraying", what, "from")
    delta_t, never = (
        reader.amount("spraying", "delta_t", key, dimension="temperature-difference")
        for key in ("range", "never")
    )
    temperature = reader.amount("spraying", "temperature", "range", dimension="temperature")
    good = temperature.dimension == "temperature" and delta_t.dimension == never.dimension
    suits = Suits(
        temperature.to("F"), delta_t.to("F-degrees"), never.to("F-degrees").high
    ) if good and delta_t.dimension == "temperature-difference" else Suits()  # fmt: skip
    return Heat(
        {name: _threshold(reader, name) for name in reader["thresholds"]},
        {name: _soil(reader, name) for name in reader["soil"]},
        suits,
    )


def _threshold(reader: Reader, name: str) -> Threshold:
    keys = ("thresholds", name)
    raw = reader.get(*keys)
    degrees = DEGREES[raw["unit"]]
    low, _, high = str(raw["heat"]).partition(" to ")
    heat = _span(
        reader, (*keys, "heat"), *(float(Fraction(end) * degrees) for end in (low, high or low))
    )
    base, cap = _temperature(reader, *keys, "base"), None
    if raw["cap"] is not None:
        cap = _temperature(reader, *keys, "cap")
        if cap <= base:
            reader.problem("K307", "the cap is not above the base", *keys, "cap")
    start = reader.day(*keys, "start")
    then = reader.span(*keys, "then_days")
    basis = reader.basis(*keys, "from")
    return Threshold(
        id=name,
        weed=reader.reference("weed", *keys, "weed"),
        event=raw["event"],
        says=raw["says"],
        heat=heat,
        written=f"{raw['heat']} {raw['unit']} above {raw['base']}",
        recipe=Recipe(raw["method"], base, cap),
        measured=raw["measured"],
        depth=_depth(reader, *keys, "depth"),
        start=(start.month, start.day),
        then_days=(int(then.low), int(then.high)),
        basis=basis.kind,
        source=basis.source,
    )


def _soil(reader: Reader, name: str) -> SoilMean:
    keys = ("soil", name)
    raw = reader.get(*keys)
    mean = reader.amount(*keys, "mean", dimension="temperature")
    basis = reader.basis(*keys, "from")
    return SoilMean(
        id=name,
        weed=reader.reference("weed", *keys, "weed"),
        event=raw["event"],
        says=raw["says"],
        mean=mean.to("F") if mean.dimension == "temperature" else Span(0, 0),
        way=raw["way"],
        depth=_depth(reader, *keys, "depth"),
        basis=basis.kind,
        source=basis.source,
    )


def _span(reader: Reader, keys: tuple[Key, ...], low: float, high: float) -> Span:
    if low > high:
        reader.problem("K307", f"the range {reader.get(*keys)} runs backwards", *keys)
    return Span(min(low, high), max(low, high))


def _temperature(reader: Reader, *keys: Key) -> float:
    amount = reader.amount(*keys, dimension="temperature")
    return amount.to("F").high if amount.dimension == "temperature" else 0.0


def _depth(reader: Reader, *keys: Key) -> str | None:
    amount = reader.optional_amount(*keys, dimension="length")
    return None if amount is None else amount.text
