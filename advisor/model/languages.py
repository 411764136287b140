"""What customers read in another language: wordings of entries, phrases, answers.

Built from `languages/`; `advisor.languages` lays it over the English texts. What is missing here is
said in English.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.speech import ENGLISH, Speech


@dataclass(frozen=True, slots=True)
class Wording:
    """The texts of a kind, a cause or a stop."""

    title: str
    customer: str
    remedies: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TopicWording:
    """An answer and how it is asked for; `of` is the digest of the English it was made from."""

    of: str
    title: str
    lead: str | None
    ask: tuple[str, ...]
    keywords: tuple[str, ...]
    answer: str
    short: str
    add: Mapping[str, str]
    first_aid: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Language:
    """Everything there is of one language. `texts` maps an English text to its translation."""

    id: str
    name: str
    speech: Speech = ENGLISH
    entries: Mapping[str, Wording] = field(default_factory=dict)
    phrases: Mapping[str, str] = field(default_factory=dict)
    asks: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, TopicWording] = field(default_factory=dict)
    unreviewed: tuple[str, ...] = ()
