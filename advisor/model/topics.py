"""A question that homeowners ask, with its curated answer.

Built from `answers/`; what the words are filled with is for `advisor.answers`. It holds the texts
as they were written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.model.base import Basis, Place


@dataclass(frozen=True, slots=True)
class Addition:
    """A sentence of an answer that is said only where every test holds."""

    tests: Mapping[str, tuple[str, ...]]
    say: str


@dataclass(frozen=True, slots=True)
class Topic:
    """A question homeowners ask, the ways they put it, and the curated answer."""

    id: str
    title: str
    safety: bool
    lead: str | None
    ask: tuple[str, ...]
    keywords: tuple[str, ...]
    answer: str
    short: str
    add: tuple[Addition, ...]
    technician: str
    related: tuple[str, ...]
    basis: Basis
    place: Place
