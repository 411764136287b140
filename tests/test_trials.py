"""Published trials against the kill model: the sums by hand, the document, the file's mistakes.

What the trials found stands in knowledge/trials.yaml; agreement is reported in docs/trials.md and
is never asserted here, or the trials that disagree would be the first to go.
"""

from __future__ import annotations

import importlib.util
import shutil
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest
from example_calls import KNOWLEDGE, ROOT, knowledge
from hypothesis import given
from hypothesis import strategies as st

from advisor.knowledge import load
from advisor.model import DayOfYear, FieldTrial, Stretch
from advisor.problem import ProblemsFound
from advisor.published import Comparison, compare, compare_all, expect, of_weed
from advisor.terms import Span

BASE = knowledge()
TRIALS = BASE.trials


def script() -> ModuleType:
    """The script that writes docs/trials.md."""
    path = ROOT / "tests" / "bench" / "compare_trials.py"
    spec = importlib.util.spec_from_file_location("compare_trials", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


# ---- the trials --------------------------------------------------------------------------------


def test_there_are_trials_enough() -> None:
    """At least 25 results of at least eight weeds stand in the file, each with a source."""
    assert len(TRIALS) >= 25
    assert len({trial.weed for trial in TRIALS.values()}) >= 8


@pytest.mark.parametrize("trial", TRIALS.values(), ids=TRIALS)
def test_every_trial_has_its_source(trial: FieldTrial) -> None:
    """The source of each result is listed, and its weed, its rules and its figures are there."""
    assert trial.basis.kind == "source"
    assert trial.basis.source in BASE.sources
    assert trial.weed in BASE.weeds
    assert set(trial.actives) <= BASE.weeds[trial.weed].control.keys()
    assert 0 <= trial.control.low <= trial.control.high <= 1
    fewest, most = trial.applications
    assert 1 <= fewest <= most
    assert trial.interval_days is None or most > 1


def test_trials_that_disagree_are_kept() -> None:
    """The file holds results above, below and inside what the model expects."""
    compared = compare_all(BASE)
    assert [one.trial for one in compared] == list(TRIALS.values())
    assert any(one.off > 0.05 for one in compared)
    assert any(one.off < -0.05 for one in compared)
    assert any(one.agrees for one in compared)
    assert any(not one.meets for one in compared)


# ---- by hand -----------------------------------------------------------------------------------


def share(weed: str, active: str) -> float:
    """The knowledge base's figure."""
    return BASE.weeds[weed].control[active].share


def test_two_sprays_by_hand() -> None:
    """What survives one spray meets the next: two of k leave (1 - k)^2."""
    k = share("creeping-bentgrass", "mesotrione")
    expected = expect(TRIALS["bentgrass-mesotrione-twice"], BASE)
    assert expected.share == pytest.approx(1 - (1 - k) ** 2)


def test_the_season_counts_day_by_day() -> None:
    """Over a window the expected share is the mean over its days, the ends the worst and best day.

    Dandelion from 21 March to 15 June: shares 0.42 to 19 April, 0.4 to 15 May, then 0.5.
    """
    dandelion = BASE.weeds["dandelion"]
    days = [0.42] * 30 + [0.40] * 26 + [0.50] * 31
    shares = [s.share for s in dandelion.seasons]
    assert {0.42, 0.40, 0.50} <= set(shares)
    expected = expect(TRIALS["dandelion-spring"], BASE)
    control = dandelion.control["2,4-D"]
    assert expected.share == pytest.approx(control.share * sum(days) / len(days))
    assert expected.low == pytest.approx(control.low * 0.40)
    assert expected.high == pytest.approx(control.high * 0.50)


def test_the_interval_moves_the_season() -> None:
    """A second spray falls into the season of its own day: five weeks on, nutlets are ripe."""
    trial = replace(
        TRIALS["nutsedge-halosulfuron-from-june"],
        season=Stretch(DayOfYear(7, 20), DayOfYear(7, 20)),
        interval_days=(35, 35),
    )
    nutsedge = BASE.weeds["yellow-nutsedge"]
    k = nutsedge.control["halosulfuron"].share
    first, second = (nutsedge.season_on(day).share for day in (DayOfYear(7, 20), DayOfYear(8, 24)))
    assert second < first
    expected = expect(trial, BASE).share
    assert expected == pytest.approx(1 - (1 - k * first) * (1 - k * second))


def test_a_day_after_new_year_is_found() -> None:
    """An interval may run over new year."""
    trial = replace(
        TRIALS["nutsedge-halosulfuron-from-june"],
        weed="wild-garlic",
        actives={"2,4-D": 4},
        season=Stretch(DayOfYear(11, 15), DayOfYear(11, 15)),
        interval_days=(120, 120),
    )
    garlic = BASE.weeds["wild-garlic"]
    k = garlic.control["2,4-D"].share
    second = garlic.season_on(DayOfYear(3, 15)).share
    assert expect(trial, BASE).share == pytest.approx(1 - (1 - k) * (1 - k * second))


def test_actives_of_one_group_do_what_the_best_does() -> None:
    """Three phenoxies on resistant plants: the best of them, less what the rule takes."""
    trial = TRIALS["buckhorn-phenoxies-on-resistant-plants"]
    rules = {rule.id: rule for rule in BASE.rules()}
    loss = rules["resistant-no-symptom"].loss["taproot"]
    best = max(share(trial.weed, active) for active in trial.actives)
    assert expect(trial, BASE).share == pytest.approx(best * (1 - loss))
    alone = replace(trial, rules=())
    assert expect(alone, BASE).share == pytest.approx(best)


def test_actives_of_two_groups_add_to_each_other() -> None:
    """Two groups act independently, as Bliss (1939) has it."""
    trial = replace(TRIALS["star-sulfentrazone"], actives={"sulfentrazone": 14, "halosulfuron": 2})
    one, two = share(trial.weed, "sulfentrazone"), share(trial.weed, "halosulfuron")
    assert expect(trial, BASE).share == pytest.approx(1 - (1 - one) * (1 - two))


def test_a_range_of_applications() -> None:
    """The low end takes the fewest applications, the high end the most."""
    trial = replace(TRIALS["bentgrass-mesotrione-twice"], applications=(1, 3))
    control = BASE.weeds[trial.weed].control["mesotrione"]
    expected = expect(trial, BASE)
    assert expected.low == pytest.approx(control.low)
    assert expected.share == pytest.approx(1 - (1 - control.share) ** 2)
    assert expected.high == pytest.approx(1 - (1 - control.high) ** 3)


# ---- comparing ---------------------------------------------------------------------------------


@given(st.floats(0, 1), st.floats(0, 1))
def test_the_difference_is_to_the_near_end(one: float, two: float) -> None:
    """The difference is 0 in the published range, else the way to its near end, signed."""
    published = Span(*sorted((one, two)))
    found = compare(replace(TRIALS["dandelion-fall"], control=published), BASE)
    expected = found.expected.share
    if published.low <= expected <= published.high:
        assert found.off == 0
    elif expected > published.high:
        assert found.off == pytest.approx(expected - published.high)
    else:
        assert found.off == pytest.approx(expected - published.low)
    assert found.agrees == (abs(found.off) < 0.005)
    if found.agrees:
        assert found.meets


def test_agreement_with_its_own_source_is_marked() -> None:
    """A result whose source set the weed's figure or its seasons says so; another does not."""

    def of(name: str) -> Comparison:
        return compare(TRIALS[name], BASE)

    assert of("dandelion-fall").set_from_it
    assert of("bentgrass-mesotrione-twice").set_from_it
    assert not of("bentgrass-mesotrione-in-ohio").set_from_it
    assert not of("dandelion-mix-after-bloom").set_from_it


def test_trials_of_a_weed() -> None:
    """The trials of a weed are those of its name, and those of all weeds are all."""
    found = [one.trial.id for weed in BASE.weeds for one in of_weed(weed, BASE)]
    assert sorted(found) == sorted(TRIALS)


# ---- the document ------------------------------------------------------------------------------


def test_the_document_is_up_to_date() -> None:
    """docs/trials.md is what the script writes now: run tests/bench/compare_trials.py."""
    written = (ROOT / "docs" / "trials.md").read_text(encoding="utf-8")
    assert written == script().document(BASE)


def test_the_document_counts_right() -> None:
    """The first row of its summary counts the results, those within and those that meet."""
    compared = compare_all(BASE)
    within = sum(one.agrees for one in compared)
    meets = sum(one.meets for one in compared)
    assert f"| all | {len(compared)} | {within} | {meets} |" in script().document(BASE)


def test_the_document_names_the_furthest() -> None:
    """Every result ten points off and more stands in the list of the furthest."""
    text = script().document(BASE)
    far = text[text.index("## Furthest off") : text.index("## All results")]
    for one in compare_all(BASE):
        assert (f"`{one.trial.id}`" in far) == (abs(one.off) >= script().FAR)


def test_the_script_tells_an_old_document(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With `--check` the script writes nothing and exits with 1 where the document is old."""
    module = script()
    monkeypatch.setattr(module, "DOCUMENT", tmp_path / "trials.md")
    assert module.main(["--check"]) == 1
    assert module.main([]) == 0
    assert module.main(["--check"]) == 0
    (tmp_path / "trials.md").write_text("old")
    assert module.main(["--check"]) == 1
    assert (tmp_path / "trials.md").read_text() == "old"


# ---- mistakes in the file ----------------------------------------------------------------------


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the knowledge base whose trials may be spoiled."""
    return Path(shutil.copytree(KNOWLEDGE, tmp_path_factory.mktemp("trials") / "knowledge"))


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("weed: ground-ivy", "weed: ground-iwy", "K201"),
        ("{source: turf-research-2017-ground-ivy}", "{source: turf-research-2071}", "K201"),
        ("rules: [resistant-no-symptom]", "rules: [resistant-no-symptoms]", "K201"),
        ("control: [0.53, 1.0]", "control: [1.0, 0.53]", "K307"),
        ("control: [0.53, 1.0]", "control: [0.53, 1.1]", "K105"),
        ("measured: plants", "measured: leaves", "K104"),
        ("applications: [1, 1]", "applications: [0, 1]", "K105"),
        ("season: {from: 10-01, to: 11-01}", "season: {from: 10-32, to: 11-01}", "K106"),
        ("    says: More than 53 %", "    sais: More than 53 %", "K101"),
    ],
)
def test_a_mistake_is_found_in_its_place(folder: Path, old: str, new: str, code: str) -> None:
    """A wrong name, number, day or key in trials.yaml is one problem, on the line it stands on."""
    path = folder / "trials.yaml"
    good = path.read_text(encoding="utf-8")
    line = good[: good.index(old)].count("\n") + 1
    path.write_text(good.replace(old, new, 1), encoding="utf-8")
    try:
        with pytest.raises(ProblemsFound) as found:
            load(folder)
    finally:
        path.write_text(good, encoding="utf-8")
    places = {(Path(p.path).name, p.line, p.code) for p in found.value.problems}
    assert places == {("trials.yaml", line, code)}


def test_an_id_of_a_trial_is_used_once(folder: Path) -> None:
    """A trial that is called like a weed is found: ids are unique over all kinds of entry."""
    path = folder / "trials.yaml"
    good = path.read_text(encoding="utf-8")
    path.write_text(good.replace("  ground-ivy-2-4-d-in-fall:", "  ground-ivy:", 1), "utf-8")
    try:
        with pytest.raises(ProblemsFound) as found:
            load(folder)
    finally:
        path.write_text(good, encoding="utf-8")
    assert [p.code for p in found.value.problems] == ["K204"]
    assert "trials.yaml" in found.value.problems[0].message
