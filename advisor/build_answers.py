"""Curated answers to homeowners' questions: from checked YAML to `Topic` and `Asking`.

Used by `knowledge.py` for answers/, phrasings.yaml and synonyms.yaml. It looks up every reference
they make; whether the texts can be filled and read easily is for `checking`.
"""

from __future__ import annotations

from dataclasses import replace

from advisor.model import NO_ASKING, Addition, Asking, Topic
from advisor.model.topics import AFTER
from advisor.names import did_you_mean
from advisor.reading import Reader

KNOWN = "known"
NAMED = ("product", "weed", "turf", "region")
"""Tests that may name entries of the knowledge base."""
NAMED_BY = ("weed", "turf", "product")
"""What people call by names of their own."""


def build_topic(reader: Reader) -> Topic:
    """One topic."""
    return Topic(
        id=reader["id"],
        title=reader["title"],
        safety=reader["safety"] == "yes",
        lead=reader.get("lead"),
        ask=tuple(reader["ask"]),
        keywords=tuple(reader["keywords"]),
        answer=reader["answer"],
        short=reader["short"],
        add=tuple(_addition(reader, i) for i in range(len(reader.get("add") or []))),
        technician=reader["technician"],
        related=reader.references("answer", "related"),
        basis=reader.basis("from"),
        place=reader.place(),
    )


def _addition(reader: Reader, i: int) -> Addition:
    tests = {name: _words(reader, i, name) for name in reader.get("add", i, "if")}
    return Addition(tests, reader.get("add", i, "say"), reader.get("add", i, "place") or AFTER)


def _words(reader: Reader, i: int, name: str) -> tuple[str, ...]:
    keys = ("add", i, "if", name)
    raw = reader.get(*keys)
    words = tuple(raw) if isinstance(raw, list) else (raw,)
    if name in NAMED and words != (KNOWN,):
        for n in range(len(words)):
            reader.reference(name, *keys, *([n] if isinstance(raw, list) else []))
    return words


def build_phrasings(reader: Reader) -> Asking:
    """The phrasings of phrasings.yaml, as part of the `Asking`."""
    reader.basis("from")
    _check_answers(reader, "topics")
    phrasings = {name: tuple(ways) for name, ways in reader["topics"].items()}
    return Asking(phrasings=phrasings, not_ours=tuple(reader["not_ours"]))


def build_synonyms(reader: Reader) -> Asking:
    """The words of synonyms.yaml, as part of the `Asking`."""
    reader.basis("from")
    known = {name for kind in NAMED_BY for name in reader.ids(kind)}
    for said, name in reader["names"].items():
        if name not in known:
            message = f"there is no weed, lawn grass or product `{name}`"
            reader.problem("K201", message, "names", said, hint=did_you_mean(name, known))
    _check_answers(reader, "first_aid")
    return Asking(
        means={group: tuple(words) for group, words in reader["means"].items()},
        say=dict(reader["say"]),
        names=dict(reader["names"]),
        first_aid={name: tuple(calls) for name, calls in reader["first_aid"].items()},
    )


def _check_answers(reader: Reader, key: str) -> None:
    """The keys of a mapping must be ids of answers."""
    for name in reader[key]:
        if name not in reader.ids("answer"):
            hint = did_you_mean(name, reader.ids("answer"))
            message = f"there is no answer `{name}`"
            reader.problem("K201", message, key, name, hint=hint, at_key=True)


def build_asking(phrasings: Asking | None, synonyms: Asking | None) -> Asking:
    """Both parts put together; either file may be missing."""
    said, words = phrasings or NO_ASKING, synonyms or NO_ASKING
    return replace(words, phrasings=said.phrasings, not_ours=said.not_ours)
