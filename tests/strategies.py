"""Call files as people might tell them, generated: any weed, product, site, order of events.

`calls` draws the data of a call and `call_texts` writes it down as YAML. Every call drawn is one
that can be read: its times lie before the day of the call and its amounts are plausible.
"""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

import yaml
from hypothesis import strategies as st

from advisor.knowledge import load, shipped
from advisor.model import FactDef, KnowledgeBase

Data = dict[str, Any]

FIRST, LAST = dt.date(2023, 6, 1), dt.date(2026, 11, 25)
PARTS = ("morning", "noon", "afternoon", "evening", "10:00", "16:30", "7 am")
DATED = ("mowed", "watered", "rained", "seeded", "raked", "cored", "pulled", "fed", "flooded")
UNITS = {"share": "share", "ratio": "x", "count": ""}
TOLD = {
    "form": "formulation",
    "surfactant": "surfactant",
    "mix_order": "mix_order",
    "coverage": "coverage",
    "passes": "passes",
    "droplets": "droplets",
    "stage": "stage",
    "stored": "stored",
}
SEEN = ("symptoms", "where", "plants", "others", "grass")
MIXES = (
    {},
    {"amount": "1 fl oz", "water": "1 gal", "area": "1000 ft2"},
    {"amount": "1.5 fl oz", "water": "1 to 2 gal", "area": "800 to 1200 ft2"},
    {"amount": "2 tbsp", "water": "1 gal"},
    {"amount": "about 15 mL", "area": "100 m2"},
    {"amount": "8 lb", "area": "2500 ft2"},
    {"amount": "0.03 oz", "water": "2 gal", "area": "1000 ft2"},
    {"water": "2 gal", "area": "5000 ft2"},
)


@cache
def knowledge() -> KnowledgeBase:
    """The knowledge base as shipped, whose names the calls use."""
    return load(shipped("knowledge"))


def names(ids: Any) -> st.SearchStrategy[str]:
    """One of the ids, or unknown."""
    return st.sampled_from([*sorted(ids), "unknown"])


def option(fact: str) -> st.SearchStrategy[str]:
    """One option of a choice, or unknown."""
    return names(knowledge().facts[fact].options)


@st.composite
def times(draw: st.DrawFn, latest: dt.date, within: int) -> str:
    """A time up to `within` days before the latest day, told exactly or not."""
    day = latest - dt.timedelta(days=draw(st.integers(0, within)))
    how = draw(st.sampled_from(["day", "part", "about", "between", "unknown"]))
    if how == "part":
        return f"{day} {draw(st.sampled_from(PARTS))}"
    if how == "about":
        return f"about {day}"
    if how == "between":
        return f"between {day - dt.timedelta(days=draw(st.integers(1, 12)))} and {day}"
    return "unknown" if how == "unknown" else str(day)


@st.composite
def events(draw: st.DrawFn, latest: dt.date, *, anchored: bool) -> Data:
    """Something that happened, or did not."""
    what = draw(st.sampled_from(DATED))
    told = [times(latest, 60), st.just("none")]
    if anchored:
        gaps = st.sampled_from(
            ["2 days before", "3 hours before", "1 day before", "about 5 h before"]
        )
        told.append(gaps.map(lambda gap: f"{gap} spraying"))
    event: Data = {what: draw(st.one_of(told))}
    if what in ("watered", "rained") and draw(st.booleans()):
        event["amount"] = draw(st.sampled_from(["0.02 in", "0.5 in", "0.2 to 0.6 in", "12 mm"]))
    return event


def values(fact: FactDef) -> st.SearchStrategy[str]:
    """What somebody may answer about a fact."""
    if fact.range is None:
        return st.sampled_from(sorted(fact.options))
    unit, low, high = UNITS.get(fact.unit, fact.unit), fact.range.low, fact.range.high
    inside = st.floats(low, high, allow_nan=False).map(lambda x: round(x, 3))
    ends = st.tuples(inside, inside).map(sorted)
    return ends.map(
        lambda pair: (
            f"{pair[0]:.3f} to {pair[1]:.3f} {unit}".strip()
            if pair[0] < pair[1]
            else f"{pair[0]:.3f} {unit}".strip()
        )
    )


@st.composite
def answers(draw: st.DrawFn, scope: str) -> Data:
    """Answers to a few questions of a scope."""
    facts = knowledge().facts
    askable = [
        n for n, f in facts.items() if f.scope == scope and not n.startswith(("kind.", "cause."))
    ]
    chosen = draw(st.lists(st.sampled_from(askable), max_size=3, unique=True))
    return {name: draw(values(facts[name])) for name in chosen}


@st.composite
def applications(draw: st.DrawFn, latest: dt.date) -> Data:
    """One application, told in part."""
    told: Data = {"sprayed": draw(times(latest, 0)), **draw(st.sampled_from(MIXES))}
    for key in draw(st.lists(st.sampled_from(sorted(TOLD)), max_size=4, unique=True)):
        told[key] = draw(option(TOLD[key]))
    if draw(st.booleans()):
        told["product"] = draw(names(knowledge().products))
    if draw(st.booleans()):
        told["felt"] = {
            "air": draw(st.sampled_from(["48 F", "71 F", "90 F", "10 to 20 C"])),
            "soil": draw(option("soil_moisture")),
        }
    if draw(st.booleans()):
        partners = draw(st.lists(names(knowledge().products), max_size=2))
        told["also_in_tank"] = [{"product": name} for name in partners]
    if draw(st.integers(0, 3)) == 0:
        told["answers"] = draw(answers("application"))
    return told


@st.composite
def looks(draw: st.DrawFn, latest: dt.date) -> Data:
    """One observation of the weed."""
    look: Data = {"on": draw(times(latest, 0))}
    for key in draw(st.lists(st.sampled_from(SEEN), max_size=5, unique=True)):
        look[key] = draw(option(key))
    if draw(st.booleans()):
        look["left"] = draw(st.sampled_from(["0 %", "60 %", "9 out of 10", "20 to 50 %"]))
    return look


@st.composite
def labels(draw: st.DrawFn) -> Data:
    """A part of a label, as read out over the phone."""
    weeds, turf = (
        st.sampled_from(sorted(knowledge().weeds)),
        st.sampled_from(sorted(knowledge().turf)),
    )
    whole: Data = {
        "rate": "1.0 to 1.5 fl oz per 1000 ft2",
        "controls": draw(st.lists(weeds, max_size=3, unique=True)),
        "suppresses": draw(st.lists(weeds, max_size=3, unique=True)),
        "not_for": draw(st.lists(turf, max_size=2, unique=True)),
        "rainfast": draw(st.sampled_from(["1 h", "6 h", "24 h"])),
        "interval": draw(st.sampled_from(["14 days", "4 weeks"])),
        "per_year": draw(st.integers(1, 4)),
        "temperature": "50 to 85 F",
        "turf": draw(st.lists(turf, max_size=2, unique=True)),
    }
    kept = draw(st.lists(st.sampled_from(sorted(whole)), max_size=5, unique=True))
    return {key: whole[key] for key in kept}


@st.composite
def calls(draw: st.DrawFn) -> Data:
    """The data of a call."""
    base = knowledge()
    reported = draw(st.dates(FIRST, LAST))
    ages = sorted(draw(st.lists(st.integers(0, 400), max_size=3, unique=True)), reverse=True)
    sprayings = [draw(applications(reported - dt.timedelta(days=age))) for age in ages]
    last = reported - dt.timedelta(days=ages[-1] if ages else 0)
    dated = any(s["sprayed"] != "unknown" for s in sprayings)
    call: Data = {"reported": str(reported)}
    parts: Data = {
        "site": {
            "region": draw(names(base.regions)),
            "turf": draw(names(base.turf)),
            "cover": draw(option("cover")),
            "mowing_height": draw(st.sampled_from(["unknown", "1 in", "2 to 3 in", "9 cm"])),
            "irrigation": {"days_per_week": draw(st.sampled_from(["unknown", "0", "3", "5 to 7"]))},
            "features": draw(
                st.lists(st.sampled_from(sorted(base.sites)), max_size=3, unique=True)
            ),
        },
        "weed": draw(names(base.weeds)),
        "weed_treated": draw(names(base.weeds)),
        "product": draw(names(base.products)),
        "label": draw(labels()),
        "answers": draw(answers("call")),
    }
    weights = {"weed_treated": 4, "label": 4, "answers": 3}
    for key, value in parts.items():
        if draw(st.integers(1, weights.get(key, 1))) == 1:
            call[key] = value
    call["treatment"] = sprayings
    around = st.sampled_from([last, reported]).flatmap(lambda day: events(day, anchored=dated))
    call["events"] = draw(st.lists(around, max_size=6))
    ends = sorted(draw(st.lists(st.integers(0, 60), max_size=3, unique=True)), reverse=True)
    seen = [draw(looks(reported - dt.timedelta(days=end))) for end in ends]
    if seen:
        call["seen"] = seen
    return call


def text_of(call: Data) -> str:
    """A call written down, its keys in the order they have."""
    return str(yaml.safe_dump(call, sort_keys=False))


def call_texts() -> st.SearchStrategy[str]:
    """The text of a call file."""
    return calls().map(text_of)


@st.composite
def shuffled(draw: st.DrawFn, call: Data) -> Data:
    """The same call with its keys, events, features and partners in another order."""

    def mixed(value: Any, *, entries: bool) -> Any:
        if isinstance(value, dict):
            keys = draw(st.permutations(sorted(value)))
            return {key: mixed(value[key], entries=key in ORDERLESS) for key in keys}
        if isinstance(value, list):
            order = draw(st.permutations(range(len(value)))) if entries else range(len(value))
            return [mixed(value[i], entries=False) for i in order]
        return value

    result = mixed(call, entries=False)
    assert isinstance(result, dict)
    return result


ORDERLESS = ("events", "features", "also_in_tank", "controls", "suppresses", "not_for", "turf")
"""The lists whose order says nothing; sprayings and looks stand in the order of time."""
