"""Weeds, products, facts, sources and settings: from checked YAML to dataclasses.

Used by `knowledge.py` only. Amounts are parsed, days become days of the year and every reference
is looked up, all through the `Reader`, which notes what is wrong and where.
"""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Mapping
from typing import Any

from advisor import model as m
from advisor.reading import Key, Reader
from advisor.terms import Span

RATE = ("volume-per-area", "mass-per-area")
ORIGINS = ("common-practice", "memory", "demo")
SPOT = ("volume-per-volume", "mass-per-volume", "share")


def build_facts(reader: Reader) -> dict[str, m.FactDef]:
    """The facts of facts.yaml."""
    result = {}
    basis = reader.basis("from")
    for name, raw in reader["facts"].items():
        options = {
            o: m.Option(v["says"], float(v["how_often"]), v.get("class"))
            for o, v in (raw.get("options") or {}).items()
        }
        number = raw["type"] == "number"
        span = reader.span("facts", name, "range") if number else None
        bands = tuple((float(a), float(b), float(s)) for a, b, s in raw.get("how_often") or ())
        if number and span is not None:
            _check_bands(reader, name, bands, span)
        elif abs(sum(o.how_often for o in options.values()) - 1) > 1e-6:
            message = "the shares of the options must add up to 1"
            reader.problem("K310", message, "facts", name, "options", at_key=True)
        result[name] = m.FactDef(
            name, raw["says"], raw["scope"], raw["comes"], raw["ask"],
            raw.get("unit", ""), span, bands, options, basis,
            m.Margin(raw["margin"]["under"], raw["margin"]["over"]) if "margin" in raw else None,
            raw.get("change", "sprayer"),
        )  # fmt: skip
    return result


def _check_bands(
    reader: Reader, name: str, bands: tuple[tuple[float, float, float], ...], span: Span
) -> None:
    ends = [(a, b) for a, b, _ in bands]
    joined = all(b == a for (_, b), (a, _) in itertools.pairwise(ends))
    whole = bool(ends) and ends[0][0] == span.low and ends[-1][1] == span.high
    if not (joined and whole) or abs(sum(s for _, _, s in bands) - 1) > 1e-6:
        message = "the bands must cover the range without a gap and their shares add up to 1"
        reader.problem("K310", message, "facts", name, "how_often", at_key=True)


def build_sources(reader: Reader) -> dict[str, m.Source]:
    """The published sources."""
    return {
        name: m.Source(
            name, raw["type"], raw["title"], raw["publisher"], raw["year"], raw["locator"],
            raw["seen"] == "yes", raw["checked"],
        )
        for name, raw in reader["sources"].items()
    }  # fmt: skip


def build_retired(reader: Reader) -> dict[str, m.Retired]:
    """The ids given up, and their successors."""
    return {
        name: m.Retired(raw["successor"], raw["on"], raw["why"])
        for name, raw in (reader["retired"] or {}).items()
    }


def build_origins(reader: Reader, *above: str, keys: tuple[Key, ...] = ()) -> m.Origins:
    """Where the figures of a file come from: every `from` and `..._from` in it, by its path.

    Entries with an id of their own (`thresholds`, `soil`) keep theirs.
    """
    found: dict[tuple[str, ...], m.Basis] = {}
    for key, value in (reader.get(*keys) if keys else dict(reader.document.data)).items():
        origin = value in ORIGINS or (isinstance(value, dict) and "source" in value)
        if key == "from":
            found[above] = reader.basis(*keys, key)
        elif key.endswith("_from") and origin:
            found[(*above, key.removesuffix("_from"))] = reader.basis(*keys, key)
        elif isinstance(value, dict) and key not in ("thresholds", "soil"):
            found |= build_origins(reader, *above, key, keys=(*keys, key))
    return found


def build_settings(reader: Reader) -> m.Settings:
    """The figures of the model."""
    return m.Settings(
        float(reader["target_survivors"]["share"]),
        float(reader["dose_slope"]["b"]),
        float(reader["kinds"]["shown_within"]),
        float(reader["kinds"]["ruled_out_beyond"]),
    )


# ---- weeds ---------------------------------------------------------------------------------


def build_weed(reader: Reader, facts: Mapping[str, m.FactDef]) -> m.Weed:
    """One weed."""
    for key in ("plant_group", "growth_form", "leaf_surface"):
        reader.fact_value(facts[key], key, codes=("K303", "K304"))
    for key in ("life_cycle", "habit", "regrows_from_pieces"):
        reader.fact_value(facts[key], key, "is", codes=("K303", "K304"))
    calendar = reader["calendar"] or {}
    retreat = reader["retreatments"]
    return m.Weed(
        id=reader["id"],
        name=reader["name"],
        also=tuple(reader["also"]),
        latin=reader["latin"],
        family=reader["family"],
        plant_group=reader["plant_group"],
        life_cycle=reader["life_cycle"]["is"],
        life_cycle_basis=reader.basis("life_cycle", "from"),
        habit=reader["habit"]["is"],
        habit_basis=reader.basis("habit", "from"),
        unit=reader["unit"],
        growth_form=reader["growth_form"],
        leaf_surface=reader["leaf_surface"],
        regrows_from_pieces=reader["regrows_from_pieces"]["is"],
        regrows_basis=reader.basis("regrows_from_pieces", "from"),
        seed_life_years=reader.span("seed_life", "years"),
        seed_life_basis=reader.basis("seed_life", "from"),
        likes_wet_soil=reader["likes"]["wet_soil"],
        likes_thin_turf=reader["likes"]["thin_turf"],
        favoured_by=reader.references("site", "favoured_by"),
        kept_out_by=_sayings(reader, "kept_out_by", "do"),
        control={name: _control(reader, name) for name in reader["control"]},
        seasons=_seasons(reader),
        seasons_basis=reader.basis("seasons_from"),
        calendar={stage: reader.stretch("calendar", stage) for stage in calendar},
        germinates=None if reader["germinates"] is None else reader.stretch("germinates"),
        retreatments=m.Retreatments(
            _whole_pair(reader, "retreatments", "applications"),
            _whole_pair(reader, "retreatments", "interval_days"),
            retreat["seasons"],
            retreat.get("note"),
            reader.basis("retreatments", "from"),
        ),
        resistance=tuple(
            m.Resistance(tuple(r["actives"]), r["note"], reader.basis("resistance", i, "from"))
            for i, r in enumerate(reader["resistance"])
        ),
        sites=tuple(
            m.SiteLimit(
                reader.reference("site", "sites", i, "feature"), raw["outlook"], raw["because"],
                reader.basis("sites", i, "from"),
            )
            for i, raw in enumerate(reader["sites"])
        ),
        traits=dict(reader["traits"]),
        lookalikes=tuple(
            m.Lookalike(
                reader.reference("weed", "lookalikes", i, "weed"), raw["decide"],
                reader.basis("lookalikes", i, "from"),
            )
            for i, raw in enumerate(reader["lookalikes"])
        ),
        specials=_sayings(reader, "specials", "say"),
        place=reader.place(),
        exempt=reader.exemptions(),
        calendar_bases={stage: reader.basis("calendar", stage, "origin") for stage in calendar},
        germinates_basis=reader.basis("germinates", "origin") if reader["germinates"] else None,
    )  # fmt: skip


def _sayings(reader: Reader, key: str, text: str) -> tuple[m.Saying, ...]:
    return tuple(
        m.Saying(raw[text], reader.basis(key, i, "from")) for i, raw in enumerate(reader[key])
    )


def _whole_pair(reader: Reader, *keys: Key) -> tuple[int, int]:
    span = reader.span(*keys)
    return int(span.low), int(span.high)


def _control(reader: Reader, name: str) -> m.Control:
    raw = reader.get("control", name)
    share, low, high = float(raw["share"]), float(raw["low"]), float(raw["high"])
    if not low <= share <= high:
        message = f"{share:g} does not lie between low {low:g} and high {high:g}"
        reader.problem("K307", message, "control", name)
        low, high = min(low, share), max(high, share)
    return m.Control(share, low, high, reader.basis("control", name, "from"))


def _seasons(reader: Reader) -> tuple[m.Season, ...]:
    seasons = tuple(
        m.Season(reader.stretch("seasons", i), raw["fit"], float(raw["share"]), raw["why"])
        for i, raw in enumerate(reader["seasons"])
    )
    for day in range(1, 366):
        here = _day(day)
        holding = [s for s in seasons if s.stretch.holds(here)]
        if len(holding) != 1:
            what = "in no season" if not holding else "in two seasons"
            message = f"{here.month:02}-{here.day:02} lies {what}; they must cover the year once"
            reader.problem("K311", message, "seasons", at_key=True)
            break
    if all(s.share < 1 for s in seasons):
        message = "the best season has share 1.0; none has"
        reader.problem("K311", message, "seasons", at_key=True)
    return seasons


def _day(ordinal: int) -> m.DayOfYear:
    return m.DayOfYear.of(dt.date(2023, 1, 1) + dt.timedelta(days=ordinal - 1))


# ---- products ------------------------------------------------------------------------------


def build_product(reader: Reader, facts: Mapping[str, m.FactDef]) -> m.Product:
    """One product and its label."""
    for key in ("formulation", "acts_through", "moves_in_plant", "hard_water_sensitive"):
        reader.fact_value(facts[key], key, codes=("K303", "K304"))
    limit: Mapping[str, Any] = reader["stage_limit"] or {}
    for i in range(len(limit.get("stages", ()))):
        reader.fact_value(facts["stage"], "stage_limit", "stages", i, codes=("K303", "K304"))
    temperature = reader.optional_amount("temperature", dimension="temperature")
    both = set(reader["controls"]) & set(reader["suppresses"])
    if both:
        message = f"{', '.join(sorted(both))} cannot be both controlled and suppressed"
        reader.problem("K202", message, "suppresses", at_key=True)
    return m.Product(
        id=reader["id"],
        name=reader["name"],
        kind=reader["kind"],
        summary=reader["summary"],
        basis=reader.basis("from"),
        actives=tuple(_active(reader, i) for i in range(len(reader["actives"]))),
        formulation=reader["formulation"],
        acts_through=reader["acts_through"],
        moves_in_plant=reader["moves_in_plant"],
        rates=tuple(
            m.Rate(
                reader.references("weed", "rates", i, "for"),
                reader.amount("rates", i, "amount", dimension=RATE),
            )
            for i in range(len(reader["rates"]))
        ),
        spot=reader.optional_amount("spot", "amount", dimension=SPOT),
        spot_wet=reader.get("spot", "wet"),
        water=reader.optional_amount("water", dimension="volume-per-area"),
        surfactant=m.Surfactant(
            reader["surfactant"]["called_for"] == "yes",
            reader["surfactant"]["kind"],
            reader.optional_amount("surfactant", "amount", dimension=SPOT),
        ),
        controls=reader.references("weed", "controls"),
        suppresses=reader.references("weed", "suppresses"),
        turf_tolerant=reader.references("turf", "turf", "tolerant"),
        turf_injured=reader.references("turf", "turf", "injured"),
        temperature=None if temperature is None else temperature.to("F"),
        rainfast_h=_hours(reader, "rainfast"),
        water_in_amount=reader.optional_amount("water_in", "amount", dimension="length"),
        water_in_days=_days(reader, "water_in", "within"),
        dry_leaf=reader["dry_leaf"],
        interval_days=reader.number("interval", unit="days"),
        per_year=reader["per_year"],
        yearly_amount=reader.optional_amount("yearly_amount", dimension=RATE),
        seed_after_days=reader.number("seeding", "after_spraying", unit="days"),
        new_grass_days=reader.number("seeding", "new_grass", unit="days"),
        mow_before_h=reader.number("mowing", "before", unit="h"),
        mow_after_h=reader.number("mowing", "after", unit="h"),
        first_days=reader.span("shows", "first_days"),
        full_days=reader.span("shows", "full_days"),
        residual_days=None if reader["residual_days"] is None else reader.span("residual_days"),
        hard_water_sensitive=reader["hard_water_sensitive"],
        conflict_groups=tuple(reader["conflicts"]["groups"]),
        conflict_why=reader["conflicts"]["why"],
        homeowner=reader["homeowner"],
        near_water=reader["near_water"],
        signal_word=reader["signal_word"],
        protective=tuple(reader["protective"]),
        reentry=reader["reentry"],
        storage=reader["storage"],
        keeps_years=float(reader["keeps_years"]),
        stage_limit=tuple(limit.get("stages", ())),
        stage_limit_says=limit.get("say"),
        place=reader.place(),
        price=_price(reader),
    )


def _price(reader: Reader) -> m.Price | None:
    raw = reader.get("price")
    if raw is None:
        return None
    pack = reader.amount("price", "pack", dimension=("volume", "mass"))
    return m.Price(pack, float(raw["cost"]), reader.basis("price", "from"))


def _active(reader: Reader, i: int) -> m.Active:
    raw = reader.get("actives", i)
    content = reader.amount("actives", i, "content", dimension=("mass-per-volume", "share"))
    return m.Active(raw["active"], raw["group"], content, raw["basis"], raw["form"])


def _hours(reader: Reader, *keys: Key) -> float | None:
    return None if reader.get(*keys) is None else reader.number(*keys, unit="h")


def _days(reader: Reader, *keys: Key) -> float | None:
    return None if reader.get(*keys) is None else reader.number(*keys, unit="days")
