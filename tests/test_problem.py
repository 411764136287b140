"""Problems: how they read, how they sort, how their place is shown; and the nearest name.

The problems of real files are tested where they are found. Nothing here reads a file.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.names import did_you_mean, nearest
from advisor.problem import CODES, EXCERPT_WIDTH, Problem, ProblemsFound, excerpt, sorted_unique

# ---- problems -----------------------------------------------------------------------------------


def test_the_first_line_of_a_problem_is_for_machines() -> None:
    """The text is `path:line:column: error code: message`, the hint an indented second line."""
    problem = Problem("a/b.yaml", 12, 5, "K101", "`tittle` is not a key known here")
    first = "a/b.yaml:12:5: error K101: `tittle` is not a key known here"
    assert problem.text() == first
    hinted = Problem("a/b.yaml", 12, 5, "K101", problem.message, "nearest valid name: title")
    assert hinted.text() == f"{first}\n    nearest valid name: title"


def test_problems_are_sorted_by_place_each_once() -> None:
    """Problems come by path, then line as a number, then column; a repeated one comes once."""
    late, early = Problem("b", 10, 1, "K101", "x"), Problem("b", 9, 7, "K102", "x")
    first, other = Problem("a", 99, 1, "K101", "x"), Problem("b", 9, 2, "K103", "x")
    assert sorted_unique([late, early, first, other, late]) == (first, other, early, late)
    found = ProblemsFound([late, first, late])
    assert found.problems == (first, late)
    assert str(found) == f"{first.text()}\n{late.text()}"


def test_no_problems_are_no_failure() -> None:
    """ProblemsFound without a problem is a mistake of the program."""
    with pytest.raises(ValueError, match="at least one"):
        ProblemsFound([])


def test_the_caret_stands_under_the_column() -> None:
    """An excerpt is the line with its number and a caret under the place."""
    text = "id: x\r\ntitle:\tcafé now\n"
    shown = excerpt(text, Problem("f", 2, 13, "K101", "x"))
    assert shown == "2 | title: café now\n                ^"
    assert excerpt(text, Problem("f", 2, 99, "K101", "x")).splitlines()[1].index("^") == 19


def test_an_excerpt_cannot_command_the_terminal() -> None:
    """Escape codes, line separators and half characters are marked, not handed to the terminal."""
    shown = excerpt("a: \x1b[31m\u2028\ud800\u202e", Problem("f", 1, 4, "K006", "x"))
    assert shown == "1 | a: \ufffd[31m\ufffd\ufffd\ufffd\n       ^"


def test_a_long_line_is_cut_around_the_place() -> None:
    """Of a long line the part around the place is shown, with the caret still under it."""
    text = "a" * 500 + "X" + "b" * 500
    line, caret = excerpt(text, Problem("f", 1, 501, "K101", "x")).splitlines()
    assert line[caret.index("^")] == "X"
    assert len(line) == len("1 | ") + 3 + EXCERPT_WIDTH + 3


@pytest.mark.parametrize(("line", "column"), [(0, 0), (2, 1), (1, 0)])
def test_a_problem_of_the_whole_file_has_no_excerpt(line: int, column: int) -> None:
    """Where there is no place in the text there is nothing to show."""
    assert excerpt("a: b", Problem("f", line, column, "K001", "x")) == ""


def test_every_code_in_use_is_registered() -> None:
    """Each code written anywhere in the program has its one-line meaning in CODES."""
    program = Path(__file__).parent.parent / "advisor"
    used = {
        code
        for path in program.rglob("*.py")
        for code in re.findall(r'"([KCW][0-9]{3})"', path.read_text(encoding="utf-8"))
    }
    assert used == set(CODES) & used
    assert all(re.fullmatch(r"[KCW][0-9]{3}", code) and CODES[code] for code in CODES)


# ---- names --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "candidates", "name"),
    [
        ("tittle", ["title", "id", "what"], "title"),
        ("Ground-Ivy", ["ground-ivy", "wild-violet"], "ground-ivy"),
        ("fcat", ["fact", "is", "in"], "fact"),
        ("ab", ["ac", "ad", "xb"], "ac"),
        ("ab", ["xb", "ad", "ac"], "ac"),
        ("zzz", ["title", "id"], None),
        ("", ["title"], None),
        ("title", [], None),
        ("x" * 100_000, ["x" * 100_000], None),
    ],
)
def test_the_nearest_name(word: str, candidates: list[str], name: str | None) -> None:
    """The most alike name wins whatever its case, ties go to the alphabet, far ones to nobody."""
    cutoff = 0.5 if word == "ab" else 0.6
    assert nearest(word, candidates, cutoff) == name


def test_a_hint_only_where_a_name_is_near() -> None:
    """No suggestion is better than a silly one."""
    assert did_you_mean("grup", ["group", "title"]) == "nearest valid name: group"
    assert did_you_mean("soil", ["group", "title"]) == ""
