"""Where things stand in the files of a knowledge folder, looked up only once something is wrong.

The loaded base keeps few places; the checks come here for the line and column of a condition, a
text or an entry. It reads files that have loaded before and never judges what they say.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from advisor.model import Rule
from advisor.problem import Problem
from advisor.yamlfile import Document, Key, read_file

Keys = tuple[Key, ...]


class Pages:
    """The files of a folder, each read when it is first asked for."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._documents: dict[str, Document] = {}

    def page(self, path: str) -> Document:
        """The file at a path."""
        if path not in self._documents:
            self._documents[path] = read_file(Path(path), shown_as=path)
        return self._documents[path]

    def problem(
        self, code: str, message: str, path: str, *keys: Key, hint: str = "", at_key: bool = False
    ) -> Problem:
        """A problem at a value of a file, or at its key."""
        page = self.page(path)
        line, column = page.key_at(*keys) if at_key else page.value_at(*keys)
        return Problem(path, line, column, code, message, hint)

    def rule(self, rule: Rule) -> Keys:
        """Where a rule stands in its file."""
        rules: Any = self.page(rule.place.path).data["rules"]
        return "rules", next(i for i, raw in enumerate(rules) if raw["id"] == rule.id)

    def conditions(self, rule: Rule) -> list[tuple[Keys, ...]]:
        """For each clause of a rule, where its conditions stand, in the clause's own order."""
        keys = (*self.rule(rule), "when")
        data: Any = self.page(rule.place.path).data
        return _spread(data["rules"][keys[1]]["when"], keys)


def _spread(node: Mapping[str, Any], keys: Keys) -> list[tuple[Keys, ...]]:
    """The places behind a `when`, multiplied out as the builder multiplies out its conditions."""
    if "fact" in node:
        return [(keys,)]
    if "any" in node:
        return [
            clause
            for j, part in enumerate(node["any"])
            for clause in _spread(part, (*keys, "any", j))
        ]
    clauses: list[tuple[Keys, ...]] = [()]
    for j, part in enumerate(node["all"]):
        spread = _spread(part, (*keys, "all", j))
        clauses = [before + after for before in clauses for after in spread]
    return clauses
