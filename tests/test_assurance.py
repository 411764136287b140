"""`cameback check --coverage` and `--against`: what examples exercise, what an edit would change.

A copy of the knowledge base with few calls and one region is edited in small ways, and what differs
must be just what the edit does. Calls drawn at random are held to the relations between facts.
"""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from example_calls import ROOT
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from typer.testing import CliRunner

from advisor.checking import coverage as covering
from advisor.checking.boxes import Space
from advisor.checking.comparison import Comparison, compare
from advisor.checking.coverage import coverage, has_verdict
from advisor.checking.drawn import Dice, Drawing
from advisor.diagnosis import Advisor
from advisor.facts import gather
from advisor.knowledge import load
from advisor.model import Bound, KnowledgeBase
from advisor.render.comparison_page import comparison_document, comparison_page
from advisor.render.coverage_page import coverage_document, coverage_page
from advisor.render.layout import Page
from advisor.terms import Options, Span, Truth
from cli.main import app

SHIPPED = ROOT / "knowledge"
CALL = "examples/ground-ivy-watered.yaml"
REGION = "lake-plain"


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the knowledge base with one example call, one region and two answers."""
    copy = tmp_path_factory.mktemp("small") / "knowledge"
    shutil.copytree(SHIPPED, copy, ignore=shutil.ignore_patterns("examples", "answers", "regions"))
    for name in (CALL, f"regions/{REGION}.yaml"):
        (copy / name).parent.mkdir()
        shutil.copy(SHIPPED / name, copy / name)
    (copy / "answers").mkdir()
    for name in ("rain-after-spraying", "what-to-wear"):
        text = (SHIPPED / "answers" / f"{name}.yaml").read_text(encoding="utf-8")
        text = re.sub(r"(?m)^related: .*$", "related: []", text)
        (copy / "answers" / f"{name}.yaml").write_text(text, encoding="utf-8")
    for name in ("phrasings.yaml", "synonyms.yaml"):
        (copy / name).unlink()
    return copy


@pytest.fixture
def edited(small: Path, tmp_path: Path) -> Path:
    """A copy of the copy, to be edited."""
    return Path(shutil.copytree(small, tmp_path / "knowledge"))


@pytest.fixture(scope="module")
def before(small: Path) -> KnowledgeBase:
    """The copy, loaded."""
    return load(small)


def edit(path: Path, old: str, new: str) -> None:
    """Replace a text that stands in a file."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{path} no longer holds {old!r}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def validate(document: object, name: str) -> None:
    """Hold a document against its schema."""
    schemas = [json.loads(p.read_text("utf-8")) for p in (ROOT / "schemas").glob("*.schema.json")]
    registry = Registry().with_resources([(s["$id"], Resource.from_contents(s)) for s in schemas])
    schema = next(s for s in schemas if s["$id"].endswith(f"/{name}.schema.json"))
    Draft202012Validator(schema, registry=registry).validate(document)


def cameback(*words: str) -> tuple[int, str, str]:
    """Exit code, output and errors of one command."""
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})
    return result.exit_code, result.stdout, result.stderr


# ---- against ------------------------------------------------------------------------------------


def differing(found: Comparison, what: str) -> dict[str, dict[str, tuple[str, str]]]:
    """What differs of one sort: by name, and in it by what."""
    replayed = next(one for one in found.replayed if one.what == what)
    return {d.name: {c.what: (c.before, c.after) for c in d.changes} for d in replayed.differing}


def test_a_base_answers_like_its_copy(before: KnowledgeBase, small: Path) -> None:
    """Two folders with the same files answer everything alike."""
    found = compare(before, load(small), small, "clips")
    assert [(one.what, one.differing) for one in found.replayed] == [
        ("calls", ()), ("plans", ()), ("answers", ())
    ]  # fmt: skip
    counts = {one.what: one.count for one in found.replayed}
    answers = 2 * (1 + len(before.products))
    assert counts == {"calls": 1, "plans": len(before.weeds), "answers": answers}


def test_an_edit_to_one_loss_is_seen_where_it_tells(
    before: KnowledgeBase, small: Path, edited: Path
) -> None:
    """With one loss made smaller, its cause loses share where it is shown; kind and stops stay."""
    edit(edited / "causes/wet-before.yaml", "loss: {creeping: 0.45", "loss: {creeping: 0.2")
    found = compare(before, load(edited), small, "clips")
    changes = differing(found, "calls")[CALL]
    was, now = (float(side.removesuffix(" %")) for side in changes["share of wet-before"])
    assert now < was - 1
    moved = {what for what in changes if not what.startswith(("share of", "control"))}
    assert moved <= {"first question", "what to change"}
    assert differing(found, "answers") == {}
    done = [float(side.removesuffix(" %")) for side in changes["control as done"]]
    assert done[1] > done[0]


def test_an_edit_to_a_label_reaches_the_answers(
    before: KnowledgeBase, small: Path, edited: Path
) -> None:
    """A longer dry time on one label changes the answers about it, and those about no other."""
    edit(edited / "products/quickfell-spot.yaml", "rainfast: 1 h", "rainfast: 5 h")
    found = compare(before, load(edited), small, "clips")
    changes = differing(found, "answers")
    assert "rain-after-spraying for quickfell-spot" in changes
    assert {name for name in changes if " for " in name} == {
        "rain-after-spraying for quickfell-spot"
    }
    page = comparison_page(found, Page())
    assert "rain-after-spraying for quickfell-spot" in page
    assert "1 hour" in page
    assert "5 hours" in page


def test_what_stands_on_one_side_only_is_said(
    before: KnowledgeBase, small: Path, edited: Path
) -> None:
    """An answer that is gone, and a call that no longer loads, differ as a whole."""
    (edited / "answers/what-to-wear.yaml").unlink()
    without = load(edited)
    weeds = {name: weed for name, weed in without.weeds.items() if name != "ground-ivy"}
    found = compare(before, replace(without, weeds=weeds), small, "clips")
    assert differing(found, "answers")["what-to-wear"] == {"": ("there", "not there")}
    assert differing(found, "plans")[f"ground-ivy in {REGION}"] == {"": ("there", "not there")}
    assert "C103" in differing(found, "calls")[CALL]["problems"][1]
    validate(comparison_document(found), "comparison")


def test_the_command_lists_what_would_change(small: Path, edited: Path) -> None:
    """`check --against` exits with 0 and ends in a count; with --json it prints its document."""
    edit(edited / "causes/wet-before.yaml", "loss: {creeping: 0.45", "loss: {creeping: 0.2")
    words = ("check", str(small), "--against", str(edited), "--engine", "clips")
    code, out, err = cameback(*words)
    assert (code, err) == (0, "")
    assert "share of wet-before" in out
    assert re.search(
        r"\n1 of 1 calls differ; \d+ of \d+ plans differ; 0 of \d+ answers differ\n", out
    )
    code, out, err = cameback(*words, "--json")
    assert (code, err) == (0, "")
    validate(json.loads(out), "comparison")


def test_a_folder_that_does_not_load_cannot_be_compared(small: Path, edited: Path) -> None:
    """`check --against` a broken folder reports its problems and exits with 3."""
    edit(edited / "stops/windy.yaml", "title:", "titel:")
    code, out, err = cameback("check", str(small), "--against", str(edited))
    assert (code, out) == (3, "")
    assert "K101" in err


def test_one_question_at_a_time(small: Path) -> None:
    """`check` refuses --coverage together with --against."""
    code, out, err = cameback("check", str(small), "--coverage", "--against", str(small))
    assert (code, out) == (2, "")
    assert "Ask one at a time." in err


def test_the_result_of_a_check_is_a_document_too(edited: Path) -> None:
    """`check --json` prints a document, with every problem and exit code 3 where there are some."""
    edit(edited / "causes/too-cold.yaml", "about: [cold-days-after, too-hot]", "about: [too-hot]")
    code, out, _ = cameback("check", str(edited), "--engine", "clips", "--json")
    found = json.loads(out)
    validate(found, "check")
    assert (code, found["sound"]) == (3, False)
    assert {"K415", "K416"} <= {problem["code"] for problem in found["problems"]}


# ---- coverage -----------------------------------------------------------------------------------


def test_everything_is_counted_once(before: KnowledgeBase, small: Path) -> None:
    """Each kind, cause, stop, rule, question and addition is shown, open or never exercised."""
    found = coverage(before, small, "clips", calls=4)
    names = {
        "kinds": set(before.kinds),
        "causes": set(before.causes),
        "stops": set(before.stops),
        "rules": {rule.id for rule in before.rules()},
        "additions to answers": {
            f"{t.id} {i + 1}" for t in before.answers.values() for i in range(len(t.add))
        },
    }
    for one in found.covered:
        every = (*one.shown, *one.open, *one.never)
        assert len(set(every)) == len(every) == one.of
        if one.what in names:
            assert set(every) == names[one.what]
    by_what = {one.what: one for one in found.covered}
    assert "wet-before" in by_what["causes"].shown
    assert "watered-day-of-spray" in by_what["rules"].shown
    assert "green-strips" not in by_what["rules"].shown
    asked = by_what["questions"]
    assert set(asked.never) | set(asked.shown) <= set(before.facts)
    validate(coverage_document(found), "coverage")
    page = coverage_page(found, Page())
    for one in found.covered:
        assert re.search(rf"(?m)^  {one.what} +{len(one.shown)} ", page)


def test_the_shipped_calls_show_every_kind_and_nearly_every_cause(base: KnowledgeBase) -> None:
    """Every kind of comeback is shown by an example call, and no cause is never met."""
    found = coverage(base, SHIPPED, "clips", calls=0)
    by_what = {one.what: one for one in found.covered}
    assert set(by_what["kinds"].shown) == set(base.kinds)
    assert by_what["causes"].never == ()
    assert len(by_what["rules"].never) <= len(list(base.rules())) / 20


def test_the_command_counts(small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`check --coverage` prints a table and exits with 0; with --json it prints its document."""
    monkeypatch.setitem(coverage.__kwdefaults__, "calls", 6)
    code, out, err = cameback("check", str(small), "--coverage", "--engine", "clips")
    assert (code, err) == (0, "")
    assert "What 1 example calls exercise" in out
    assert "of 6 get no verdict" in out
    code, out, err = cameback("check", str(small), "--coverage", "--engine", "clips", "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    validate(found, "coverage")
    assert [one["calls"] for one in found["random"]] == [6] * len(covering.TOLD)


# ---- calls at random ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def drawing(base: KnowledgeBase) -> Drawing:
    """Calls of the shipped base, drawn with one seed."""
    return Drawing(base, 7)


def test_the_more_is_told_the_more_get_a_verdict(base: KnowledgeBase, drawing: Drawing) -> None:
    """Of calls drawn at random none gets a verdict that tells nothing, and all that tell all do."""
    advisor = Advisor(base, "clips")
    without = [
        sum(not has_verdict(advisor.diagnose(drawing.call(n, told))) for n in range(40))
        for told in (0.0, 0.25, 0.75, 1.0)
    ]
    assert without == sorted(without, reverse=True)
    assert (without[0], without[-1]) == (40, 0)
    assert 0 < without[2] < 8


def test_a_verdict_is_a_kind_or_a_mistake_that_is_shown(
    base: KnowledgeBase, drawing: Drawing
) -> None:
    """A call has a verdict just where a kind is shown, or a mistake that can explain it."""
    advisor = Advisor(base, "clips")
    for n in range(12):
        found = advisor.diagnose(drawing.call(n, 0.3))
        kinds = [k for k in found.kinds if k.truth is Truth.SHOWN]
        mistakes = [
            c
            for c in found.weighing.causes
            if c.truth is Truth.SHOWN
            and c.explains is not Truth.RULED_OUT
            and c.cause.group not in ("biology", "site")
        ]
        assert has_verdict(found) == bool(kinds or mistakes)


@settings(max_examples=40, deadline=None)
@given(number=st.integers(0, 10_000), told=st.sampled_from([0.25, 0.5, 1.0]))
def test_drawn_calls_keep_to_what_always_holds(
    base: KnowledgeBase, drawing: Drawing, number: int, told: float
) -> None:
    """The facts of a drawn call can all be true together, and nothing in it is contradicted."""
    facts = gather(drawing.call(number, told), base)
    assert facts.conflicts == ()
    space = Space(base.facts, base.relations)
    bound = {fact for relation in base.relations for fact in relation.facts}
    for n in range(len(facts.of_applications)):
        values = {name: value for name, value in facts.values(n).items() if name in bound}
        assert space.possible(space.given(values))


def test_a_call_is_drawn_the_same_every_time(base: KnowledgeBase, drawing: Drawing) -> None:
    """The same seed and number give the same call; another of either gives another call."""
    call = drawing.call(3, 0.5)
    assert Drawing(base, 7).call(3, 0.5) == call
    assert Drawing(base, 8).call(3, 0.5) != call
    assert drawing.call(4, 0.5) != call


def test_values_come_as_often_as_the_facts_say(base: KnowledgeBase) -> None:
    """Of two thousand values drawn, each option and band comes up as often as it should, nearly."""
    dice = Dice("often")
    rolls = 2000
    for name in ("coverage", "dry_hours_before"):
        fact = base.facts[name]
        values = [dice.value(fact, name, n) for n in range(rolls)]
        for option, known in fact.options.items():
            share = sum(value == Options.of(option) for value in values) / rolls
            assert share == pytest.approx(known.how_often, abs=0.04)
        for low, high, expected in fact.bands:
            inside = [v for v in values if isinstance(v, Span) and low <= v.low < high]
            assert len(inside) / rolls == pytest.approx(expected, abs=0.04)


# ---- relations and what products and weeds really are -------------------------------------------


def test_labels_keep_to_the_relations_on_temperatures(base: KnowledgeBase) -> None:
    """Every label's temperatures lie where the relations between facts say all labels' do."""
    least = next(
        r.least
        for r in base.relations
        if isinstance(r, Bound) and r.facts == ("air_temp", "label_heat_margin")
    )
    most = next(
        -r.least
        for r in base.relations
        if isinstance(r, Bound) and r.facts == ("air_temp", "label_cold_margin")
    )
    limits = [p.temperature for p in base.products.values() if p.temperature]
    assert [span for span in limits if span.high < least or span.low > most] == []
    assert limits != []
