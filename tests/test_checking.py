"""The checker proves itself: faults are put into a copy of the knowledge base, and each is found.

tests/bad/knowledge/edits.txt lists small edits, each with the problem it must give. The files
beside it take the place of whole files of the base; their first line says what to expect and where:
`# expect: CODE line:column, CODE line:column at: FOLDER/FILE`. Adding a case to either needs no
code. The PASS and FAIL blocks in the docstrings of the checks are run as well.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
import shutil
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor import checking, knowledge, knowledge_folder
from advisor.checking import calls, check_folder, control_figures, plans, run
from advisor.checking.logic import contradiction, covers, never_holds
from advisor.checking.subject import Subject
from advisor.checking.trials import Trials
from advisor.diagnosis import Advisor
from advisor.engine.choose import available
from advisor.engine.limits import limits
from advisor.model import Basis, Example, FactDef, KnowledgeBase, Option, Place, Rule
from advisor.problem import Problem
from advisor.schema import Schemas
from advisor.terms import Clause, Condition, Options, Span, Truth
from advisor.yamlfile import Document, read_file

ROOT = Path(__file__).parent.parent
SHIPPED = ROOT / "knowledge"
BAD = sorted((Path(__file__).parent / "bad" / "knowledge").glob("*.yaml"))
EDITS = Path(__file__).parent / "bad" / "knowledge" / "edits.txt"
EXPECT = re.compile(r"# expect: (?P<places>.+?) at: (?P<file>\S+)")
ORDINARY, WELL_MADE = (
    "examples/violet-it-came-back.yaml",
    "examples/well-made/dandelion-in-fall.yaml",
)
CHECKS: list[ModuleType] = [
    module
    for found in pkgutil.iter_modules(checking.__path__)
    for module in [importlib.import_module(f"advisor.checking.{found.name}")]
    if hasattr(module, "check")
]

Spot = tuple[str, int, int, str]
"""File, line, column and code of a problem."""
Before = frozenset[tuple[str, str, str]]
"""File, code and message of the problems that were there before."""


WINDY, HOT = "stops/windy.yaml", "causes/too-hot.yaml"
FAST = "clips"
"""The engine that starts fastest; that both find the same is tested by name below."""


@dataclass(frozen=True)
class Edit:
    """A small edit of one file, and the problem it must give."""

    code: str
    file: str
    old: str
    new: str
    elsewhere: tuple[tuple[str, str, str], ...]
    """Code, file and marked text of the problems that are not at a mark in `new`."""


def edits() -> list[Edit]:
    """The edits listed in tests/bad/knowledge/edits.txt."""
    found = []
    for entry in re.split("^== ", EDITS.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]:
        head, *lines = entry.split("\n")
        code, file = head.split(" ")
        old, new = ("\n".join(line[2:] for line in lines if line.startswith(sign)) for sign in "-+")
        elsewhere = tuple(re.findall(r"^@ (\S+) (\S+): (.*)$", entry, re.MULTILINE))
        found.append(Edit(code, file, old, new, elsewhere))
    return found


ALL_EDITS = edits()


# ---- the copy -----------------------------------------------------------------------------------


@pytest.fixture(scope="module", autouse=True)
def _read_once() -> Iterator[None]:
    """Files that stay the same are parsed, and fit their schema, once; so with plans."""
    read, fit = read_file, Schemas.check
    planned, used = plans.has_plan_on, plans.has_use
    pages: dict[tuple[str, bytes], Document] = {}
    fits: dict[tuple[str, int], tuple[Document, list[Problem]]] = {}

    def read_once(path: Path, shown_as: str | None = None) -> Document:
        key = str(path), path.read_bytes()
        if key not in pages:
            pages[key] = read(path, shown_as)
        return pages[key]

    def fit_once(self: Schemas, kind: str, document: Document) -> list[Problem]:
        key = kind, id(document)
        if key not in fits:
            fits[key] = document, fit(self, kind, document)
        return list(fits[key][1])

    plan: dict[object, bool] = {}
    written: list[tuple[KnowledgeBase, str, dict[str, str]]] = []

    def shelf(base: KnowledgeBase, weed: str) -> tuple[str, str]:
        """All of a base that a plan for a weed rests on, written out once for each base."""
        if not written or written[0][0] is not base:
            written[:] = [(base, repr((base.products, base.turf, base.settings)), {})]
        _, around, weeds = written[0]
        if weed not in weeds:
            weeds[weed] = repr(base.weeds[weed])
        return around, weeds[weed]

    def plan_once(base: KnowledgeBase, planners: Any, weed: str, grass: str) -> bool:
        key = weed, grass, *shelf(base, weed)
        if key not in plan:
            plan[key] = planned(base, planners, weed, grass)
        return plan[key]

    def use_once(base: KnowledgeBase, planners: Any, name: str) -> bool:
        product = base.products[name]
        key = name, *(shelf(base, w) for w in (*product.controls, *product.suppresses))
        if key not in plan:
            plan[key] = used(base, planners, name)
        return plan[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plans, "has_plan_on", plan_once)
        patch.setattr(plans, "has_use", use_once)
        patch.setattr(knowledge_folder, "read_file", read_once)
        patch.setattr(Schemas, "check", fit_once)
        yield


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the knowledge base with two of its example calls, and no answers.

    Answers name weeds and products everywhere, so that a fault in one of those would show twice.
    """
    copy = tmp_path_factory.mktemp("checking") / "knowledge"
    shutil.copytree(SHIPPED, copy, ignore=shutil.ignore_patterns("examples", "answers"))
    (copy / "answers").mkdir()
    for name in (ORDINARY, WELL_MADE):
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(SHIPPED / name, copy / name)
    asked = (copy / "synonyms.yaml").read_text(encoding="utf-8")
    asked = re.sub(r"(?m)^first_aid:\n(?: +.*\n)+", "first_aid: {}\n", asked)
    (copy / "synonyms.yaml").write_text(asked, encoding="utf-8")
    (copy / "phrasings.yaml").write_text(
        "from: demo\ntopics: {}\nnot_ours: [what is the weather]\n"
    )
    return copy


@pytest.fixture(scope="module")
def before(folder: Path) -> Before:
    """What is wrong with the copy before anything is done to it: file, code and message."""
    found = check_folder(folder, engine=FAST).problems
    return frozenset((problem.path, problem.code, problem.message) for problem in found)


@contextmanager
def put(path: Path, text: str) -> Iterator[None]:
    """The file holding another text for a while; a new file is gone afterwards."""
    kept = path.read_text(encoding="utf-8") if path.exists() else None
    path.write_text(text, encoding="utf-8")
    try:
        yield
    finally:
        if kept is None:
            path.unlink()
        else:
            path.write_text(kept, encoding="utf-8")


def spots(problems: tuple[Problem, ...], folder: Path) -> list[Spot]:
    """The places and codes of problems, with paths as they are inside the folder."""
    return [
        (Path(p.path).relative_to(folder).as_posix(), p.line, p.column, p.code) for p in problems
    ]


def new_problems(folder: Path, before: Before, engine: str = FAST) -> tuple[Problem, ...]:
    """What is wrong with the folder now and was not before."""
    found = check_folder(folder, engine=engine).problems
    return tuple(p for p in found if (p.path, p.code, p.message) not in before)


def place(text: str, marked: str) -> tuple[int, int]:
    """Line and column of the mark § in a text, itself or in a part of it without the mark."""
    sought = marked if marked == "§" else marked.replace("§", "")
    assert text.count(sought) == 1, f"{sought!r} stands {text.count(sought)} times"
    start = text.index(sought) + marked.index("§")
    return text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)


# ---- faults -------------------------------------------------------------------------------------


@pytest.mark.parametrize("edit", ALL_EDITS, ids=[f"{n}-{e.code}" for n, e in enumerate(ALL_EDITS)])
def test_a_fault_is_found_where_it_is(edit: Edit, folder: Path, before: Before) -> None:
    """One small edit gives exactly the problem it makes: the file, line, column and code."""
    text = (folder / edit.file).read_text(encoding="utf-8")
    marked = text.replace(edit.old, edit.new, 1)
    assert marked != text, f"{edit.file} no longer holds {edit.old!r}"
    expected = [(edit.file, *place(marked, "§"), edit.code)] if "§" in marked else []
    with put(folder / edit.file, marked.replace("§", "")):
        for code, file, there in edit.elsewhere:
            spot = (0, 0) if there == "whole" else place((folder / file).read_text("utf-8"), there)
            expected.append((file, *spot, code))
        assert spots(new_problems(folder, before), folder) == sorted(expected)


@pytest.mark.parametrize("path", BAD, ids=[path.stem for path in BAD])
def test_a_bad_file_is_refused_as_its_first_line_says(
    path: Path, folder: Path, before: Before
) -> None:
    """Each file under tests/bad/knowledge, in its place, gives exactly what it announces."""
    text = path.read_text(encoding="utf-8")
    announced = EXPECT.fullmatch(text.split("\n", 1)[0])
    assert announced is not None
    expected = []
    for entry in announced["places"].split(", "):
        code, line, column = re.split("[ :]", entry)
        expected.append((announced["file"], int(line), int(column), code))
    with put(folder / announced["file"], text):
        assert spots(new_problems(folder, before), folder) == expected


def test_every_code_of_a_check_has_a_fault() -> None:
    """Each code that a check gives is expected by some fault, bad file or test of this file."""
    sources = Path(checking.__file__).parent.glob("*.py")
    given_out = {c for path in sources for c in re.findall('"([CK][0-9]{3})"', path.read_text())}
    expected = {edit.code for edit in ALL_EDITS}
    expected |= {code for edit in ALL_EDITS for code, _, _ in edit.elsewhere}
    expected |= {
        c for path in BAD for c in re.findall("K[0-9]{3}", path.read_text().split("\n")[0])
    }
    assert given_out - expected == {"K020", "K601"}  # tested by name below
    assert {"K401", "K402", "K403", "K404", "K405", "K406", "K412", "K501", "K602"} <= given_out


# ---- what the docstrings show -------------------------------------------------------------------


def blocks(check: ModuleType) -> tuple[str, str, str]:
    """The file, the passing text and the failing text that a check's docstring shows."""
    shown = re.fullmatch(r".*?\nPASS:\n(.*?)\n\nFAIL:\n(.*)", check.__doc__ or "", re.DOTALL)
    assert shown is not None, f"{check.__name__} shows no PASS and FAIL"
    first, *rest = textwrap.dedent(shown[1]).splitlines()
    file = first.removeprefix("# ")
    good = "\n".join(rest) + "\n"
    return file, good, replaced(good, textwrap.dedent(shown[2]).strip("\n"))


def replaced(text: str, changed: str) -> str:
    """A text with the keys of another put in for its own of the same name, at any depth."""
    for key, block in re.findall(r"^(\S+:)(.*?(?=^\S|\Z))", changed, re.MULTILINE | re.DOTALL):
        own = re.search(rf"^( *){re.escape(key)}.*\n(?:\1 +.*\n)*", text, re.MULTILINE)
        put_in = textwrap.indent(f"{key}{block.rstrip()}\n", own[1] if own else "")
        text = text[: own.start()] + put_in + text[own.end() :] if own else text + put_in
    return text


@pytest.mark.parametrize("outcome", ["PASS", "FAIL"])
@pytest.mark.parametrize("check", CHECKS, ids=[c.__name__.split(".")[-1] for c in CHECKS])
def test_what_a_docstring_shows_is_so(check: ModuleType, outcome: str, folder: Path) -> None:
    """A check is content with what its docstring shows under PASS, and not with FAIL."""
    file, good, bad = blocks(check)
    path = folder / file
    shown = good if outcome == "PASS" else bad
    text = replaced(path.read_text(encoding="utf-8"), shown) if path.exists() else shown
    with put(path, text):
        subject = Subject(knowledge.load(folder), folder, FAST)
        found = list(check.check(subject))
    if outcome == "PASS":
        assert found == []
    else:
        codes = set(re.findall("[CK][0-9]{3}", (check.__doc__ or "").split("\n", 1)[0]))
        assert {problem.code for problem in found} == ({"C103"} if check is calls else codes)


def test_every_check_is_run_and_shown() -> None:
    """Every module of the package that has a check is run by `check_folder`, once."""
    assert {check.check for check in CHECKS} == set(run.CHECKS)
    assert len(run.CHECKS) == len(CHECKS)


# ---- the whole ----------------------------------------------------------------------------------


@pytest.mark.parametrize("engine", available())
def test_the_shipped_knowledge_base_is_sound(
    engine: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is wrong with the shipped base on either engine, and the checker prints nothing."""
    found = check_folder(SHIPPED, engine=engine)
    assert found.problems == ()
    assert capsys.readouterr() == ("", "")
    rules = sum(
        len(re.findall("^  - id: ", path.read_text(encoding="utf-8"), re.MULTILINE))
        for name in ("kinds", "causes", "stops")
        for path in (SHIPPED / name).glob("*.yaml")
    )
    calls_there = list((SHIPPED / "examples").rglob("*.yaml"))
    files = [p for p in SHIPPED.rglob("*.yaml") if p not in calls_there]
    assert (found.files, found.rules, found.calls) == (len(files), rules, len(calls_there))
    assert found.examples >= 2 * rules


@pytest.mark.parametrize("engine", available())
def test_both_engines_find_the_same(engine: str, folder: Path, before: Before) -> None:
    """A file full of mistakes gives the same problems, word for word, on either engine."""
    path = next(p for p in BAD if p.stem == "many-mistakes-at-once")
    with put(folder / WINDY, path.read_text(encoding="utf-8")):
        found = new_problems(folder, before, engine)
    said = [f"{problem.code} {problem.message} ({problem.hint})" for problem in found]
    assert said == [
        "K312 nothing fills in {wind_speed} ()",
        "K414 wherever wind-beside-vegetables holds, wind holds already ()",
        "K403 no near miss of wind-beside-vegetables tests the condition on dry_hours_ahead "
        "(add a near miss on which all but this holds, with `held_by` naming it)",
        "K312 nothing fills in {vegetables} (nearest valid name: site.near-vegetables)",
        "K401 wind-beside-vegetables should fire on 'dry days ahead', but it is ruled out "
        "(the rule needs dry_hours_ahead below 24, and it is 48 hours)",
        "K402 wind-beside-vegetables should be quiet on 'it fires', but it fires on it ()",
        "K402 wind-beside-vegetables should be quiet on 'it could fire', "
        "but it could hold on it ()",
        "K402 'more holds it back' is not held back by wind_now alone "
        "(the rule needs site.near-vegetables is yes, and it is no)",
        "K412 whenever site.pond-edge is yes and wind_now below 20, the rule already holds as "
        "site.pond-edge is yes ()",
    ]


def test_a_base_without_example_calls_is_checked(folder: Path, before: Before) -> None:
    """Where there is no folder of example calls the rest is checked and no call is counted."""
    away = folder.parent / "away"
    (folder / "examples").rename(away)
    try:
        found = check_folder(folder, engine=FAST)
    finally:
        away.rename(folder / "examples")
    assert {(p.path, p.code, p.message) for p in found.problems} <= before
    assert found.calls == 0
    assert found.rules > 100


def test_a_folder_that_does_not_load_counts_its_files(folder: Path, tmp_path: Path) -> None:
    """Of a folder that does not load, or is not there, only the files are counted."""
    with put(folder / WINDY, "id: windy\n"):
        found = check_folder(folder, engine=FAST)
    assert {p.code for p in found.problems} == {"K102"}
    assert (found.rules, found.examples, found.calls) == (0, 0, 0)
    assert found.files > 100
    nowhere = check_folder(tmp_path / "nowhere")
    assert [p.code for p in nowhere.problems] == ["K001"]
    assert nowhere.files == 0


@pytest.mark.parametrize(
    "name", ["stops/windy.yml", "notes.txt", "gusts/windy.yaml", "examples/well-made/call.yml"]
)
def test_a_file_that_nobody_reads_is_found(name: str, folder: Path, before: Before) -> None:
    """A file that no loader claims is a mistake, among the example calls too."""
    (folder / name).parent.mkdir(exist_ok=True)
    with put(folder / name, "id: windy\n"):
        assert spots(new_problems(folder, before), folder) == [(name, 0, 0, "K020")]


def test_a_missing_file_is_found(folder: Path) -> None:
    """A base without one of its single files is told which."""
    path = folder / "turf.yaml"
    kept = path.read_text(encoding="utf-8")
    path.unlink()
    try:
        found = check_folder(folder).problems
    finally:
        path.write_text(kept, encoding="utf-8")
    assert "a knowledge folder needs a file turf.yaml" in [
        p.message for p in found if p.code == "K021"
    ]


def test_a_retired_name_leads_to_its_successor(folder: Path) -> None:
    """A reference to a retired id says what took its place."""
    text = (folder / HOT).read_text(encoding="utf-8")
    retired = "retired:\n  scorched: {successor: survived, on: 2026-01-01, why: renamed}\n"
    edited = text.replace("explains: [survived,", "explains: [scorched,")
    with put(folder / "retired.yaml", retired), put(folder / HOT, edited):
        (found,) = check_folder(folder).problems
    assert (found.code, found.hint) == ("K201", "it was retired; use survived")


def test_a_call_the_program_stumbles_over_hides_nothing(
    folder: Path, before: Before, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the program fails on a call, that is said of the call, and the others are still run."""
    answer = Advisor.diagnose

    def stumble(self: Advisor, call: Any, *rest: Any) -> Any:
        if call.path.endswith(ORDINARY):
            raise LookupError("no season for 02-30")
        return answer(self, call, *rest)

    monkeypatch.setattr(Advisor, "diagnose", stumble)
    with put(folder / WELL_MADE, (folder / WELL_MADE).read_text().replace("4 mph", "20 mph")):
        found = new_problems(folder, before)
    assert [(Path(p.path).name, p.code) for p in found if p.code == "K601"] == [
        ("violet-it-came-back.yaml", "K601")
    ]
    assert "no season for 02-30" in next(p.message for p in found if p.code == "K601")
    assert "K602" in {p.code for p in found}


def test_rules_that_do_not_fit_an_engine_are_not_given_to_one(folder: Path) -> None:
    """Past an engine's limits neither the examples of the tier nor any call is tried."""
    path = next(p for p in BAD if p.stem == "seventeen-conditions")
    with put(folder / WINDY, path.read_text(encoding="utf-8")):
        subject = Subject(knowledge.load(folder), folder)
        tried = {rule.owner for rule in subject.tried()}
        assert subject.cases == ()
    assert tried == set(subject.base.kinds) | set(subject.base.causes)


def test_a_weed_that_no_label_lists_is_found(folder: Path) -> None:
    """Without any product every weed is said to be on no label."""
    base = knowledge.load(folder)
    found = list(control_figures.check(Subject(replace(base, products={}), folder)))
    assert [problem.message for problem in found] == [f"no product lists {w}" for w in base.weeds]


def test_a_product_that_no_plan_can_use_is_found(folder: Path) -> None:
    """A label that clears no grass for its product leaves it without a use."""
    base = knowledge.load(folder)
    barred = replace(base.products["rushbank-sedge"], turf_tolerant=())
    shelf = {**base.products, "rushbank-sedge": barred}
    (found,) = plans.check(Subject(replace(base, products=shelf), folder))
    assert found.message == "no plan can use rushbank-sedge on any weed, grass and region"
    assert (Path(found.path).name, found.code) == ("rushbank-sedge.yaml", "K209")


def test_a_grass_that_nothing_can_be_planned_for_is_found(folder: Path) -> None:
    """A grass that no label clears has no plan for any weed."""
    base = knowledge.load(folder)
    shelf = {
        name: replace(p, turf_tolerant=tuple(g for g in p.turf_tolerant if g != "bahiagrass"))
        for name, p in base.products.items()
    }
    (found,) = plans.check(Subject(replace(base, products=shelf), folder))
    assert found.message == "no weed can be planned for in bahiagrass"
    assert (Path(found.path).name, found.code) == ("turf.yaml", "K209")


# ---- trials -------------------------------------------------------------------------------------


@pytest.mark.parametrize("engine", available())
def test_rules_without_conditions_are_split_over_engines(engine: str) -> None:
    """Rules that fit an engine are tried even where those with conditions taken away do not."""
    names = ("one", "two", "three")
    options = {"yes": Option("yes", 0.5), "no": Option("no", 0.5)}
    facts = {n: FactDef(n, n, "call", "told", "", options=options) for n in names}
    yes, no, here = Options.of("yes"), Options.of("no"), Place("f", 1, 1)
    demo = Basis("demo")
    shown = Example("all", dict.fromkeys(names, yes), (), here)
    held = [Example(n, dict.fromkeys(names, yes) | {n: no}, (n,), here) for n in names]
    all_yes = tuple(Condition(n, yes.possible) for n in names)
    rules = [
        Rule(name, "owner", (Clause(name, 0, all_yes),), "", demo, (shown,), tuple(held), here)
        for name in (f"rule-{i}" for i in range(150))
    ]
    dropped = [
        Clause(f"{r.id} {n}", 0, tuple(c for c in r.clauses[0].conditions if c.fact != n))
        for r in rules
        for n in names
    ]
    assert not limits(c for r in rules for c in r.clauses)
    assert limits(dropped)
    trials = Trials([rules], facts, engine)
    for rule in (rules[0], rules[-1]):
        assert trials.whole(rule, shown) is Truth.SHOWN
        for example in held:
            assert trials.whole(rule, example) is Truth.RULED_OUT
            assert trials.without(rule, example, example.held_by) is Truth.SHOWN
            other = names[names.index(example.name) - 1]
            assert trials.without(rule, example, (other,)) is Truth.RULED_OUT
        assert trials.without(rule, shown, names) is Truth.SHOWN


# ---- logic --------------------------------------------------------------------------------------

NUMBER = FactDef("n", "n", "call", "told", "", "h", Span(0, 4), ((0.0, 4.0, 1.0),))
CHOICE = FactDef(
    "c", "c", "call", "told", "", options={o: Option(o, 0.25) for o in ("p", "q", "r", "s")}
)
SMALL = {"n": NUMBER, "c": CHOICE}
POINTS = [
    {"n": Span(n / 2, n / 2), "c": Options.of(c)} for n in range(9) for c in CHOICE.options
]  # fmt: skip
ENDS = st.one_of(st.none(), st.sampled_from([0.0, 1.0, 2.0, 3.0, 4.0]))
BANDS = st.builds(lambda low, high: Condition("n", frozenset(), low, high), ENDS, ENDS).filter(
    lambda c: (
        (c.low, c.high) != (None, None) and (c.low is None or c.high is None or c.low < c.high)
    )
)
SETS = st.frozensets(st.sampled_from(list(CHOICE.options)), min_size=1, max_size=3).map(
    lambda options: Condition("c", options)
)
CLAUSES = st.lists(st.one_of(BANDS, SETS), min_size=1, max_size=4).map(
    lambda conditions: Clause("r", 0, tuple(conditions))
)


def holds(clause: Clause, point: dict[str, Any]) -> bool:
    """Whether all conditions hold at a point."""
    return all(c.truth(point[c.fact]) is Truth.SHOWN for c in clause.conditions)


@given(CLAUSES)
def test_a_clause_contradicts_itself_where_nothing_satisfies_it(clause: Clause) -> None:
    """A clause is said never to hold just when no point satisfies all of its conditions.

    A band above the plausible range is left out: loading refuses it.
    """
    somewhere = any(holds(clause, point) for point in POINTS)
    assert never_holds(clause) == (not somewhere) or any(c.high == 0 for c in clause.conditions)
    found = contradiction(clause)
    if found is not None:
        last, earlier = found
        together = tuple(clause.conditions[i] for i in (*earlier, last))
        assert not any(holds(Clause("r", 0, together), point) for point in POINTS)


@given(CLAUSES, CLAUSES)
def test_a_clause_that_covers_another_holds_wherever_it_does(wide: Clause, narrow: Clause) -> None:
    """A clause is said to cover another only where it holds at every point that the other does."""
    if covers(wide, narrow, SMALL):
        assert all(holds(wide, point) for point in POINTS if holds(narrow, point))


@given(CLAUSES, CLAUSES)
def test_a_clause_with_more_conditions_is_covered(wide: Clause, more: Clause) -> None:
    """A clause covers itself with conditions added."""
    assert covers(wide, Clause("r", 1, (*wide.conditions, *more.conditions)), SMALL)


def test_an_end_at_the_edge_of_the_range_counts_as_open() -> None:
    """`between` from the least value there is means the same as `below`."""
    below = Clause("r", 0, (Condition("n", frozenset(), None, 2.0),))
    between = Clause("r", 1, (Condition("n", frozenset(), 0.0, 2.0),))
    assert covers(between, below, SMALL)
    assert covers(below, between, SMALL)
