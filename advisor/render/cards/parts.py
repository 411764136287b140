"""What a card is made of: sections of lines, items, tables, bars, rules and pictures.

Filled by the makers of this package, read by whatever shows a card. A figure sits in a part beside
its `Basis`, and every other entry named is a `Link`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

from advisor.model import Basis

WORKED_OUT = Basis("worked-out")
"""A figure that the program makes of others, each of which shows its own origin."""


@dataclass(frozen=True, slots=True)
class Link:
    """Another entry, named."""

    kind: str
    id: str
    text: str


Words: TypeAlias = tuple[str | Link, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that is known: what it is, and what it is here."""

    label: str
    words: Words
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A sentence in a list."""

    words: Words
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence that says how to read what stands around it."""

    words: Words


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table; `anchor` is the entry it is the home of."""

    cells: tuple[Words, ...]
    basis: Basis | None = None
    anchor: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns; the origins of its rows have a column of their own."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """A share with its range, drawn as a bar; `after` is what else belongs to it."""

    label: Words
    low: float
    share: float
    high: float
    basis: Basis | None = None
    after: Words = ()


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars on one scale from none to all; `titled` where `of` says more than the heading does."""

    of: str
    after: str
    rows: tuple[Bar, ...]
    titled: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of the entry, which whoever shows the card draws from the knowledge base."""

    name: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A condition in words: the fact, and what is asked of it."""

    fact: Link
    wants: str


@dataclass(frozen=True, slots=True)
class Effect:
    """What a rule does to one thing; `share` is drawn where it is a loss."""

    of: Words
    says: str
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Tried:
    """An example of a rule in words; `held_by` are the facts that hold a near miss back."""

    name: str
    given: Words
    held_by: Words = ()


@dataclass(frozen=True, slots=True)
class RulePart:
    """A rule in words: its conditions (each alternative in full), its effects, its examples."""

    id: str
    alternatives: tuple[tuple[Asked, ...], ...]
    effect: str
    effects: tuple[Effect, ...]
    because: Words
    basis: Basis
    fires: tuple[Tried, ...]
    quiet: tuple[Tried, ...]


Part: TypeAlias = Line | Item | Note | Table | Bars | Picture | RulePart


@dataclass(frozen=True, slots=True)
class Section:
    """Parts under a heading; `basis` is the origin of all figures in it that show none."""

    id: str
    head: str
    parts: tuple[Part, ...]
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class Card:
    """All that is known of an entry."""

    kind: str
    id: str
    name: str
    about: str
    sections: tuple[Section, ...] = field(default=())


def links_of(part: Part) -> Iterator[Link]:
    """Every entry that a part names."""
    for words in _words_of(part):
        yield from (piece for piece in words if isinstance(piece, Link))
    if isinstance(part, RulePart):
        yield from (asked.fact for asked in _asked(part))


def bases_of(part: Part) -> Iterator[tuple[Basis, Words]]:
    """Every origin in a part, with what it is the origin of (nothing: of the section)."""
    if isinstance(part, Table):
        yield from ((row.basis, ()) for row in part.rows if row.basis)
    elif isinstance(part, Bars):
        yield from ((row.basis, row.label) for row in part.rows if row.basis)
    elif isinstance(part, RulePart):
        yield part.basis, (Link("rule", part.id, part.id),)
    elif isinstance(part, Line) and part.basis:
        yield part.basis, (part.label,)
    elif isinstance(part, Item) and part.basis:
        yield part.basis, ()


def _words_of(part: Part) -> Iterator[Words]:
    if isinstance(part, Line | Item | Note):
        yield part.words
    elif isinstance(part, Table):
        yield from (cell for row in part.rows for cell in row.cells)
    elif isinstance(part, Bars):
        yield from (words for row in part.rows for words in (row.label, row.after))
    elif isinstance(part, RulePart):
        yield part.because
        yield from (effect.of for effect in part.effects)
        for tried in (*part.fires, *part.quiet):
            yield from (tried.given, tried.held_by)


def _asked(part: RulePart) -> Iterator[Asked]:
    for alternative in part.alternatives:
        yield from alternative


def plain(words: Words) -> str:
    """Words without their links."""
    return "".join(piece if isinstance(piece, str) else piece.text for piece in words)
