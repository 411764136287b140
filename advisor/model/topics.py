"""Questions that homeowners ask, with their curated answers, and the words they ask in.

Built from `answers/`, `phrasings.yaml` and `synonyms.yaml`; what the words are filled with is for
`advisor.answers`. It holds the texts as they were written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.model.base import Basis, Place

AFTER, FIRST, INSTEAD = "after", "first", "instead"
"""Where a sentence of an answer is said."""


@dataclass(frozen=True, slots=True)
class Addition:
    """A sentence of an answer that is said only where every test holds.

    `place` is where it is said: after the answer, first, or instead of it.
    """

    tests: Mapping[str, tuple[str, ...]]
    say: str
    place: str = AFTER


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
    language: str = "en"


@dataclass(frozen=True, slots=True)
class Asking:
    """How people put questions: phrasings beside the topics' own, and words that mean the same.

    `means` maps a group to the words in it, `say` what is written to what is meant, `names` what
    a weed, a lawn grass or a product is called to its id, `first_aid` a topic that comes first to
    the phrases that call for it, the most urgent topic first.
    """

    phrasings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    not_ours: tuple[str, ...] = ()
    means: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    say: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    first_aid: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


NO_ASKING = Asking()
