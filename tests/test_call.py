"""Call files are read as told, and whatever is wrong in one is said once, where it stands.

The bad calls under `bad/calls` are found, not listed: the first line of each says the codes and
places to expect, lines that begin with `# says:` what some message must hold.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.account import Call
from advisor.call import load_call, parse_call
from advisor.model import KnowledgeBase, Retired
from advisor.problem import CODES, ProblemsFound
from advisor.terms import Options, Span

BAD = sorted((Path(__file__).parent / "bad" / "calls").glob("*.yaml"))
EXAMPLES = sorted((Path(__file__).parent.parent / "knowledge" / "examples").rglob("*.yaml"))
TODAY = dt.date(2026, 11, 25)


def read(base: KnowledgeBase, text: str) -> Call:
    """A call from the text, reported on a fixed day."""
    return parse_call(f"reported: 2026-10-06\n{text}", "call.yaml", base, today=TODAY)


def problems(base: KnowledgeBase, text: str) -> list[str]:
    """What is wrong with the text, as `CODE line:column`."""
    with pytest.raises(ProblemsFound) as found:
        parse_call(text, "call.yaml", base, today=TODAY)
    return [f"{p.code} {p.line}:{p.column}" for p in found.value.problems]


# ---- bad calls ---------------------------------------------------------------------------------


@pytest.mark.parametrize("path", BAD, ids=lambda p: p.stem)
def test_bad_call(base: KnowledgeBase, path: Path) -> None:
    """A bad call gives exactly the problems its first line names: no more, no fewer, no other."""
    first = path.read_bytes().split(b"\n")[0].decode()
    expected = sorted(first.removeprefix("# expect: ").split(", "))
    with pytest.raises(ProblemsFound) as found:
        load_call(path, base, today=TODAY)
    assert expected == sorted(f"{p.code} {p.line}:{p.column}" for p in found.value.problems)


@pytest.mark.parametrize("path", BAD, ids=lambda p: p.stem)
def test_bad_call_is_told_in_plain_words(base: KnowledgeBase, path: Path) -> None:
    """Each message is one line of words, holds what the file promises and shows no Python."""
    with pytest.raises(ProblemsFound) as found:
        load_call(path, base, today=TODAY)
    said = str(found.value)
    for line in path.read_bytes().decode(errors="replace").splitlines():
        if line.startswith("# says: "):
            assert line.removeprefix("# says: ") in said
    assert not re.search(r"Traceback|<class|NoneType|Span\(|Options|frozenset|Error\b", said)
    for problem in found.value.problems:
        assert problem.code in CODES
        assert "\n" not in problem.message
        assert problem.path == str(path)


def test_bad_calls_cover_the_codes_of_calls() -> None:
    """Every code that only a call file can have, C101 to C107, is met by some bad call."""
    named = {code for path in BAD for code in re.findall(rb"C\d{3}", path.read_bytes())}
    assert named == {f"C10{n}".encode() for n in range(1, 8)} <= {c.encode() for c in CODES}


def test_utf_16_is_not_read(base: KnowledgeBase) -> None:
    """A call saved as UTF-16 is refused as not UTF-8, with one problem."""
    raw = "reported: 2026-10-06\nweed: dandelion\n".encode("utf-16")
    with pytest.raises(ProblemsFound) as found:
        parse_call(raw, "call.yaml", base)
    assert [p.code for p in found.value.problems] == ["K005"]


def test_an_empty_file(base: KnowledgeBase) -> None:
    """A file of no bytes is one problem of the whole file."""
    assert problems(base, "") == ["K007 0:0"]


def test_no_such_file(base: KnowledgeBase, tmp_path: Path) -> None:
    """A file that does not exist, and a folder in its place, are problems and not crashes."""
    for path, code in ((tmp_path / "none.yaml", "K001"), (tmp_path, "K002")):
        with pytest.raises(ProblemsFound) as found:
            load_call(path, base)
        assert [code] == [p.code for p in found.value.problems]


def test_an_unknown_key_hides_nothing_else(base: KnowledgeBase) -> None:
    """Values are read in the same run in which a key is unknown, so both are told at once."""
    text = "reported: 2026-10-06\nwed: dandelion\nproduct: larkmor\n"
    assert problems(base, text) == ["K101 2:1", "C103 3:10"]


def test_a_retired_id_names_its_successor(base: KnowledgeBase) -> None:
    """An id that was given up is a problem whose hint names what took its place."""
    retired = {"gill": Retired("ground-ivy", "2026-01-01", "renamed")}
    with pytest.raises(ProblemsFound) as found:
        parse_call("reported: 2026-10-06\nweed: gill", "c", replace(base, retired=retired))
    (problem,) = found.value.problems
    assert (problem.code, problem.line, problem.column) == ("C103", 2, 7)
    assert problem.hint == "it was retired; use ground-ivy"


def test_today_is_the_last_day_of_a_call(base: KnowledgeBase) -> None:
    """A call of today is read, one of tomorrow is not, and without a today any day is."""
    assert parse_call("reported: 2026-11-25", "c", base, today=TODAY).reported == TODAY
    assert problems(base, "reported: 2026-11-26") == ["C104 1:11"]
    later = parse_call("reported: 2026-11-26", "c", base)
    assert later.reported == dt.date(2026, 11, 26)


def test_the_day_of_the_call_counts_as_before_it(base: KnowledgeBase) -> None:
    """What happened on the day of the call, at any hour, is not after the call."""
    call = read(
        base,
        "treatment: [{sprayed: 2026-10-06 23:00}]\n"
        "events: [{rained: 2026-10-06 evening}]\nseen: {on: 2026-10-06}\n",
    )
    assert call.applications[0].sprayed is not None


# ---- good calls --------------------------------------------------------------------------------


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_example_call_is_read(base: KnowledgeBase, path: Path) -> None:
    """Every example call of the knowledge base is read without a problem before today."""
    call = load_call(path, base, today=TODAY)
    assert call.reported <= TODAY


def test_almost_nothing_told(base: KnowledgeBase) -> None:
    """A call needs its day only; all else stays untold, and the file's name is its reference."""
    call = parse_call("reported: 2026-10-06", "LM-77.yaml", base)
    assert (call.reference, call.weed, call.product) == ("LM-77", None, None)
    assert (call.applications, call.events, call.looks, call.told) == ((), (), (), {})


def test_unknown_is_untold(base: KnowledgeBase) -> None:
    """`unknown` says nothing, be it for a choice, an amount, a time, a label or an id."""
    call = read(
        base,
        """\
site: {region: unknown, turf: unknown, cover: unknown, mowing_height: unknown}
weed: unknown
product: unknown
actives: {triclopyr: unknown}
label: unknown
traits: {leaves: unknown}
treatment:
  - {sprayed: unknown, amount: unknown, coverage: unknown, also_in_tank: unknown}
events:
  - {mowed: unknown}
seen: {on: unknown, symptoms: unknown, left: unknown}
""",
    )
    assert (call.region, call.turf, call.weed, call.product) == (None, None, None, None)
    assert (call.mowing_height, call.told, call.traits, call.events) == (None, {}, {}, ())
    only = call.applications[0]
    assert (only.sprayed, only.amount, only.in_tank, only.told) == (None, None, None, {})
    assert call.label.rate is None
    assert [look.told for look in call.looks] == [{}]


def test_told_keeps_words_and_lines(base: KnowledgeBase) -> None:
    """What is told is kept as value, as words and with its line, wherever in the file it stands."""
    call = read(
        base,
        """\
site:
  cover: thin
  features:
    - shade
    - clay-soil
treatment:
  - sprayed: 2026-09-13
    grass_height: 2 to 3 in
    felt:
      air: 71 F
""",
    )
    assert call.told["cover"].value == Options.of("thin")
    assert (call.told["cover"].words, call.told["cover"].line) == ("cover: thin", 3)
    assert call.told["site.clay-soil"].line == 6
    told = call.applications[0].told
    assert (told["grass_height"].value, told["grass_height"].line) == (Span(2, 3), 9)
    assert (told["air_temp"].value, told["air_temp"].line) == (Span(71, 71), 11)
    assert call.applications[0].line == 8


def test_units_are_converted(base: KnowledgeBase) -> None:
    """Metric amounts come out in the units of the facts and of the label."""
    call = read(
        base,
        """\
label: {rainfast: 90 min, interval: 3 weeks, temperature: 10 to 30 C}
treatment:
  - {sprayed: 2026-09-13, felt: {air: 20 C}, product_age: 18 months}
seen: {left: 3 out of 4}
""",
    )
    assert (call.label.rainfast_h, call.label.interval_days) == (1.5, 21)
    assert call.label.temperature == Span(50, 86)
    assert call.applications[0].told["air_temp"].value == Span(68, 68)
    assert call.applications[0].told["product_age"].value == Span(1.5, 1.5)
    assert call.looks[0].told["left"].value == Span(0.75, 0.75)


def test_events_count_from_the_last_spraying(base: KnowledgeBase) -> None:
    """Times told by the spraying count from the last one whose date is known."""
    call = read(
        base,
        """\
treatment:
  - sprayed: 2026-08-16 10:00
  - sprayed: 2026-09-13 10:00
  - sprayed: unknown
events:
  - {rained: 3 hours after spraying}
  - {mowed: none}
""",
    )
    rained, mowed = call.events
    assert rained.when is not None
    assert rained.when.low == dt.datetime(2026, 9, 13, 13)
    assert (mowed.when, mowed.words, mowed.line) == (None, "mowed none", 8)


def test_a_look_without_a_day_is_of_the_day_of_the_call(base: KnowledgeBase) -> None:
    """An observation that gives no day was made on the day of the call."""
    call = read(base, "seen: {symptoms: none}")
    assert call.looks[0].on.low == dt.datetime(2026, 10, 6)
    assert call.looks[0].on.high == dt.datetime(2026, 10, 7)


def test_applications_stand_in_the_order_of_time(base: KnowledgeBase) -> None:
    """Applications told the last one first are put in the order of time, and keep their lines."""
    call = read(
        base,
        """\
treatment:
  - {sprayed: 2026-09-13, amount: 2 fl oz}
  - {sprayed: 2026-08-10, amount: 1 fl oz}
""",
    )
    assert [a.line for a in call.applications] == [4, 3]


def test_applications_that_may_be_in_order_stay(base: KnowledgeBase) -> None:
    """Where the times do not settle the order, or one is not known, the caller's order stands."""
    for first, second in (
        ("about 2026-09-13", "2026-09-12"),
        ("2026-09-13", "2026-09-13 morning"),
        ("unknown", "2026-09-12"),
    ):
        told = f"treatment:\n  - {{sprayed: {first}}}\n  - {{sprayed: {second}}}\n"
        assert [a.line for a in read(base, told).applications] == [3, 4]


def test_looks_stand_in_the_order_of_time(base: KnowledgeBase) -> None:
    """Observations told the newest first are put in the order of time."""
    call = read(
        base,
        "seen: [{on: 2026-10-06, symptoms: none}, {on: 2026-09-20, symptoms: twisted}]",
    )
    assert [str(look.on.low.date()) for look in call.looks] == ["2026-09-20", "2026-10-06"]


def test_answers_stand_apart_from_what_was_told(base: KnowledgeBase) -> None:
    """An answer does not overwrite what the caller had told of the same fact."""
    call = read(
        base,
        """\
site: {cover: thin, features: [shade]}
answers: {cover: thick, site.shade: no}
treatment:
  - sprayed: 2026-09-13
    stage: flowering
    answers: {stage: vegetative}
""",
    )
    assert call.told["cover"].value == Options.of("thin")
    assert call.answers["cover"].value == Options.of("thick")
    assert call.told["site.shade"].value == Options.of("yes")
    assert call.answers["site.shade"].value == Options.of("no")
    only = call.applications[0]
    assert only.told["stage"].value == Options.of("flowering")
    assert only.answers["stage"].value == Options.of("vegetative")


def test_a_tank_of_one(base: KnowledgeBase) -> None:
    """An empty list of partners says that nothing else was in the tank; no list says nothing."""
    told = read(base, "treatment:\n  - also_in_tank: []\n  - {}\n")
    assert [a.in_tank for a in told.applications] == [(), None]


def test_a_partner_nobody_can_name(base: KnowledgeBase) -> None:
    """A partner in the tank may be unknown; it is kept as one that is there and has no name."""
    told = read(base, "treatment:\n  - also_in_tank: [{product: unknown}]\n")
    assert told.applications[0].in_tank == (None,)


def test_the_label_read_out(base: KnowledgeBase) -> None:
    """A label read out over the phone keeps what was read and leaves the rest open."""
    call = read(base, "label: {controls: [ground-ivy], per_year: 2, rate: 1 to 1.5 fl oz/1000 ft2}")
    assert call.label.controls == ("ground-ivy",)
    assert call.label.suppresses is None
    assert call.label.per_year == 2
    assert call.label.rate is not None
    assert call.label.rate.to("fl oz/1000 ft2") == Span(1, 1.5)
    assert call.label.rainfast_h is None


def test_a_rate_at_the_edge_of_the_plausible(base: KnowledgeBase) -> None:
    """A rate is refused only where the amounts told leave no reading that can be meant."""
    fits = "treatment:\n  - {amount: 60 to 70 fl oz, area: 1000 ft2}\n"
    assert read(base, fits).applications[0].amount is not None
    over = "reported: 2026-10-06\ntreatment:\n  - {amount: 65 fl oz, area: 1000 ft2}\n"
    assert problems(base, over) == ["C102 3:14"]
