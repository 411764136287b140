"""Every key that a call may have is read: telling something else under it changes the answer.

The keys are taken from schemas/call.schema.json, so that a key added there needs a case here. A
change counts where the answer as a document differs, facts with their origins included.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from example_calls import KNOWLEDGE, ROOT, advisor, diagnosis, knowledge

from advisor.call import parse_call
from advisor.call_reader import EVENTS
from advisor.diagnosis import Diagnosis
from advisor.problem import ProblemsFound
from advisor.render.document import diagnosis_document
from advisor.terms import Options, Span

BASE = knowledge()
SCHEMA = json.loads((ROOT / "schemas" / "call.schema.json").read_text(encoding="utf-8"))
TOLD: Mapping[str, Any] = {
    "call": "LM-0001",
    "reported": "2026-10-06",
    "site": {"region": "lake-plain", "turf": "tall-fescue"},
    "weed": "ground-ivy",
    "product": "larkmoor-broadleaf",
}
SPRAYED = {"sprayed": "2026-09-13 10:00"}
JUG = {"reported": "2026-10-06", "weed": "ground-ivy", "site": {"turf": "tall-fescue"}}
MIXED = {"amount": "1 fl oz", "area": "1000 ft2"}
GEAR = {
    **{"amount": "2 fl oz", "water": "1 gal", "nozzle": "0.4 gal/min"},
    **{"pressure": "40 psi", "pace": "3 mph", "swath": "3 ft"},
}
READ_OUT = {"controls": ["dandelion"], "suppresses": [], "interval": "28 days"}


def treated(**more: Any) -> dict[str, Any]:
    """The call with one application."""
    return {**TOLD, "treatment": [{**SPRAYED, **more}]}


def felt(**more: Any) -> dict[str, Any]:
    """The call with one application and its weather as felt."""
    return treated(felt=more)


def event(what: str, when: str, **more: Any) -> dict[str, Any]:
    """The call with one application and one event."""
    return {**treated(), "events": [{what: when, **more}]}


def label(**more: Any) -> dict[str, Any]:
    """A call about a jug that was read out, sprayed once."""
    return {**JUG, "label": {**READ_OUT, **more}, "treatment": [{**SPRAYED, **MIXED}]}


def seen(**more: Any) -> dict[str, Any]:
    """The call with one application and one look."""
    return {**treated(), "seen": more}


CASES: Mapping[str, tuple[Mapping[str, Any], Mapping[str, Any]]] = {
    "call": (TOLD, {**TOLD, "call": "LM-0002"}),
    "reported": (treated(), {**treated(), "reported": "2026-10-16"}),
    "site.region": (treated(), {**treated(), "site": {"region": "red-hills"}}),
    "site.turf": (TOLD, {**TOLD, "site": {"region": "lake-plain", "turf": "bermudagrass"}}),
    "site.cover": (TOLD, {**TOLD, "site": {"cover": "thin"}}),
    "site.mowing_height": (TOLD, {**TOLD, "site": {**TOLD["site"], "mowing_height": "1 in"}}),
    "site.irrigation.days_per_week": (
        TOLD,
        {**TOLD, "site": {**TOLD["site"], "irrigation": {"days_per_week": "5"}}},
    ),
    "site.features": (TOLD, {**TOLD, "site": {**TOLD["site"], "features": ["pond-edge"]}}),
    "weed": (TOLD, {**TOLD, "weed": "dandelion"}),
    "traits": (TOLD, {**TOLD, "traits": {"stem": "round", "smell": "none"}}),
    "weed_treated": (TOLD, {**TOLD, "weed_treated": "wild-violet"}),
    "product": (TOLD, {**TOLD, "product": "fellmark-ester"}),
    "actives": (JUG, {**JUG, "actives": {"triclopyr": "61 %"}}),
    "label.rate": (label(), label(rate="2 fl oz per 1000 ft2")),
    "label.controls": (label(), label(controls=["ground-ivy"])),
    "label.suppresses": (label(), label(suppresses=["ground-ivy"])),
    "label.not_for": (label(), label(not_for=["tall-fescue"])),
    "label.rainfast": (
        {**label(), "events": [{"rained": "2026-09-13 15:00"}]},
        {**label(rainfast="6 h"), "events": [{"rained": "2026-09-13 15:00"}]},
    ),
    "label.interval": (label(), label(interval="7 days")),
    "label.per_year": (label(), label(per_year=1)),
    "label.temperature": (
        {**label(), "treatment": [{**SPRAYED, "felt": {"air": "90 F"}}]},
        {**label(temperature="50 to 85 F"), "treatment": [{**SPRAYED, "felt": {"air": "90 F"}}]},
    ),
    "label.turf": (label(), label(turf=["tall-fescue"])),
    "treatment.sprayed": (treated(), treated(sprayed="2026-07-13")),
    "treatment.product": (treated(), treated(product="fellmark-ester")),
    "treatment.form": (
        {**JUG, "treatment": [SPRAYED]},
        {**JUG, "treatment": [{**SPRAYED, "form": "ester"}]},
    ),
    "treatment.amount": (treated(**MIXED), treated(**{**MIXED, "amount": "2 fl oz"})),
    "treatment.water": (treated(**MIXED), treated(**MIXED, water="1 gal")),
    "treatment.area": (treated(**MIXED), treated(**{**MIXED, "area": "2000 ft2"})),
    "treatment.output": (treated(), treated(output="1 gal per 1000 ft2")),
    "treatment.nozzle": (treated(**GEAR), treated(**{**GEAR, "nozzle": "0.2 gal/min"})),
    "treatment.pressure": (treated(**GEAR), treated(**{**GEAR, "pressure": "15 psi"})),
    "treatment.pace": (treated(**GEAR), treated(**{**GEAR, "pace": "2 mph"})),
    "treatment.swath": (treated(**GEAR), treated(**{**GEAR, "swath": "2 ft"})),
    "treatment.drops": (treated(), treated(drops="VC")),
    "treatment.also_in_tank.product": (
        treated(also_in_tank=[]),
        treated(also_in_tank=[{"product": "oatmere-grass"}]),
    ),
    "treatment.surfactant": (treated(), treated(surfactant="soap")),
    "treatment.mix_order": (treated(), treated(mix_order="product-first")),
    "treatment.coverage": (treated(), treated(coverage="runoff")),
    "treatment.passes": (treated(), treated(passes="one-way")),
    "treatment.droplets": (treated(), treated(droplets="fine")),
    "treatment.stage": (treated(), treated(stage="flowering")),
    "treatment.grass_height": (treated(), treated(grass_height="6 in")),
    "treatment.product_age": (treated(), treated(product_age="12 years")),
    "treatment.stored": (treated(), treated(stored="frozen")),
    "treatment.water_hardness": (treated(), treated(water_hardness="500 ppm")),
    "treatment.felt.air": (felt(), felt(air="48 F")),
    "treatment.felt.wind": (felt(), felt(wind="15 mph")),
    "treatment.felt.soil": (felt(), felt(soil="dry")),
    "treatment.felt.frost": (felt(), felt(frost="yes")),
    "treatment.answers": (treated(), treated(answers={"mowed_before": "4 h"})),
    "events.mowed": (treated(), event("mowed", "2026-09-12")),
    "events.watered": (treated(), event("watered", "2026-09-13 06:00")),
    "events.rained": (treated(), event("rained", "2026-09-13 15:00")),
    "events.seeded": (treated(), event("seeded", "2026-09-20")),
    "events.raked": (treated(), event("raked", "2026-09-20")),
    "events.tilled": (treated(), event("tilled", "2026-09-20")),
    "events.cored": (treated(), event("cored", "2026-09-20")),
    "events.pulled": (treated(), event("pulled", "2026-09-20")),
    "events.fed": (treated(), event("fed", "2026-05-01")),
    "events.frosted": (treated(), event("frosted", "2026-09-13 morning")),
    "events.flooded": (treated(), event("flooded", "2026-09-14")),
    "events.amount": (
        event("watered", "2026-09-13 06:00", amount="0.01 in"),
        event("watered", "2026-09-13 06:00", amount="0.5 in"),
    ),
    "seen.on": (seen(on="2026-09-20"), seen(on="2026-10-05")),
    "seen.symptoms": (seen(on="2026-10-05"), seen(on="2026-10-05", symptoms="none")),
    "seen.where": (seen(on="2026-10-05"), seen(on="2026-10-05", where="strips")),
    "seen.plants": (seen(on="2026-10-05"), seen(on="2026-10-05", plants="seedlings")),
    "seen.left": (seen(on="2026-10-05"), seen(on="2026-10-05", left="60 %")),
    "seen.others": (seen(on="2026-10-05"), seen(on="2026-10-05", others="died")),
    "seen.grass": (seen(on="2026-10-05"), seen(on="2026-10-05", grass="injured")),
    "answers": (TOLD, {**TOLD, "answers": {"same_plant": "no"}}),
}
ELSEWHERE = {"weather", "treatment.also_in_tank.amount"}
"""Keys with a test of their own below."""


def keys(node: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[str]:
    """The keys under a part of the schema that hold a value, dotted."""
    name = str(node.get("$ref", "")).removeprefix("#/$defs/")
    if name in ("application", "event", "look"):
        yield from keys(SCHEMA["$defs"][name], path)
    elif node.get("properties"):
        for key, part in node["properties"].items():
            yield from keys(part, (*path, key))
    else:
        deeper = [node[word] for word in ("items", "else") if holds_keys(node.get(word))]
        if deeper:
            yield from keys(deeper[0], path)
        else:
            yield ".".join(path)


def holds_keys(node: Any) -> bool:
    """Whether a part of the schema has keys of its own further down."""
    if not isinstance(node, dict):
        return False
    if str(node.get("$ref", "")).endswith(("/application", "/event", "/look")):
        return True
    return "properties" in node or "items" in node


def answer(told: Mapping[str, Any]) -> Diagnosis:
    """The answer to a call."""
    return advisor("auto").diagnose(parse_call(json.dumps(told), "call.yaml", BASE))


def test_every_key_has_a_case() -> None:
    """The cases are those of the keys that the schema lets a call have, neither more nor less."""
    assert sorted(keys(SCHEMA)) == sorted({*CASES, *ELSEWHERE})
    assert {k.partition(".")[2] for k in CASES if k.startswith("events.")} == {*EVENTS, "amount"}


@pytest.mark.parametrize("key", CASES)
def test_a_key_is_read(key: str) -> None:
    """Telling something, or something else, under a key changes the answer."""
    before, after = (diagnosis_document(answer(told), BASE) for told in CASES[key])
    assert before != after


def test_a_partners_amount_is_looked_at() -> None:
    """How much of a partner was in the tank is read: what is no amount is refused."""
    partner = {"product": "oatmere-grass", "amount": "a splash"}
    with pytest.raises(ProblemsFound) as caught:
        answer(treated(also_in_tank=[partner]))
    assert [p.code for p in caught.value.problems] == ["C101"]


def test_the_weather_file_is_read() -> None:
    """The answer to the call with a weather file is another one without it."""
    told = (KNOWLEDGE / "examples" / "ground-ivy-with-weather.yaml").read_text(encoding="utf-8")
    bare = "\n".join(line for line in told.splitlines() if not line.startswith("weather:"))
    without = advisor("auto").diagnose(parse_call(bare, "call.yaml", BASE))
    found = diagnosis("ground-ivy-with-weather")
    assert diagnosis_document(found, BASE)["facts"] != diagnosis_document(without, BASE)["facts"]


# ---- feeding and frost ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fed", "hungry"),
    [("2026-05-01", {"no"}), ("2024-05-01", {"yes", "no"}), ("none", {"yes"})],
)
def test_a_lawn_that_is_fed_does_not_go_hungry(fed: str, hungry: set[str]) -> None:
    """Fed within the year a lawn is not hungry, never fed it is; longer ago says nothing."""
    value = answer(event("fed", fed)).facts.of_call["site.low-fertility"].value
    assert value == Options(frozenset(hungry))


def test_a_hungry_lawn_helps_a_weed_of_open_turf() -> None:
    """Where the lawn is never fed, thin turf stands beside the causes, with that reason."""
    told = {**event("fed", "none"), "weed": "white-clover"}
    shown = {f.rule.id for c in answer(told).beside for f in c.findings}
    assert "hungry-grass" in shown


@pytest.mark.parametrize(
    ("frosted", "frost", "coldest"),
    [
        ("2026-09-13 morning", {"yes"}, None),
        ("2026-09-12 night", {"yes"}, None),
        ("2026-09-14 morning", {"no"}, 36.0),
        ("2026-09-10 morning", {"no"}, None),
        ("about 2026-09-13", {"yes", "no"}, None),
    ],
)
def test_frost_before_and_after(frosted: str, frost: set[str], coldest: float | None) -> None:
    """A frost is of that morning or not; one in the nights after says how cold they were."""
    facts = answer(event("frosted", frosted)).facts.at(0)
    assert facts["frost"].value == Options(frozenset(frost))
    nights = facts["low_next_nights"].value
    assert isinstance(nights, Span)
    assert (nights.high == 36) == (coldest == 36)


def test_no_frost_at_all() -> None:
    """Who says that there was no frost rules out frost that morning and a hard freeze after."""
    facts = answer(event("frosted", "none")).facts.at(0)
    nights = facts["low_next_nights"].value
    assert facts["frost"].value == Options.of("no")
    assert isinstance(nights, Span)
    assert nights.low >= 28
