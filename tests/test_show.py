"""`cameback show` and `cameback list`: every entry found, whole, with its origins, narrowed down.

Most of it walks all entries of the shipped knowledge base; what the words are is read, not tested.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from example_calls import KNOWLEDGE, ROOT, knowledge
from hypothesis import given
from hypothesis import strategies as st
from typer.main import get_command
from typer.testing import CliRunner, Result

from advisor.catalog import KINDS, PLURALS, Ref, slug
from advisor.control import together
from advisor.render.cards.library import Library
from advisor.render.cards.parts import (
    Bars,
    Card,
    Item,
    Line,
    Note,
    Part,
    RulePart,
    Section,
    Table,
    bases_of,
    links_of,
    plain,
)
from advisor.render.entry_document import entry_document
from advisor.render.layout import Page
from advisor.render.list_rows import ROWS
from advisor.render.listing import list_page, listing
from advisor.render.show_page import bar, show_page
from advisor.render.tables import table
from advisor.render.year_strip import FIT_MARKS, WEEKS, year_strip
from advisor.schema import Schemas
from advisor.written import written
from advisor.yamlfile import read_text
from cli import shared
from cli.main import app

BASE = knowledge()
SCHEMAS = Schemas(ROOT / "schemas")
LISTS: Any = get_command(app).commands["list"]  # type: ignore[attr-defined]
ONE_OF_EACH = {
    "weed": "ground-ivy",
    "product": "larkmoor-broadleaf",
    "active": "2-4-d",
    "cause": "wet-before",
    "kind": "survived",
    "stop": "label-interval",
    "answer": "kids-and-pets-reentry",
    "site": "shade",
    "turf": "tall-fescue",
    "region": "lake-plain",
    "fact": "dry_hours_before",
    "rule": "watered-day-of-spray",
    "trial": "bentgrass-mesotrione-twice",
    "source": "purdue-ground-ivy",
}


@cache
def library() -> Library:
    """All cards."""
    return Library(BASE)


EVERY = list(library().catalog)


def cards() -> Iterator[Card]:
    for ref in EVERY:
        yield library().card(ref)


@pytest.fixture(autouse=True)
def loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    """The shipped knowledge base is loaded once for all runs; another folder is read as ever."""
    read = shared.knowledge
    monkeypatch.setattr(shared, "knowledge", lambda folder: read(folder) if folder else BASE)


def run(*words: str, **environment: str) -> Result:
    """Run the command with 80 columns, unless told otherwise."""
    told = {"COLUMNS": "80", "NO_COLOR": "1", "CAMEBACK_CACHE": "", **environment}
    result = CliRunner().invoke(app, words, env=told)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


# ---- show --------------------------------------------------------------------------------------


def test_every_kind_has_an_example_here() -> None:
    """The kinds tried below are all the kinds there are."""
    assert set(ONE_OF_EACH) == set(KINDS) == set(PLURALS.values()) == set(ROWS)


@pytest.mark.parametrize(("kind", "name"), ONE_OF_EACH.items(), ids=lambda word: word)
def test_an_id_finds_its_kind(kind: str, name: str) -> None:
    """An id alone, with its kind, and with the plural of its kind give the same page, exit 0."""
    plural = next(p for p, k in PLURALS.items() if k == kind)
    pages = [run("show", name), run("show", kind, name), run("show", plural, name)]
    assert {page.exit_code for page in pages} == {0}
    assert len({page.stdout for page in pages}) == 1
    assert f"({kind} {name})" in " ".join(pages[0].stdout.split()[:30])
    assert pages[0].stderr == ""


def test_names_and_by_names_are_found() -> None:
    """A name, a by-name, a botanical name, in any case, with or without quotes."""
    expected = run("show", "weed", "ground-ivy").stdout
    for words in (["Ground", "Ivy"], ["creeping charlie"], ["weed", "GLECHOMA", "hederacea"]):
        assert run("show", *words).stdout == expected
    assert run("show", "2,4-D").stdout == run("show", "active", "2-4-d").stdout
    assert run("show", "site.shade").stdout == run("show", "site", "shade").stdout


@pytest.mark.parametrize("ref", EVERY, ids=lambda ref: f"{ref.kind}-{ref.id}")
def test_every_id_is_found_alone(ref: Ref) -> None:
    """The id of every entry means that entry and no other."""
    assert library().catalog.find(ref.id) == (ref,)
    assert library().catalog.find(ref.id, ref.kind) == (ref,)


def test_a_name_of_two_is_asked_back() -> None:
    """A by-name that two weeds share is answered with both ids, exit 2."""
    both = [w.id for w in BASE.weeds.values() if "oxalis" in w.also]
    assert len(both) == 2
    result = run("show", "oxalis")
    assert (result.exit_code, result.stdout) == (2, "")
    assert all(f"weed {name}" in result.stderr for name in both)


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (["ground-iwy"], "nearest valid name: ground-ivy"),
        (["weed", "ground-iwy"], "nearest valid name: ground-ivy"),
        (["creeping charly"], "nearest valid name: creeping charlie"),
        (["product", "ground-ivy"], "see cameback list products"),
        (["weeds"], "see cameback list weeds"),
        (["qqqqqq"], "see cameback list --help"),
        (["source", "zzzz"], "see cameback list sources"),
    ],
    ids=lambda word: " ".join(word) if isinstance(word, list) else "",
)
def test_an_unknown_id_gets_the_nearest_name(words: list[str], hint: str) -> None:
    """An unknown id exits with 2, prints nothing, and names the nearest or where to look."""
    result = run("show", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert hint in result.stderr


@pytest.mark.parametrize("width", [40, 80, 88])
def test_no_line_is_wider_than_the_page(width: int) -> None:
    """The page of every entry keeps to the width, and holds no phrase or placeholder unfilled."""
    for ref in EVERY:
        page = show_page(ref, library(), Page(width))
        assert max(len(line) for line in page.splitlines()) <= width, ref
        assert not re.search(r"card-[a-z]|\{[a-z_]+\}|Link\(", page), ref


def test_all_of_a_weed_is_shown() -> None:
    """The page of a weed holds every fact, season, active, look-alike and sentence of its file."""
    weed = BASE.weeds["ground-ivy"]
    page = " ".join(run("show", weed.id).stdout.split())
    texts = [*weed.names[1:], weed.family, weed.unit, *(s.why for s in weed.seasons)]
    texts += [saying.say for saying in (*weed.kept_out_by, *weed.specials)]
    texts += [other.decide for other in weed.lookalikes]
    texts += [limit.because for limit in weed.sites] + list(weed.favoured_by)
    texts += [str(r.note) for r in (weed.retreatments, *weed.resistance)]
    assert [text for text in texts if text not in page] == []
    for name, control in weed.control.items():
        origin = control.basis.source or control.basis.kind.replace("-", " ")
        figure = (
            f"{control.share * 100:.0f} % ({control.low * 100:.0f} to {control.high * 100:.0f})"
        )
        assert re.search(rf"{re.escape(name)} (?:[#+.-]+ )?{re.escape(figure)} \[{origin}", page)


def test_sources_cited_are_listed() -> None:
    """Every source named in brackets on a page stands at its end with title and publisher."""
    for name in ("ground-ivy", "yellow-nutsedge", "star-of-bethlehem"):
        page = run("show", "weed", name).stdout
        body, _, listed = page.partition("\nSOURCES\n")
        cited = set(re.findall(r"\[([a-z0-9-]+)[\] ]", body)) & BASE.sources.keys()
        assert cited
        assert cited == set(re.findall(r"^  - ([a-z0-9-]+):", listed, re.MULTILINE))


def said(part: Part) -> str:
    """The words of a part, without its links' targets."""
    if isinstance(part, Line | Item | Note):
        return plain(part.words)
    if isinstance(part, Table):
        return " ".join(plain(cell) for row in part.rows for cell in row.cells)
    if isinstance(part, Bars):
        return " ".join(f"{row.share:.0%}" for row in part.rows)
    return ""


def bare(section: Section) -> Iterator[Part]:
    """The parts of a section that state a percentage or an amount and show no origin."""
    figure = re.compile(r"\d ?(%|in 100|days|hours|years|fl oz|oz|gal|F\b)")
    for part in section.parts:
        shown = bool(section.basis) or all(basis for basis, _ in bases_of(part))
        if isinstance(part, Table | Bars):
            shown = bool(section.basis) or all(row.basis for row in part.rows)
        elif isinstance(part, Line | Item):
            shown = bool(section.basis or part.basis)
        if not isinstance(part, Note | RulePart) and figure.search(said(part)) and not shown:
            yield part


@pytest.mark.parametrize("kind", KINDS)
def test_every_figure_shows_its_origin(kind: str) -> None:
    """Each amount, share and chance on a card of any kind stands beside an origin.

    Words for homeowners are quoted whole, and a cause's texts carry the figures of its rules.
    """
    quoted = {"change", "in plain words", "what it is", "to the customer", "ask", "lifted when"}
    quoted |= {"this model expects", "difference", "treatment", "the spot has or is"}
    for name in library().catalog.names(kind):
        for section in library().card(Ref(kind, name)).sections:
            if section.id in ("asked", "cited-by", "source"):
                continue
            parts = [p for p in bare(section) if getattr(p, "label", "") not in quoted]
            assert parts == [], f"{kind} {name}, {section.head}"


def test_every_link_leads_to_an_entry() -> None:
    """Every entry that any card names exists."""
    missing = {
        (card.kind, card.id, link)
        for card in cards()
        for section in card.sections
        for part in section.parts
        for link in links_of(part)
        if Ref(link.kind, link.id) not in library().catalog
    }
    assert missing == set()


def test_references_go_both_ways() -> None:
    """What an entry refers to names it among those that refer to it."""
    for ref in (Ref("site", "shade"), Ref("product", "fellmark-ester"), Ref("kind", "survived")):
        for other in library().referred_by(ref):
            assert ref in library().refers_to(other)
    assert Ref("weed", "ground-ivy") in library().referred_by(Ref("site", "shade"))


def test_a_source_lists_what_cites_it() -> None:
    """Each source that a weed's figure cites names the weed on its card."""
    for weed in BASE.weeds.values():
        for control in weed.control.values():
            if control.basis.source:
                card = library().card(Ref("source", control.basis.source))
                links = [link for s in card.sections for p in s.parts for link in links_of(p)]
                assert ("weed", weed.id) in [(link.kind, link.id) for link in links]


def test_a_rule_is_put_in_words() -> None:
    """A rule's page says its conditions, its losses by habit, its origin and its examples."""
    page = " ".join(run("show", "rule", "watered-day-of-spray").stdout.split())
    rule = next(r for r in BASE.rules() if r.id == "watered-day-of-spray")
    assert "below 12 hours" in page
    for share, who in ((0.45, "creeping weeds"), (0.25, "weeds with one crown")):
        assert rule.loss["creeping" if share > 0.3 else "taproot"] == share
        assert f"{who} {share:.0%}".replace("%", " %") in page
    assert all(example.name in page for example in (*rule.fires, *rule.quiet))


def test_weights_are_given_as_odds() -> None:
    """A weight of 12 decibans reads as 16 to 1, since 10^1.2 is 15.8 (Good 1950)."""
    page = run("show", "kind", "survived").stdout
    assert "for it, 15.8 to 1 (+12 decibans)" in " ".join(page.split())


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_a_bar_is_as_long_as_it_is_told(one: float, two: float, three: float) -> None:
    """A bar has its length whatever it shows, and its marks never run backwards."""
    low, share, high = sorted((one, two, three))
    drawn = bar(low, share, high, 20)
    assert re.fullmatch(r"#*\+*-*\.*", drawn)
    assert len(drawn) == 20
    assert drawn.count("#") == round(low * 20)


@pytest.mark.parametrize("name", BASE.weeds)
def test_the_strip_shows_the_seasons(name: str) -> None:
    """Each week of the strip has the mark of the season that holds its middle day."""
    weed = BASE.weeds[name]
    rows = year_strip(weed, lambda label: label)
    marks = rows[1][-WEEKS:]
    assert set(marks) <= set(FIT_MARKS.values())
    seen = {fit for fit, mark in FIT_MARKS.items() if mark in marks}
    long = {season.fit for season in weed.seasons if season.stretch.days >= 7}
    assert long <= seen
    assert rows[0].split() == ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct",
                               "Nov", "Dec"]  # fmt: skip


# ---- documents ---------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_every_document_fits_its_schema(kind: str) -> None:
    """The document of every entry validates, the entry in it against the schema of its own file."""
    for name in library().catalog.names(kind):
        ref = Ref(kind, name)
        document = entry_document(ref, library(), written(ref, BASE))
        text = json.dumps(document)
        assert SCHEMAS.check("entry", read_text(text, "entry.json")) == [], name


@pytest.mark.parametrize("damage", ["kind", "entry", "refers_to"])
def test_the_schema_of_documents_is_strict(damage: str) -> None:
    """A document of another kind, with another entry or a broken reference does not validate."""
    ref = Ref("weed", "ground-ivy")
    document = entry_document(ref, library(), written(ref, BASE))
    document[damage] = {"kind": "product", "entry": {"id": "x"}, "refers_to": [{"kind": "weed"}]}[
        damage
    ]
    assert SCHEMAS.check("entry", read_text(json.dumps(document), "entry.json")) != []


@pytest.mark.parametrize(("kind", "name"), ONE_OF_EACH.items(), ids=lambda word: word)
def test_json_prints_only_the_document(kind: str, name: str) -> None:
    """`--json` prints one document and nothing else; its file and line lead to the entry."""
    result = run("show", kind, name, "--json")
    document = json.loads(result.stdout)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == json.dumps(document, indent=2, ensure_ascii=False) + "\n"
    assert (document["kind"], document["id"]) == (kind, name)
    if document["file"]:
        lines = (KNOWLEDGE / document["file"]).read_text(encoding="utf-8").splitlines()
        assert any(name in line for line in lines[document["line"] - 1 : document["line"] + 3])


def test_the_entry_is_what_the_file_says() -> None:
    """The entry of a document has the values of its YAML file."""
    document = json.loads(run("show", "weed", "dandelion", "--json").stdout)
    path = KNOWLEDGE / "weeds" / "dandelion.yaml"
    plain_yaml = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)
    assert _as_text(document["entry"]) == _as_text(plain_yaml)


def _as_text(value: Any) -> Any:
    """Numbers as numbers and all else as text, so that typed and untyped YAML compare."""
    if isinstance(value, dict):
        return {key: _as_text(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_as_text(one) for one in value]
    try:
        return float(value)
    except (TypeError, ValueError):
        return "null" if value is None else str(value)


# ---- lists -------------------------------------------------------------------------------------


def ids(*words: str) -> list[str]:
    """The ids that a list prints as JSON."""
    result = run("list", *words, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    document = json.loads(result.stdout)
    assert SCHEMAS.check("list", read_text(result.stdout, "list.json")) == []
    assert document["kind"] == PLURALS[words[0]]
    return [row["id"] for row in document["rows"]]


@pytest.mark.parametrize("plural", PLURALS)
def test_a_list_holds_every_entry(plural: str) -> None:
    """Without a filter a list holds all entries of its kind, once each, and says how many."""
    names = library().catalog.names(PLURALS[plural])
    assert sorted(ids(plural)) == sorted(names)
    page = run("list", plural).stdout
    assert page.splitlines()[-1].split()[0] == str(len(names))
    assert all(name in page for name in names)


def test_weeds_are_narrowed_down_together() -> None:
    """Several filters hold together, and agree with the weeds' own files."""
    asked = ("--habit", "rhizomes", "--life-cycle", "perennial", "--group", "grass")
    found = ids("weeds", *asked)
    expected = [
        w.id
        for w in BASE.weeds.values()
        if (w.habit, w.life_cycle, w.plant_group) == ("rhizomes", "perennial", "grass")
    ]
    assert "quackgrass" in found
    assert found == expected


def test_weeds_of_a_product() -> None:
    """`--product` gives the weeds on its label, what it says of them and what to expect."""
    product = BASE.products["larkmoor-broadleaf"]
    rows = json.loads(run("list", "weeds", "--product", product.id, "--json").stdout)["rows"]
    assert {row["id"]: row["label"] for row in rows} == {
        **dict.fromkeys(product.controls, "controls"),
        **dict.fromkeys(product.suppresses, "suppresses"),
    }
    dandelion = next(row for row in rows if row["id"] == "dandelion")
    assert dandelion["kills"].startswith("92 %")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("products --weed wild-violet", lambda: [
            p.id for p in BASE.products.values() if p.lists("wild-violet") != "not-listed"]),
        ("products --active triclopyr", lambda: [
            p.id for p in BASE.products.values() if "triclopyr" in [a.name for a in p.actives]]),
        ("products --homeowner", lambda: [
            p.id for p in BASE.products.values() if p.homeowner == "yes"]),
        ("causes --group leaf --kind never-affected", lambda: [
            c.id for c in BASE.causes.values()
            if c.group == "leaf" and "never-affected" in c.explains]),
        ("answers --safety", lambda: [a.id for a in BASE.answers.values() if a.safety]),
        ("sites --near-water", lambda: [s.id for s in BASE.sites.values() if s.near_water]),
        ("sites --weed ground-ivy", lambda: [
            s for s in BASE.sites if s in BASE.weeds["ground-ivy"].favoured_by]),
        ("turf --season warm", lambda: [
            t.id for t in BASE.turf.values() if t.season == "warm"]),
        ("regions --hemisphere south", lambda: [
            r.id for r in BASE.regions.values() if r.hemisphere == "south"]),
        ("sources --from-memory", lambda: [s.id for s in BASE.sources.values() if not s.seen]),
        ("rules --fact wind_now", lambda: [r.id for r in BASE.rules() if "wind_now" in r.facts]),
        ("rules --of wet-before", lambda: [r.id for r in BASE.causes["wet-before"].rules]),
        ("trials --weed nimblewill", lambda: [
            t.id for t in BASE.trials.values() if t.weed == "nimblewill"]),
        ("facts --scope application --type number", lambda: [
            f.id for f in BASE.facts.values() if f.scope == "application" and f.is_number]),
    ],
    ids=lambda word: word if isinstance(word, str) else "",
)  # fmt: skip
def test_filters_agree_with_the_knowledge_base(words: str, expected: Any) -> None:
    """Each filter gives the entries that a walk over the knowledge base gives, and some."""
    found = ids(*shlex.split(words))
    assert sorted(found) == sorted(expected())
    assert found != []


def test_a_turf_filter_knows_groups() -> None:
    """A product safe on all cool-season grasses is safe on the group, and on each of them."""
    for turf in ("cool-season", "tall-fescue"):
        assert "larkmoor-broadleaf" in ids("products", "--turf", turf)
    assert "cinderwick-total" not in ids("products", "--turf", "tall-fescue")


def test_a_word_is_looked_for_everywhere() -> None:
    """`--word` finds an entry by a by-name, a keyword or a publisher, in any case."""
    assert "ground-ivy" in ids("weeds", "--word", "CHARLIE")
    assert "kids-and-pets-reentry" in ids("answers", "--word", "grandkids")
    assert "purdue-ground-ivy" in ids("sources", "--word", "purdue")
    assert ids("weeds", "--word", "qqqqq") == []
    assert run("list", "weeds", "--word", "qqqqq").stdout == "nothing\n"


@pytest.mark.parametrize(
    ("words", "nearest"),
    [
        ("weeds --habit rhizome", "rhizomes"),
        ("weeds --product larkmor-broadleaf", "larkmoor-broadleaf"),
        ("weeds --group brodleaf", "broadleaf"),
        ("causes --group leef", "leaf"),
        ("products --turf tall-fesque", "tall-fescue"),
        ("rules --fact dry_hours_befor", "dry_hours_before"),
        ("sources --type extention", "extension"),
    ],
)
def test_an_unknown_name_in_a_filter(words: str, nearest: str) -> None:
    """A filter that names nothing known exits with 2 and the nearest name."""
    result = run("list", *shlex.split(words))
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"nearest valid name: {nearest}" in result.stderr


@pytest.mark.parametrize("width", [40, 60, 80, 88])
@pytest.mark.parametrize("kind", KINDS)
def test_no_list_is_wider_than_the_page(kind: str, width: int) -> None:
    """Every list keeps to the width of the page."""
    page = list_page(listing(kind, BASE, {}), Page(width))
    assert max(len(line) for line in page.splitlines()) <= width


@pytest.mark.parametrize("plural", PLURALS)
def test_help_of_every_list_has_an_example(plural: str) -> None:
    """The help of every list has one example, which finds something."""
    page = run("list", plural, "--help", COLUMNS="200").stdout
    (line,) = re.findall(r"Example: cameback (.*)", page)
    words = shlex.split(line)
    assert words[:2] == ["list", plural]
    result = run(*words)
    assert result.exit_code == 0
    assert result.stdout != "nothing\n"
    assert set(LISTS.commands) == set(PLURALS)


@given(
    st.lists(
        st.tuples(*[st.text(alphabet="ab c-", max_size=30)] * 3).map(list), min_size=1, max_size=5
    ),
    st.integers(40, 88),
)
def test_a_table_loses_no_word(rows: list[list[str]], width: int) -> None:
    """A table keeps to its width and holds every word of its cells, wrapped or stacked."""
    page = Page(width)
    table(page, ["one", "two", "three"], rows)
    assert max((len(line) for line in page.lines), default=0) <= width
    told = " ".join(page.lines)
    for row in rows:
        for cell in row:
            assert all(word in told for word in cell.split())


# ---- another knowledge base, phrases, completion -----------------------------------------------


def test_another_knowledge_folder_is_shown(tmp_path: Path) -> None:
    """`--knowledge` shows the entries of the folder named, its JSON the files in it."""
    import shutil

    copy = Path(shutil.copytree(KNOWLEDGE, tmp_path / "knowledge"))
    path = copy / "weeds" / "ground-ivy.yaml"
    path.write_text(path.read_text().replace("name: ground ivy", "name: creeping jenny weed", 1))
    result = run("show", "ground-ivy", "--knowledge", str(copy))
    assert result.stdout.startswith("CREEPING JENNY WEED (weed ground-ivy)")
    words = ("show", "ground-ivy", "--json", "--knowledge", str(copy))
    document = json.loads(run(*words).stdout)
    assert document["entry"]["name"] == "creeping jenny weed"


def code_and_templates() -> str:
    """The text of all code and templates that may say a phrase of the cards."""
    folder = ROOT / "advisor" / "render"
    files = [*folder.rglob("*.py"), *folder.rglob("*.j2")]
    return "".join(path.read_text(encoding="utf-8") for path in files)


def test_no_phrase_of_the_cards_is_left_over() -> None:
    """Every phrase kept for cards is named in the code, spelled out or built."""
    text = code_and_templates()
    for name in BASE.phrases:
        if not name.startswith("card-"):
            continue
        short = name.removeprefix("card-")
        rest = re.sub("^(label|head|note|column)-", "", short)
        spelled = [f'"{short}"', f"'{short}'", f'"{rest}"', f"'{rest}'"]
        built = [rest[: i + 1] + end for i, c in enumerate(rest) if c == "-" for end in "{'\""]
        built += [short[: i + 1] + end for i, c in enumerate(short) if c == "-" for end in "{'\""]
        assert any(one in text for one in [*spelled, *built]), name


def test_ids_complete() -> None:
    """The beginning of an id or of a kind completes to those there are."""
    asked = {
        "_CAMEBACK_COMPLETE": "complete_bash",
        "COMP_WORDS": "cameback show ground",
        "COMP_CWORD": "2",
    }
    assert CliRunner().invoke(app, [], env=asked).stdout.split() == ["ground-ivy"]


def test_slugs_and_names() -> None:
    """A name as an id has small letters, digits and hyphens only."""
    assert slug("2,4-D") == "2-4-d"
    assert slug("St. Augustinegrass") == "st-augustinegrass"


def test_listings_are_plain() -> None:
    """A listing's rows all have the same columns, and the first of them is the id."""
    for kind in KINDS:
        rows = listing(kind, BASE, {}).rows
        assert len({tuple(row) for row in rows}) == 1
        assert next(iter(rows[0])) == "id"


def test_expected_control_is_the_kill_models() -> None:
    """Beside a product of two groups stands what the kill model makes of both: independent."""
    product = BASE.products["wrenfold-bermuda"]
    groups = {a.group for a in product.actives}
    assert len(groups) == 2
    weed = BASE.weeds[product.controls[0] if product.controls else product.suppresses[0]]
    share = together([weed.control[a.name].share for a in product.actives])
    rows = json.loads(run("list", "weeds", "--product", product.id, "--json").stdout)["rows"]
    row = next(row for row in rows if row["id"] == weed.id)
    assert row["kills"].startswith(f"{share * 100:.0f} %")
