"""Curated answers to homeowners' questions: from checked YAML to `Topic`.

Used by `knowledge.py` for the files in answers/. It looks up every reference a topic makes;
whether its texts can be filled and read easily is for `checking`.
"""

from __future__ import annotations

from advisor.model import Addition, Topic
from advisor.reading import Reader

KNOWN = "known"
NAMED = ("product", "weed", "turf", "region")
"""Tests that may name entries of the knowledge base."""


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
    return Addition(tests, reader.get("add", i, "say"))


def _words(reader: Reader, i: int, name: str) -> tuple[str, ...]:
    keys = ("add", i, "if", name)
    raw = reader.get(*keys)
    words = tuple(raw) if isinstance(raw, list) else (raw,)
    if name in NAMED and words != (KNOWN,):
        for n in range(len(words)):
            reader.reference(name, *keys, *([n] if isinstance(raw, list) else []))
    return words
