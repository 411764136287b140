"""The schemas and what is said when a file does not fit them.

Every file under tests/bad/yaml is run from here. Its first line says what to expect:
`# expect: CODE line:column, CODE line:column`, then ` as: KIND` where it is checked against a
schema as well. Files under tests/good/yaml are called KIND.yaml or KIND.VARIANT.yaml and must fit.
Adding a case to either needs no code.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from advisor import yamlfile
from advisor.problem import CODES, ProblemsFound, excerpt
from advisor.schema import Schemas
from advisor.yamlfile import read_file, read_text

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / "schemas"
SCHEMAS = Schemas(FOLDER)
GOOD = Path(__file__).parent / "good" / "yaml"
STEMS = sorted(path.stem for path in GOOD.glob("*.yaml"))
WHOLE = [stem for stem in STEMS if "." not in stem]
BAD = sorted((Path(__file__).parent / "bad" / "yaml").glob("*.yaml"))
EXPECT = re.compile(r"# expect: (?P<places>[^a-z]+?)(?: as: (?P<kind>[a-z]+))?")
KINDS = "call cause facts kind model product region retired sites sources stop turf weed"


def raw_schemas() -> dict[str, Any]:
    """The schema files as plain JSON, by name."""
    return {path.name: json.loads(path.read_text()) for path in sorted(FOLDER.glob("*.json"))}


def walk(node: Any) -> Iterator[dict[str, Any]]:
    """Every JSON object in a schema."""
    if isinstance(node, dict):
        yield node
    for child in (
        node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    ):
        yield from walk(child)


def codes_in(kind: str, text: str) -> list[tuple[int, int, str]]:
    """Line, column and code of all that is wrong with the shape of a text."""
    found = SCHEMAS.check(kind, read_text(text, "f.yaml"))
    assert all(problem.path == "f.yaml" for problem in found)
    return [(problem.line, problem.column, problem.code) for problem in found]


# ---- bad files ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_file_is_refused_as_its_first_line_says(path: Path) -> None:
    """Each file under tests/bad/yaml gives exactly the codes and places it announces."""
    first = path.read_bytes().splitlines()[0].decode()
    announced = EXPECT.fullmatch(first)
    assert announced, f"{path.name} does not say what to expect"
    problems = found_in(path, announced["kind"])
    expected = sorted((path.name, *place(each)) for each in announced["places"].split(", "))
    assert sorted((p.path, p.line, p.column, p.code) for p in problems) == expected


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_the_parser_in_python_refuses_the_same_files(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where PyYAML has no parser in C the same codes are given, if not at the same column."""
    with_c = {problem.code for problem in found_in(path, kind_of(path))}
    monkeypatch.setattr(yamlfile, "PARSER", yaml.SafeLoader)
    assert {problem.code for problem in found_in(path, kind_of(path))} == with_c


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_messages_are_plain_words(path: Path) -> None:
    """No message shows a Python type, a repr or the words of the parser."""
    text = path.read_bytes().decode("utf-8", "replace")
    for problem in found_in(path, kind_of(path)):
        said = f"{problem.message} {problem.hint}"
        assert not re.search(r"NoneType|\bdict\b|\bint\b|\bstr\b|None|True|False|\btoken\b", said)
        assert problem.code in CODES
        assert problem.line == 0 or excerpt(text, problem)


def kind_of(path: Path) -> str | None:
    """The kind of file that a bad file is checked as, if any."""
    announced = EXPECT.fullmatch(path.read_bytes().splitlines()[0].decode())
    return announced["kind"] if announced else None


def found_in(path: Path, kind: str | None) -> Any:
    """The problems of a bad file."""
    try:
        document = read_file(path, path.name)
    except ProblemsFound as found:
        return found.problems
    return SCHEMAS.check(kind, document) if kind else ()


def place(announced: str) -> tuple[int, int, str]:
    """`K010 4:1` as line, column, code."""
    code, _, where = announced.partition(" ")
    line, _, column = where.partition(":")
    return int(line), int(column), code


# ---- the schemas themselves ---------------------------------------------------------------------


def test_there_is_a_schema_for_every_kind_of_file() -> None:
    """The folder holds a schema for each kind of knowledge file and for the call."""
    assert set(KINDS.split()) <= set(SCHEMAS.kinds)
    assert list(SCHEMAS.kinds) == sorted(SCHEMAS.kinds)


@pytest.mark.parametrize("name", sorted(raw_schemas()))
def test_a_schema_is_valid_json_schema(name: str) -> None:
    """Each schema fits the metaschema of draft 2020-12 (json-schema.org)."""
    schema = raw_schemas()[name]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].endswith(f"/{name}")
    Draft202012Validator.check_schema(schema)


PRINTED = {"entry.schema.json", "list.schema.json", "plan.schema.json"}
"""Documents that are printed and not read: their parts depend on what was asked for, through `if`
and whole schemas of other files, and their own tests hold real documents against them."""


@pytest.mark.parametrize("name", sorted({*raw_schemas()} - PRINTED))
def test_every_property_says_what_it_is(name: str) -> None:
    """Every property of every schema has a description."""
    for node in walk(raw_schemas()[name]):
        for key, property_ in node.get("properties", {}).items():
            if "const" not in property_:
                assert property_.get("description"), f"{name}: {key}"


@pytest.mark.parametrize("name", sorted({*raw_schemas()} - PRINTED))
def test_every_object_is_closed(name: str) -> None:
    """An object with named properties refuses all others, and its keys are required or optional."""
    for node in walk(raw_schemas()[name]):
        conditional = all("const" in p or "not" in p for p in node.get("properties", {}).values())
        if "properties" in node and not conditional:
            assert node.get("additionalProperties") is False, node.get("description")
            assert set(node.get("required", ())) <= set(node["properties"])


@pytest.mark.parametrize("name", sorted({*raw_schemas()} - PRINTED))
def test_every_reference_leads_somewhere(name: str) -> None:
    """Each $ref names a definition that exists in the folder, so checking needs no network."""
    schemas = raw_schemas()
    for node in walk(schemas[name]):
        if "$ref" in node:
            file, _, pointer = node["$ref"].partition("#/$defs/")
            assert pointer in schemas[file or name]["$defs"]


def test_the_words_of_facts_are_the_words_of_the_schemas() -> None:
    """Where a schema lists the options of a fact, it lists exactly those of facts.yaml."""
    facts: Any = read_file(ROOT / "knowledge" / "facts.yaml").data["facts"]
    schemas = raw_schemas()
    weed, product = (schemas[f"{kind}.schema.json"]["properties"] for kind in ("weed", "product"))
    listed = {
        "life_cycle": weed["life_cycle"]["properties"]["is"]["enum"],
        "habit": weed["habit"]["properties"]["is"]["enum"],
        "plant_group": weed["plant_group"]["enum"],
        "growth_form": weed["growth_form"]["enum"],
        "leaf_surface": weed["leaf_surface"]["enum"],
        "acts_through": product["acts_through"]["enum"],
        "formulation": product["formulation"]["enum"],
        "stage": schemas["common.schema.json"]["$defs"]["stage"]["enum"],
    }
    assert listed == {name: list(facts[name]["options"]) for name in listed}


def test_jsonschema_is_imported_only_to_check() -> None:
    """Making the Schemas does not import jsonschema, which takes a tenth of a second."""
    code = (
        "import sys; from pathlib import Path; from advisor.schema import Schemas; "
        f"Schemas(Path({str(FOLDER)!r})).kinds; print('jsonschema' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout == "False\n"


# ---- what fits ----------------------------------------------------------------------------------


def good(stem: str, old: str = "", new: str = "") -> str:
    """The text of a good file, one part of it replaced."""
    text = (GOOD / f"{stem}.yaml").read_text(encoding="utf-8")
    assert old in text, f"{stem} has no {old!r}"
    return text.replace(old, new, 1) if old else text


@pytest.mark.parametrize("stem", STEMS)
def test_a_file_as_it_should_be_has_no_problem(stem: str) -> None:
    """A complete example of every kind of file fits its schema."""
    assert codes_in(stem.partition(".")[0], good(stem)) == []


def test_the_facts_fit_their_schema() -> None:
    """The facts of the knowledge base have the shape their schema says."""
    path = ROOT / "knowledge" / "facts.yaml"
    assert SCHEMAS.check("facts", read_file(path)) == []


def test_every_kind_has_a_good_example() -> None:
    """No kind of file goes without an example that fits its schema."""
    assert {stem.partition(".")[0] for stem in STEMS} | {"facts"} >= set(KINDS.split())


@pytest.mark.parametrize("kind", WHOLE)
def test_a_required_key_left_out_is_named(kind: str) -> None:
    """Leaving out any key that a kind of file needs gives exactly one problem, at the top."""
    required = raw_schemas()[f"{kind}.schema.json"]["required"]
    for key in required:
        document = read_text(good(kind), "f.yaml")
        del document.data[key]
        (problem,) = SCHEMAS.check(kind, document)
        assert (problem.line, problem.column) == document.value_at()
        assert (problem.code, problem.message) == ("K102", f"the key `{key}` is missing")


@pytest.mark.parametrize("kind", WHOLE)
def test_an_unknown_key_is_refused_wherever_it_stands(kind: str) -> None:
    """A key nobody knows is refused in every mapping that does not hold names of things."""
    document = read_text(good(kind), "f.yaml")
    for path in list(document.marks):
        here: Any = document.data
        for key in path:
            here = here[key]
        if isinstance(here, dict) and not holds_names(path):
            here["Zzz"] = 1
            (problem,) = SCHEMAS.check(kind, document)
            assert (problem.code, problem.message) == ("K101", "`Zzz` is not a key known here")
            assert (problem.line, problem.column) == document.key_at(*path)
            del here["Zzz"]


def holds_names(path: tuple[str | int, ...]) -> bool:
    """Whether the keys of a mapping are names of facts, actives, traits or entries."""
    named = {"given", "weight", "control", "traits", "actives", "answers"}
    lists = {("sites",), ("turf",), ("sources",), ("retired",)}
    return path in lists or (path != () and path[-1] in named)


ANY_VALUE = st.recursive(
    st.sampled_from([None, True, 0, -1, 2, 1e9, 0.5, "", "x", "yes", "2,4-D", "09-15", "unknown"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["is", "fact", "from", "all", "Zzz"]), inner, max_size=3)
    ),
    max_leaves=5,
)


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_any_value_anywhere_gives_problems_or_none(data: st.DataObject) -> None:
    """Whatever stands in a file in place of any of its values, the answer is a list of problems."""
    stem = data.draw(st.sampled_from(STEMS))
    document = read_text(good(stem), "f.yaml")
    *parents, last = data.draw(st.sampled_from([path for path in document.marks if path]))
    here: Any = document.data
    for key in parents:
        here = here[key]
    here[last] = data.draw(ANY_VALUE)
    for problem in SCHEMAS.check(stem.partition(".")[0], document):
        assert re.fullmatch("K10[1-9]", problem.code)
        assert (problem.line, problem.column) > (0, 0)


# ---- wording ------------------------------------------------------------------------------------

WORDING = [
    ("call.bare", "reported:", "sen: x\nreported:", "`sen` is not a key known here",
     "nearest valid name: seen"),
    ("model", "share:", "zzz: 1, share:", "`zzz` is not a key known here",
     "valid here: share, from"),
    ("call.bare", "reported:", "weed:", "the key `reported` is missing",
     "reported: the day of the call"),
    ("call.bare", "2027-09-29", "2027", "text is needed here, not a number (2027)",
     "for example: 2027-09-29"),
    ("call.short", "{where: strips}", "thin",
     "keys with values or a list are needed here, not text (`thin`)", ""),
    ("call.short", "{where: strips}", "",
     "keys with values or a list are needed here, not an empty value", ""),
    ("call.bare", "reported:", "events: {mowed: x}\nreported:",
     "a list is needed here, not keys with values", ""),
    ("call.bare", "reported:", "site: thin\nreported:",
     "keys with values are needed here, not text (`thin`)", ""),
    ("call", "per_year: 2", "per_year: 2.0", "a whole number is needed here, not 2.0",
     "for example: 2"),
    ("call.short", "label: unknown", "label: yes",
     "what the label says, key by key, or unknown, is needed here, not `yes`", ""),
    ("call", "also_in_tank: unknown", "also_in_tank: soap",
     "a list of products, or unknown, is needed here, not `soap`", ""),
    ("call", "{rained: none}", "{amount: 1 in}",
     "exactly one of `mowed`, `watered`, `rained`, `seeded`, `raked`, `tilled`, `cored`, "
     "`pulled`, `fed`, `frosted` or `flooded` is needed here", ""),
    ("sites", "near_water: no", "near_water: false", "text is needed here, not false",
     "write yes or no"),
    ("turf", "season: cool", "season: cold", "`cold` is not one of the words possible here",
     "nearest valid name: cool"),
    ("turf", "season: cool", "season: 4", "text is needed here, not a number (4)",
     "one of: cool, warm"),
    ("turf", "name: tall fescue", "name: 5", "text is needed here, not a number (5)",
     'in quotes it is text: "5"'),
    ("turf", "[2.5, 4]", "[2.5]", "exactly 2 entries are needed here, not 1",
     "for example: [2, 24]"),
    ("turf", "[tall-fescue]", "[a, b, a]", "`a` is in the list twice", ""),
    ("sources", "extension", "blog", "`blog` is not one of the words possible here",
     "one of: extension, journal, law, standard, handbook, dataset, thesis"),
    ("model", "0.1", "10", "a number from 0 to 1 is needed here, not 10", ""),
    ("model", "2.0", "0", "a number above 0 is needed here, not 0", ""),
    ("model", "2.0", "two", "a number is needed here, not text (`two`)",
     "write it plainly and without a unit, like 24 or 0.5"),
    ("product", "per_year: 2", "per_year: 0", "a number of 1 or more is needed here, not 0", ""),
    ("product", "2.4 lb/gal", "2.4", "text is needed here, not a number (2.4)",
     "for example: 2.4 lb/gal"),
    ("product", "28 days\nper_year", "a month\nper_year",
     "an amount with its unit is needed here, not `a month`", "for example: 28 days"),
    ("product", "controls: [dandelion]", "controls: [Dandelion weed]",
     "an id (small letters, digits and hyphens) is needed here, not `Dandelion weed`",
     "for example: ground-ivy"),
    ("product", "[seedling]", "[]", "at least 1 entry is needed here, not 0", ""),
    ("weed", "09-15", "9-15",
     "a day of the year as MM-DD (29 February is 02-28) is needed here, not `9-15`",
     "for example: 09-15"),
    ("weed", "leaves: opposite", "leafShape: opposite",
     "a key of small letters, digits and underscores is needed here, not `leafShape`",
     "for example: leaf_shape"),
    ("retired.one", "2027-01-01", "2027-13-01",
     "a date as YYYY-MM-DD is needed here, not `2027-13-01`", "for example: 2027-09-29"),
    ("retired.one", "It was two causes.", "' '", "text is needed here, and this is empty", ""),
    ("stop", "below: 24", "below: 24, at-least: 2",
     "exactly one of `is`, `in`, `below`, `at-least` or `between` is needed here, "
     "not `below` and `at-least`", ""),
    ("stop", "{source: ivy-trial, note: table 2}", "practice",
     "common-practice, memory, demo or {source: id} is needed here, not `practice`",
     "nearest valid name: common-practice"),
]  # fmt: skip


@pytest.mark.parametrize(("stem", "old", "new", "message", "hint"), WORDING)
def test_the_wording_of_a_problem(stem: str, old: str, new: str, message: str, hint: str) -> None:
    """A mistake gives one problem, which says what is wrong and what would be right."""
    document = read_text(good(stem, old, new), "f.yaml")
    (problem,) = SCHEMAS.check(stem.partition(".")[0], document)
    assert (problem.message, problem.hint) == (message, hint)


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("title:", "tittle:", (3, 1, "K101")),
        ("below: 24", "bellow: 24", (14, 36, "K101")),
        ("fact: dry_hours_before", "fcat: dry_hours_before", (14, 12, "K101")),
        ("loss:", "los:", (26, 5, "K101")),
        ("group: leaf", "group: [leaf]", (2, 8, "K103")),
        ("from: {source: ivy-trial, note: table 2}", "from: 5", (20, 11, "K103")),
        ("from: {source: ivy-trial, note: table 2}", "from: [demo]", (20, 11, "K103")),
        ("from: {source: ivy-trial, note: table 2}", "from:", (20, 10, "K103")),
        ("from: {source: ivy-trial, note: table 2}", "from: {sorce: x}", (20, 12, "K101")),
        ("held_by: dry_hours_before", "held_by: {a: b}", (24, 75, "K103")),
    ],
)
def test_one_mistake_is_one_problem(old: str, new: str, where: tuple[int, int, str]) -> None:
    """A mistyped key is not called missing too, and a wrong type hides what follows from it."""
    assert codes_in("cause", good("cause", old, new)) == [where]


def test_all_mistakes_come_in_one_run_by_place() -> None:
    """Problems of all parts of a file are reported together, from top to bottom."""
    text = good("cause", "id: wet-before", "id: Wet").replace("0.45", "1.45")
    text = text.replace("group: leaf\n", "group: x\n")
    assert codes_in("cause", text) == [(1, 5, "K106"), (2, 8, "K104"), (26, 22, "K105")]


SUPPORTED = (
    "$schema $id $defs $ref title description examples type properties required propertyNames "
    "additionalProperties enum const minimum maximum exclusiveMinimum pattern minLength items "
    "minItems maxItems uniqueItems minProperties oneOf allOf anyOf not if then else"
)


@pytest.mark.parametrize("name", sorted(raw_schemas()))
def test_every_keyword_has_plain_words(name: str) -> None:
    """The schemas use only keywords whose failures are put into words, anyOf only inside `if`."""
    assert set(keywords(raw_schemas()[name])) <= set(SUPPORTED.split())
    for node in walk(raw_schemas()[name]):
        for branch in node.get("oneOf", ()):
            assert [*branch] == ["required"]
            assert len(branch["required"]) == 1
        if isinstance(node.get("not"), dict):
            assert node["description"]


def keywords(schema: Any) -> Iterator[str]:
    """The keywords of a schema and of the schemas inside it, names of properties left out."""
    if not isinstance(schema, dict):
        return
    for keyword, value in schema.items():
        yield keyword
        if keyword in {"properties", "$defs"}:
            for inner in value.values():
                yield from keywords(inner)
        elif keyword in {"oneOf", "allOf", "anyOf"}:
            for inner in value:
                yield from keywords(inner)
        elif keyword in {"items", "additionalProperties", "propertyNames", "if", "then", "else"}:
            yield from keywords(value)
