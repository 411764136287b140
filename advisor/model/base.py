"""What everything in the knowledge base may carry: its place in a file and where a figure is from.

The foot of the model: the other modules of this package build on it. It reads no file and knows
neither weed nor rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in a file: 1-based line and column."""

    path: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a figure comes from: a source, common practice, memory or the demo."""

    kind: str
    source: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Exemption:
    """A problem that a check would report and that is meant to be so; `about` are the ids in it."""

    code: str
    about: frozenset[str]
    because: str
    place: Place


Origins: TypeAlias = Mapping[tuple[str, ...], Basis]
"""Where figures that belong to no entry come from, by the path to them."""


@dataclass(frozen=True, slots=True)
class Source:
    """A published source."""

    id: str
    type: str
    title: str
    publisher: str
    year: int | None
    locator: str | None
    seen: bool
    checked: str = ""


@dataclass(frozen=True, slots=True)
class Retired:
    """An id that was given up, and what took its place."""

    successor: str
    on: str
    why: str
