"""PyYAML's complaints in plain words.

`yamlfile` hands over the exception and the text; back comes a `Problem` at the place where a
person would look. Whatever PyYAML says that is not in the table below gets the last, general
sentence, never PyYAML's own.
"""

from __future__ import annotations

import re
from typing import Final

import yaml

from advisor.problem import Problem, printable, split_lines

LONGEST_SHOWN: Final = 40

_QUOTE: Final = "put the text in quotes"
_OPENED: Final = "opened on line LINE at column COLUMN"

# what PyYAML says (context and problem together) | code | at the place where the construct begins
# rather than where it went wrong | in plain words | what is right
_SAYINGS: Final[tuple[tuple[str, str, bool, str, str], ...]] = (
    (
        r"nesting depth",
        "K017",
        False,
        "nested too deep",
        "",
    ),
    (
        r"tab character|found character '\\t'",
        "K009",
        False,
        "a tab stands where only spaces may",
        "indent with spaces",
    ),
    (
        r"scanning a (tag|%TAG)|tag handle",
        "K013",
        True,
        "a tag (!) stands here; tags are not used in these files",
        "leave it out, or put quotes around a text that starts with !",
    ),
    (
        r"scanning an (anchor|alias)",
        "K008",
        True,
        "a text can't start with * or & here",
        _QUOTE,
    ),
    (
        r"quoted scalar.*(end of stream|document indicator)",
        "K008",
        True,
        "a quote is opened here and never closed",
        "close it, or double a quote that belongs to the text",
    ),
    (
        r"escape|expected escape sequence",
        "K008",
        False,
        "a backslash in double quotes starts an escape, and this one does not exist",
        "use single quotes",
    ),
    (
        r"scanning a block scalar",
        "K008",
        True,
        "a text can't start with > or | here",
        _QUOTE,
    ),
    (
        r"cannot start any token",
        "K008",
        False,
        "a text can't start with this character",
        _QUOTE,
    ),
    (
        r"(block )?sequence entries are not allowed",
        "K008",
        False,
        "a list entry can't begin here",
        "begin each entry on a line of its own with `- `, or quote a text that starts with a dash",
    ),
    (
        r"unexpected ':'",
        "K008",
        False,
        "inside { } and [ ] a colon needs a space after it",
        "",
    ),
    (
        r"expected ':'",
        "K008",
        True,
        "this line has no `: ` after its key",
        "write `key: value`, or `- ` before a list entry",
    ),
    (
        r"flow sequence",
        "K008",
        False,
        f"the list {_OPENED} is not closed, or a comma is missing before this",
        "close it with ]",
    ),
    (
        r"flow mapping",
        "K008",
        False,
        f"the keys {_OPENED} are not closed, or a comma is missing before this",
        "close them with }",
    ),
    (
        r"block collection",
        "K008",
        False,
        "this does not continue the list that begins on line LINE",
        "begin every entry with `- ` at the same column, and indent what belongs to it",
    ),
    (
        r"block mapping",
        "K008",
        False,
        "this does not continue the keys that begin on line LINE",
        "indent keys of one group alike, and quote a text that has quotes inside",
    ),
    (
        r"node content",
        "K008",
        False,
        "a value is missing before this character",
        _QUOTE,
    ),
    (
        r"directive|document start",
        "K008",
        False,
        "this does not belong to the keys and values of the file",
        "",
    ),
)


def shown(text: str) -> str:
    """A value from a file, fit to stand inside a message: one line, not long."""
    one_line = printable(" ".join(text.split()))
    return one_line if len(one_line) <= LONGEST_SHOWN else one_line[: LONGEST_SHOWN - 3] + "..."


def problem(path: str, text: str, error: Exception) -> Problem:
    """What a parser's exception means, at the place where a person would look."""
    if not isinstance(error, yaml.MarkedYAMLError):
        return Problem(path, 0, 0, "K008", "a number or an escape in the file can't be read")
    found = error.problem_mark or error.context_mark
    opened = error.context_mark or found
    if found is None or opened is None:
        return Problem(path, 0, 0, "K008", "the file can't be read as YAML")
    said = f"{error.context or ''} {error.problem or ''}"
    lines = split_lines(text)
    line, column = _place(lines, found)
    before, after = lines[line - 1][: column - 1], lines[line - 1][column - 1 :]
    if "mapping values are not allowed" in said:
        return _stray_colon(path, before, line, column)
    if "cannot start any token" in said and after.startswith("\t"):
        said = "tab character"
    for saying, code, at_opening, message, hint in _SAYINGS:
        if re.search(saying, said):
            mark = opened if at_opening else found
            from_line, from_column = _place(lines, opened)
            filled = message.replace("LINE", str(from_line)).replace("COLUMN", str(from_column))
            return Problem(path, *_place(lines, mark), code, filled, hint)
    message = "this can't be read as `key: value` or as a list"
    return Problem(path, line, column, "K008", message)


def _place(lines: list[str], mark: yaml.Mark) -> tuple[int, int]:
    """Line and column from 1; the parsers may point behind the last line."""
    if mark.line >= len(lines):
        return len(lines), len(lines[-1]) + 1
    return mark.line + 1, mark.column + 1


def _stray_colon(path: str, before: str, line: int, column: int) -> Problem:
    if ": " in before:
        message = "a second colon on the line; YAML would take what is before it for a key"
        return Problem(path, line, column, "K008", message, _QUOTE)
    message = "this key is indented further than the line above allows"
    hint = "give keys of one group the same indentation"
    return Problem(path, line, column, "K008", message, hint)
