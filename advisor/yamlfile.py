"""YAML files as plain values, each with the line and column it came from.

The knowledge base and the call files are read here before a schema sees them; PyYAML's parser does
the grammar, the values are built from its events. Only true, false, null, plain whole numbers and
plain decimals get a type (`no`, `12:30`, dates stay text), and nothing here knows what a key means.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, TypeAlias

import yaml

from advisor import yamlsyntax
from advisor.names import nearest
from advisor.problem import Problem, ProblemsFound, split_lines

LIMIT_BYTES: Final = 1_000_000
LIMIT_DEPTH: Final = 40
MOST_BAD_CHARACTERS: Final = 50
"""Where a file is no text at all, this many places are enough to say so."""

PARSER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""PyYAML's parser in C where it was built, else the one in Python."""

Yaml: TypeAlias = "bool | int | float | str | list[Yaml] | dict[str, Yaml] | None"
Key: TypeAlias = str | int
Place: TypeAlias = tuple[int, int]

_WHOLE: Final = re.compile(r"-?(0|[1-9][0-9]{0,14})")
_DECIMAL: Final = re.compile(r"-?(0|[1-9][0-9]{0,14})\.[0-9]{1,15}")
_WORDS: Final[dict[str, Yaml]] = {
    "true": True,
    "false": False,
    "null": None,
    "~": None,
    "": None,
}
_NOT_TEXT: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
_UTF16: Final = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a value begins and, if it has one, where its key begins; line and column from 1."""

    value: Place
    key: Place | None = None


@dataclass(frozen=True)
class Document:
    """One YAML file: the path it is shown as, its text, its values and where each one stands."""

    path: str
    text: str
    data: dict[str, Yaml]
    marks: Mapping[tuple[Key, ...], Mark]

    def value_at(self, *keys: Key) -> Place:
        """Line and column of the value at this path, or of the nearest ancestor there is."""
        return self._nearest(keys).value

    def key_at(self, *keys: Key) -> Place:
        """Line and column of the key at this path (in a list: of the entry), or of an ancestor."""
        mark = self._nearest(keys)
        return mark.key or mark.value

    def _nearest(self, keys: tuple[Key, ...]) -> Mark:
        while keys not in self.marks:
            keys = keys[:-1]
        return self.marks[keys]


def read_file(path: Path, shown_as: str | None = None) -> Document:
    """Read a YAML file; `shown_as` is what its problems call it. Raises ProblemsFound."""
    shown = path.as_posix() if shown_as is None else shown_as
    try:
        if not path.is_file():
            raise ProblemsFound([_no_file(path, shown)])
        with path.open("rb") as file:
            content = file.read(LIMIT_BYTES + 1)
    except OSError as error:
        why = (error.strerror or "the system gives no reason").lower()
        raise ProblemsFound([_whole(shown, "K003", f"the file cannot be read: {why}")]) from None
    return read_text(content, shown)


def read_text(text: str | bytes, path: str) -> Document:
    """Read YAML from memory; `path` is what its problems call it. Raises ProblemsFound."""
    if len(text) > LIMIT_BYTES:
        hint = f"at most {LIMIT_BYTES:,} bytes are read; split it"
        raise ProblemsFound([_whole(path, "K004", "the file is too large", hint)])
    decoded = _decode(text, path) if isinstance(text, bytes) else text
    decoded = decoded.removeprefix("\ufeff")
    unfit = [
        Problem(path, *_place(decoded, match.start()), "K006", _unfit(match.group()))
        for match in _first_of_each_line(decoded)
    ]
    if unfit:
        raise ProblemsFound(unfit)
    return _Builder(path).build(decoded)


# ---- files and characters -----------------------------------------------------------------------


def _whole(path: str, code: str, message: str, hint: str = "") -> Problem:
    return Problem(path, 0, 0, code, message, hint)


def _no_file(path: Path, shown: str) -> Problem:
    if path.is_dir():
        return _whole(shown, "K002", "this is a folder; a file is needed here")
    if path.exists():
        return _whole(shown, "K002", "this is not an ordinary file")
    try:
        name = nearest(path.name, (entry.name for entry in path.parent.iterdir()))
    except OSError:
        return _whole(shown, "K001", "there is no such file, nor the folder it would be in")
    hint = f"nearest name in that folder: {name}" if name else ""
    return _whole(shown, "K001", "there is no such file", hint)


def _decode(content: bytes, path: str) -> str:
    """The bytes as text; raises ProblemsFound at the first byte of each line that is not UTF-8."""
    save = "save the file as UTF-8"
    if content.startswith(_UTF16):
        raise ProblemsFound([Problem(path, 1, 1, "K005", "the file is UTF-16, not UTF-8", save)])
    text = content.decode("utf-8", "surrogateescape")
    bom = "\ufeff" if text.startswith("\ufeff") else ""
    problems = []
    for match in _first_of_each_line(text.removeprefix(bom)):
        if not "\udc80" <= match.group() <= "\udcff":
            continue
        before = bom + match.string[: match.start()]
        number = len(before.encode("utf-8", "surrogateescape")) + 1
        byte = ord(match.group()) - 0xDC00
        message = f"byte {number} of the file (0x{byte:02X}) is not UTF-8"
        place = _place(match.string, match.start())
        problems.append(Problem(path, *place, "K005", message, save))
    if problems:
        raise ProblemsFound(problems)
    return text


def _first_of_each_line(text: str) -> Iterator[re.Match[str]]:
    """The first character of each line that has no place in text, up to a limit."""
    at, found = 0, 0
    while found < MOST_BAD_CHARACTERS and (match := _NOT_TEXT.search(text, at)):
        yield match
        found += 1
        at = match.end() + len(split_lines(text[match.end() :])[0])


def _place(text: str, index: int) -> Place:
    lines = split_lines(text[:index])
    return len(lines), len(lines[-1]) + 1


def _unfit(character: str) -> str:
    return f"an invisible character (U+{ord(character):04X}) that has no place in text"


# ---- values -------------------------------------------------------------------------------------


def _typed(event: Any) -> Yaml:
    """The value of a scalar: plain true, false, null and numbers are typed, the rest is text."""
    text: str = event.value
    if not event.implicit[0] or event.tag is not None:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.fullmatch(text):
        return int(text)
    return float(text) if _DECIMAL.fullmatch(text) else text


@dataclass(slots=True)
class _Open:
    """A list or a mapping whose end has not come yet."""

    into: list[Yaml] | dict[str, Yaml]
    path: tuple[Key, ...]
    kept: bool
    """False inside a value whose key was refused: read for its own problems, then dropped."""
    flow: bool
    value_next: bool = False
    """In a mapping: a key has been read."""
    key: str | None = None
    """The key read; None when it was refused."""
    key_place: Place = (1, 1)
    key_end: int = 0
    key_shown: str = ""
    lines: dict[str, int] = field(default_factory=dict)
    """The line each key was first read on."""


class _Builder:
    """Builds one document from the parser's events and collects what is wrong on the way.

    Events, not nodes: the parser hands them out one by one without recursion, so depth is bounded
    here, and an alias is refused before anything expands.
    """

    def __init__(self, path: str) -> None:
        self.path = path
        self.problems: list[Problem] = []
        self.marks: dict[tuple[Key, ...], Mark] = {}
        self.open: list[_Open] = []
        self.root: Yaml = None
        self.empty = True
        self.documents = 0

    def build(self, text: str) -> Document:
        try:
            for event in yaml.parse(text, Loader=PARSER):
                if not self._take(event):
                    break
        except (yaml.MarkedYAMLError, ValueError, OverflowError) as error:
            # The parser in Python lets bad \U escapes and version numbers through to int and chr.
            self.problems.append(yamlsyntax.problem(self.path, text, error))
        if not self.problems and self.empty:
            self.problems.append(_whole(self.path, "K007", "the file is empty"))
        if not self.problems and not isinstance(self.root, dict):
            what = "a list" if isinstance(self.root, list) else "a single value"
            message = f"the file holds {what}; keys with values are needed (`key: value`)"
            self._add(self.marks[()].value, "K019", message)
        if self.problems or not isinstance(self.root, dict):
            raise ProblemsFound(self.problems)
        return Document(self.path, text, self.root, self.marks)

    def _add(self, place: Place, code: str, message: str, hint: str = "") -> None:
        self.problems.append(Problem(self.path, *place, code, message, hint))

    def _take(self, event: Any) -> bool:
        """Take one event; False when reading on makes no sense."""
        place = (event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self._add(place, "K015", "a second document begins here; a file holds one")
                return False
        elif isinstance(event, yaml.CollectionEndEvent):
            self.open.pop()
        elif isinstance(event, yaml.NodeEvent):
            self._refuse_extras(event, place)
            if isinstance(event, yaml.ScalarEvent):
                self._put(event, place, _typed(event))
            elif isinstance(event, yaml.CollectionStartEvent):
                if len(self.open) >= LIMIT_DEPTH:
                    self._add(place, "K017", f"nested more than {LIMIT_DEPTH} levels deep")
                    return False
                into: Yaml = {} if isinstance(event, yaml.MappingStartEvent) else []
                self._put(event, place, into)
            else:
                self._put(event, place, None)
        return True

    def _refuse_extras(self, event: Any, place: Place) -> None:
        if isinstance(event, yaml.AliasEvent):
            message = f"`*{event.anchor}` is an alias; aliases are not used in these files"
            hint = "write the value out, or put quotes around a text that starts with *"
            self._add(place, "K012", message, hint)
            return
        if event.anchor is not None:
            message = f"`&{event.anchor}` is an anchor; anchors are not used in these files"
            hint = "leave it out, or put quotes around a text that starts with &"
            self._add(place, "K011", message, hint)
        if event.tag is not None:
            message = "a tag (!) stands here; tags are not used in these files"
            hint = "leave it out, or put quotes around a text that starts with !"
            self._add(place, "K013", message, hint)
        if isinstance(event, yaml.ScalarEvent) and (unfit := _NOT_TEXT.search(event.value)):
            self._add(place, "K006", _unfit(unfit.group()), "leave the escape (\\) out")

    def _put(self, event: Any, place: Place, value: Yaml) -> None:
        """Put a node where it belongs, as a key or as a value, and open it if it can hold more."""
        parent = self.open[-1] if self.open else None
        path: tuple[Key, ...] = ()
        kept, mark = True, Mark(place)
        if parent is None:
            self.root = value
            self.empty = value is None and getattr(event, "value", None) == ""
        elif isinstance(parent.into, list):
            path, kept = (*parent.path, len(parent.into)), parent.kept
            parent.into.append(value)
        elif not parent.value_next:
            parent.key = self._key(parent, event, place, value)
            parent.value_next, kept = True, False
        else:
            parent.value_next = False
            self._refuse_cut_value(parent, event)
            if parent.key is None:
                kept = False
            else:
                path, kept = (*parent.path, parent.key), parent.kept
                mark = Mark(place, parent.key_place)
                parent.into[parent.key] = value
        if kept:
            self.marks[path] = mark
        if isinstance(value, list | dict):
            self.open.append(_Open(value, path, kept, bool(event.flow_style)))

    def _key(self, parent: _Open, event: Any, place: Place, value: Yaml) -> str | None:
        """The key if it is one, else None with the problem added."""
        written = getattr(event, "value", "")
        parent.key_place, parent.key_end = place, event.end_mark.index
        parent.key_shown = yamlsyntax.shown(written)
        if not isinstance(value, str):
            if not parent.kept:
                return None
            what = f"`{parent.key_shown}` is not text" if written else "this is not text"
            hint = f'in quotes it would be: "{parent.key_shown}"' if written else ""
            self._add(place, "K016", f"a key must be text, and {what}", hint)
            return None
        if value == "<<" and event.implicit[0]:
            self._add(place, "K014", "`<<` merges keys, which is not done in these files")
            return None
        if value in parent.lines:
            line = parent.lines[value]
            message = f"`{parent.key_shown}` is written twice, first on line {line}"
            self._add(place, "K010", message)
            return None
        parent.lines[value] = place[0]
        return value

    def _refuse_cut_value(self, parent: _Open, event: Any) -> None:
        """Refuse `{active: 2,4-D}`, which YAML reads as the keys `active` and `4-D`."""
        empty = isinstance(event, yaml.ScalarEvent) and event.value == ""
        if not (parent.flow and empty and event.start_mark.index == parent.key_end):
            return
        last = self.problems[-1] if self.problems else None
        if last and last.code == "K016" and (last.line, last.column) == parent.key_place:
            self.problems.pop()
        message = f"`{parent.key_shown}` has no value: inside {{ }} a comma begins the next key"
        hint = 'put a value with a comma in it in quotes, as in "2,4-D"'
        self._add(parent.key_place, "K018", message, hint)
