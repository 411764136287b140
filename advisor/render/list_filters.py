"""What a list is narrowed down by: options, entries, marks and words, each checked by its name.

`list_rows` asks a `Filters` about every entry; a name that the knowledge base does not have is an
error that says the nearest one. It knows nothing of columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from advisor.model import KnowledgeBase
from advisor.names import did_you_mean

Cell: TypeAlias = str | int | bool | tuple[str, ...] | None
Cells: TypeAlias = Mapping[str, Cell]


class UnknownName(Exception):
    """A name to narrow down by that the knowledge base does not have."""

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        names = list(known)
        self.message = f"there is no {what} `{name}`"
        self.hint = did_you_mean(name, names) or "known: " + ", ".join(sorted(names)[:20])
        super().__init__(self.message)


class Filters:
    """What a list is narrowed down to; a filter that was not given holds for all."""

    def __init__(self, base: KnowledgeBase, asked: Mapping[str, Any]) -> None:
        self.base = base
        self.asked = {name: value for name, value in asked.items() if value not in (None, False)}

    def one_of(self, name: str, known: Iterable[str], has: Iterable[str]) -> bool:
        """Whether what was asked under a name, which must be known, is among what there is."""
        wanted = self.asked.get(name)
        if wanted is None:
            return True
        if wanted not in (names := list(known)):
            raise UnknownName(name.replace("_", " "), wanted, names)
        return wanted in set(has)

    def option(self, name: str, fact: str, has: str) -> bool:
        """Whether an option of a fact was asked for and is the one."""
        return self.one_of(name, self.base.facts[fact].options, [has])

    def entry(self, name: str, entries: Mapping[str, object], has: Iterable[str]) -> bool:
        """Whether an entry was asked for and is among those there are."""
        return self.one_of(name, entries, has)

    def flag(self, name: str, has: bool) -> bool:
        """Whether a mark was asked for and is there."""
        return has or not self.asked.get(name)

    def word(self, *texts: str) -> bool:
        """Whether a word was asked for and stands in one of the texts."""
        wanted = str(self.asked.get("word", "")).casefold()
        return any(wanted in text.casefold() for text in texts)
