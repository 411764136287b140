"""Reading YAML: types, places, refusals, and that no input brings anything but an answer.

Files that must be refused are under tests/bad/yaml and run from test_schema.py; here is what a
file there could not say. Nothing here looks at the knowledge base.
"""

from __future__ import annotations

import os
import re
import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import yamlfile
from advisor.problem import CODES, Problem, ProblemsFound
from advisor.yamlfile import LIMIT_BYTES, LIMIT_DEPTH, Document, read_file, read_text

PLACES = """\
# the first line
id: wet-before
rules:
- name: one
  given: {acts_through: leaf, "dry_hours_before": 4 h}
-
  - [a, b]
empty:
"""


def problems_of(text: str | bytes) -> list[tuple[str, int, int, str]]:
    """Path, line, column and code of every problem in a text."""
    with pytest.raises(ProblemsFound) as caught:
        read_text(text, "f.yaml")
    return [(p.path, p.line, p.column, p.code) for p in caught.value.problems]


# ---- types --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("true", True),
        ("false", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("0", 0),
        ("24", 24),
        ("-3", -3),
        ("0.45", 0.45),
        ("-0.5", -0.5),
        ("2.0", 2.0),
    ],
)
def test_plain_words_and_numbers_are_typed(written: str, value: object) -> None:
    """Only true, false, null, plain whole numbers and plain decimals get a type."""
    read = read_text(f"key: {written}", "f.yaml").data["key"]
    assert (read, type(read)) == (value, type(value))


STAY_TEXT = (
    "yes no on off Yes y True TRUE Null NULL 012 -012 +1 1e3 1.5e3 0x1f 0o17 0b1 1_000 1,000 .5 5. "
    ".nan .NaN .inf -.inf NaN 12:30 190:20:30 2027-09-29 09-15 1.2.3 = ٣ 9999999999999999 "
    "0.1234567890123456"
)


@pytest.mark.parametrize(
    "written",
    STAY_TEXT.split(),
)
def test_everything_else_stays_text(written: str) -> None:
    """Words, dates, times of day and every other way of writing a number stay as written."""
    assert read_text(f"key: {written}", "f.yaml").data == {"key": written}


@pytest.mark.parametrize("quoted", ["'24'", '"24"', "'true'", '"null"', "'~'", "''"])
def test_quoted_scalars_are_text(quoted: str) -> None:
    """Whatever stands in quotes is text."""
    assert read_text(f"key: {quoted}", "f.yaml").data == {"key": quoted[1:-1]}


def test_a_block_of_digits_is_text() -> None:
    """A block scalar is text even where it holds only digits."""
    assert read_text("key: |-\n  24\n", "f.yaml").data == {"key": "24"}


def test_words_may_be_keys() -> None:
    """Yes and no are text as keys too, and a quoted number or << may be a key."""
    data = read_text("yes: 1\nno: 2\n'3': 3\n'<<': 4\n", "f.yaml").data
    assert data == {"yes": 1, "no": 2, "3": 3, "<<": 4}


# ---- places -------------------------------------------------------------------------------------


def test_every_key_and_value_has_its_place() -> None:
    """Keys, values and list entries are found at the line and column they are written at."""
    document = read_text(PLACES, "f.yaml")
    values = {
        (): (2, 1),
        ("id",): (2, 5),
        ("rules",): (4, 1),
        ("rules", 0): (4, 3),
        ("rules", 0, "name"): (4, 9),
        ("rules", 0, "given"): (5, 10),
        ("rules", 0, "given", "acts_through"): (5, 25),
        ("rules", 0, "given", "dry_hours_before"): (5, 51),
        ("rules", 1): (7, 3),
        ("rules", 1, 0): (7, 5),
        ("rules", 1, 0, 0): (7, 6),
        ("rules", 1, 0, 1): (7, 9),
        ("empty",): (8, 7),
    }
    assert {path: document.value_at(*path) for path in document.marks} == values
    assert document.key_at("rules") == (3, 1)
    assert document.key_at("rules", 0, "name") == (4, 3)
    assert document.key_at("rules", 0, "given", "dry_hours_before") == (5, 31)


def test_an_entry_of_a_list_stands_for_its_key() -> None:
    """Where there is no key, key_at gives the place of the value."""
    assert read_text(PLACES, "f.yaml").key_at("rules", 1) == (7, 3)


@pytest.mark.parametrize(
    ("path", "value", "key"),
    [
        (("rules", 0, "given", "nothing"), (5, 10), (5, 3)),
        (("rules", 7, "name"), (4, 1), (3, 1)),
        (("id", "deeper", 3), (2, 5), (2, 1)),
        (("nowhere",), (2, 1), (2, 1)),
    ],
)
def test_a_path_that_is_not_there_falls_back(
    path: tuple[str | int, ...], value: tuple[int, int], key: tuple[int, int]
) -> None:
    """A missing path has the place of its nearest ancestor in the file."""
    document = read_text(PLACES, "f.yaml")
    assert (document.value_at(*path), document.key_at(*path)) == (value, key)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_end_counts_as_one(end: str) -> None:
    """Lines are counted alike whichever way they end."""
    document = read_text(PLACES.replace("\n", end), "f.yaml")
    assert document.value_at("rules", 1, 0, 1) == (7, 9)


def test_columns_count_characters() -> None:
    """A letter outside ASCII moves the column on by one, not by its bytes."""
    document = read_text("é: {ü: x}".encode(), "f.yaml")
    assert document.value_at("é", "ü") == (1, 8)


def test_a_byte_order_mark_is_tolerated() -> None:
    """A BOM before the text changes neither values nor columns."""
    for text in ("\ufeffid: x", b"\xef\xbb\xbfid: x"):
        document = read_text(text, "f.yaml")
        assert (document.data, document.value_at("id")) == ({"id": "x"}, (1, 5))


def test_both_parsers_read_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML's parser in C and the one in Python give the same values and places."""
    facts = Path(__file__).parent.parent / "knowledge" / "facts.yaml"
    read = []
    for name in ("CSafeLoader", "SafeLoader"):
        if not hasattr(yaml, name):
            pytest.skip("PyYAML was built without its parser in C")
        monkeypatch.setattr(yamlfile, "PARSER", getattr(yaml, name))
        read.append([read_text(PLACES, "f.yaml"), read_file(facts)])
    assert read[0] == read[1]


# ---- refusals that a file under tests/bad cannot show -------------------------------------------


@pytest.mark.parametrize(
    "text", ["", " \n\n", "\ufeff", b"", b"\xef\xbb\xbf", "\n# x\n", "---\n..."]
)
def test_an_empty_text_is_refused(text: str | bytes) -> None:
    """A file with nothing in it is one problem of the whole file."""
    assert problems_of(text) == [("f.yaml", 0, 0, "K007")]


@pytest.mark.parametrize("text", [b"\xff\xfei\x00d\x00", b"\xfe\xff\x00i\x00d"])
def test_utf_16_is_named(text: bytes) -> None:
    """A UTF-16 file is one problem, however many of its bytes are not UTF-8."""
    assert problems_of(text) == [("f.yaml", 1, 1, "K005")]


def test_a_wrong_byte_is_named_with_its_number() -> None:
    """The message says which byte of the file is wrong, the BOM counted, and what it is."""
    with pytest.raises(ProblemsFound) as caught:
        read_text(b"\xef\xbb\xbfa: \xc3\xa9\nb: \xe9\n", "f.yaml")
    (problem,) = caught.value.problems
    assert (problem.line, problem.column) == (2, 4)
    assert problem.message == "byte 13 of the file (0xE9) is not UTF-8"


def test_a_lone_surrogate_in_a_text_is_refused() -> None:
    """Half a character is refused where a text, not bytes, is read."""
    assert problems_of("a: \ud800") == [("f.yaml", 1, 4, "K006")]


def test_a_file_of_noise_is_refused_briefly() -> None:
    """A file that is no text at all does not bring a problem for each of its lines."""
    assert len(problems_of(b"\x00\n" * 10_000)) == yamlfile.MOST_BAD_CHARACTERS


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "- - ? ", "&a [", "!t ["])
@pytest.mark.parametrize("parser", ["CSafeLoader", "SafeLoader"])
def test_a_hundred_thousand_levels_are_refused_at_once(
    opening: str, parser: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Depth ends in one problem within a second, never in a RecursionError."""
    monkeypatch.setattr(yamlfile, "PARSER", getattr(yaml, parser, yaml.SafeLoader))
    start = time.perf_counter()
    codes = {code for _, _, _, code in problems_of(opening * 100_000)}
    assert "K017" in codes
    assert time.perf_counter() - start < 1


def test_forty_levels_are_read_and_forty_one_are_not() -> None:
    """The limit of depth is exact."""
    brackets = LIMIT_DEPTH - 1
    deep = read_text("a: " + "[" * brackets + "]" * brackets, "f.yaml")
    assert max(len(path) for path in deep.marks) == LIMIT_DEPTH - 1
    brackets += 1
    assert problems_of("a: " + "[" * brackets + "]" * brackets) == [("f.yaml", 1, 43, "K017")]


def test_a_megabyte_is_read_and_one_byte_more_is_not() -> None:
    """The limit of size is exact, and a file over it is not parsed at all."""
    text = "a: b\n".ljust(LIMIT_BYTES, "#")
    assert read_text(text, "f.yaml").data == {"a": "b"}
    assert problems_of(text + "#") == [("f.yaml", 0, 0, "K004")]
    assert problems_of((text + "#").encode()) == [("f.yaml", 0, 0, "K004")]


def test_mistakes_of_all_sorts_are_found_in_one_pass() -> None:
    """One run names every mistake up to the first place where the grammar breaks."""
    text = "a: &x 1\na: *x\n<<: b\n1: !t c\n{d,e}: f\nb: c: d\ng: *h\n"
    assert [(line, code) for _, line, _, code in problems_of(text)] == [
        (1, "K011"),
        (2, "K010"),
        (2, "K012"),
        (3, "K014"),
        (4, "K016"),
        (4, "K013"),
        (5, "K016"),
        (5, "K018"),
        (5, "K018"),
        (6, "K008"),
    ]


def test_bad_escapes_are_refused_by_both_parsers(monkeypatch: pytest.MonkeyPatch) -> None:
    """An escape that names no character is a problem, not a ValueError of the Python parser."""
    for name in ("CSafeLoader", "SafeLoader"):
        monkeypatch.setattr(yamlfile, "PARSER", getattr(yaml, name, yaml.SafeLoader))
        for text in ('a: "\\UFFFFFFFF"', 'a: "\\ud800"', "%YAML " + "9" * 5000 + ".1\n---\na: b"):
            assert {code for _, _, _, code in problems_of(text)} <= {"K006", "K008"}


# ---- files --------------------------------------------------------------------------------------


def test_a_file_is_read_under_the_name_it_is_shown_as(tmp_path: Path) -> None:
    """The document carries the path given for messages, else the file's own."""
    file = tmp_path / "call.yaml"
    file.write_text("reported: 2027-09-29\n", encoding="utf-8")
    assert read_file(file, "calls/call.yaml").path == "calls/call.yaml"
    assert read_file(file).path == file.as_posix()
    assert read_file(file).data == {"reported": "2027-09-29"}


def file_problem(path: Path) -> Problem:
    """The one problem of a file that cannot be read."""
    with pytest.raises(ProblemsFound) as caught:
        read_file(path, "f.yaml")
    (problem,) = caught.value.problems
    assert (problem.path, problem.line, problem.column) == ("f.yaml", 0, 0)
    return problem


def test_a_missing_file_names_the_nearest_one(tmp_path: Path) -> None:
    """A mistyped file name brings the nearest name in the folder, a far one nothing."""
    (tmp_path / "ground-ivy.yaml").touch()
    found = file_problem(tmp_path / "groundivy.yaml")
    assert (found.code, found.hint) == ("K001", "nearest name in that folder: ground-ivy.yaml")
    assert file_problem(tmp_path / "x").hint == ""
    assert file_problem(tmp_path / "no" / "where.yaml").code == "K001"
    assert file_problem(tmp_path / "ground-ivy.yaml" / "under.yaml").code == "K001"


def test_a_folder_or_a_pipe_is_no_file(tmp_path: Path) -> None:
    """Folders are refused, and a pipe is refused without waiting for what it may bring."""
    assert file_problem(tmp_path).code == "K002"
    os.mkfifo(tmp_path / "pipe")
    assert file_problem(tmp_path / "pipe").code == "K002"


def test_a_file_the_system_refuses_is_a_problem(tmp_path: Path) -> None:
    """What the system says of a file it won't open stands in the message."""
    found = file_problem(tmp_path / ("x" * 300))
    assert (found.code, found.message) == ("K003", "the file cannot be read: file name too long")


def test_no_more_than_the_limit_is_read_of_a_large_file(tmp_path: Path) -> None:
    """A file far over the limit is refused by its size, also where it is sparse."""
    file = tmp_path / "large.yaml"
    with file.open("wb") as handle:
        handle.truncate(10_000_000_000)
    assert file_problem(file).code == "K004"


# ---- any input ----------------------------------------------------------------------------------

GRAMMAR = st.text(alphabet="ab01.:-?,[]{}&*!|>%@`#'\"\\~<= \t\n\r\ufeff\0é", max_size=60)
PIECES = st.lists(
    st.sampled_from(
        ["%YAML 1.2\n", "\n", "\n  ", "---\n", "...\n", "|\n", ">-\n", "\t", "\\u00", "# c"]
        + [piece + " " for piece in ["a:", "-", "?", ",", "&x", "*x", "!t", "<<:", "1:", ":"]]
        + list("b{}[]'\"")
    ),
    max_size=40,
).map("".join)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(), GRAMMAR, PIECES, st.binary(), GRAMMAR.map(str.encode)))
def test_any_input_gives_a_document_or_problems(text: str | bytes) -> None:
    """Whatever is read, the answer is a document with a place for every value, or problems."""
    for parser in (getattr(yaml, "CSafeLoader", yaml.SafeLoader), yaml.SafeLoader):
        yamlfile.PARSER, usual = parser, yamlfile.PARSER
        try:
            document = read_text(text, "f.yaml")
        except ProblemsFound as found:
            lines = 1 + len(text)
            for problem in found.problems:
                assert problem.code in CODES
                assert 0 <= problem.line <= lines
                assert "\n" not in problem.message
                said = re.sub("`.*`", "", problem.message)
                assert not any(word in said for word in ("<", "token", "scanning", "yaml."))
        else:
            assert every_value_has_a_place(document, document.data)
        finally:
            yamlfile.PARSER = usual


def every_value_has_a_place(
    document: Document, value: object, path: tuple[str | int, ...] = ()
) -> bool:
    """Whether the value and all values inside it have a mark."""
    inside: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        inside = list(value.items())
    elif isinstance(value, list):
        inside = list(enumerate(value))
    return path in document.marks and all(
        every_value_has_a_place(document, entry, (*path, key)) for key, entry in inside
    )
