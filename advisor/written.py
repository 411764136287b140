"""An entry as it is written in its file, with the place where it stands.

For programs that take the knowledge base from this one: `show --json` hands out what a person wrote
and a schema checked. The file is read again; nothing is changed or filled in.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.catalog import Ref
from advisor.knowledge_folder import FILES, FOLDERS, LISTED
from advisor.model import KnowledgeBase
from advisor.yamlfile import read_file

IN_ONE_FILE = {kind: file for file, kind in LISTED.items()} | {"fact": "facts"}
"""Kinds whose entries stand under one key of a file: the key."""


@dataclass(frozen=True, slots=True)
class Written:
    """The values of an entry, the file they are in and the line they begin at."""

    data: Any
    path: str
    line: int


def written(ref: Ref, base: KnowledgeBase) -> Written | None:
    """An entry as written; None for what has no entry of its own, such as an active."""
    folder = Path(base.folder)
    if ref.kind == "rule":
        return _rule(ref.id, base)
    if ref.kind in IN_ONE_FILE:
        key = IN_ONE_FILE[ref.kind]
        name = next(file for file, kind in FILES.items() if kind == key)
        document = read_file(folder / name, shown_as=name)
        data: Any = document.data
        return Written(data[key][ref.id], name, document.key_at(key, ref.id)[0])
    for name, kind in FOLDERS.items():
        if kind == ref.kind:
            shown = f"{name}/{ref.id}.yaml"
            return Written(read_file(folder / shown, shown_as=shown).data, shown, 1)
    return None


def _rule(name: str, base: KnowledgeBase) -> Written:
    rule = next(rule for rule in base.rules() if rule.id == name)
    owners = {"causes": base.causes, "kinds": base.kinds, "stops": base.stops}
    folder = next(folder for folder, entries in owners.items() if rule.owner in entries)
    shown = f"{folder}/{rule.owner}.yaml"
    document = read_file(Path(base.folder) / shown, shown_as=shown)
    data: Any = document.data
    number = next(n for n, one in enumerate(data["rules"]) if one["id"] == name)
    return Written(data["rules"][number], shown, document.value_at("rules", number)[0])
