"""Walks a knowledge folder: every file read and held against its schema, every id it defines.

The first half of loading; `knowledge` builds the base from what this finds. A file that cannot be
read or has the wrong shape still counts as there, so that what refers to it stays quiet; what the
files say is not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from advisor.names import nearest
from advisor.problem import Problem, ProblemsFound
from advisor.schema import Schemas
from advisor.yamlfile import Document, read_file

FOLDERS = {
    "weeds": "weed",
    "products": "product",
    "causes": "cause",
    "kinds": "kind",
    "stops": "stop",
    "answers": "answer",
    "regions": "region",
}
FILES = {
    "facts.yaml": "facts",
    "sites.yaml": "sites",
    "turf.yaml": "turf",
    "sources.yaml": "sources",
    "model.yaml": "model",
    "sprayers.yaml": "sprayers",
    "heat.yaml": "heat",
    "trials.yaml": "trials",
    "phrases.yaml": "phrases",
    "retired.yaml": "retired",
}
MAY_BE_MISSING = {
    "phrasings.yaml": "phrasings",
    "synonyms.yaml": "synonyms",
}
LISTED = {"sites": "site", "turf": "turf", "sources": "source", "trials": "trial"}
"""Single files that list entries of a kind under one key."""
LANGUAGES = "languages"
LANGUAGE_FILES = {
    "figures.yaml": "figures",
    "phrases.yaml": "translation",
    "kinds.yaml": "translation",
    "causes.yaml": "translation",
    "stops.yaml": "translation",
    "facts.yaml": "translation",
    "names.yaml": "translation",
    "texts.yaml": "translation",
    "answers": "answer-wording",
}
"""What stands under languages/<language>/; answers is a folder."""
EXAMPLES = "examples"


def shipped(name: str) -> Path:
    """The folder of the shipped knowledge base (`knowledge`) or of the schemas (`schemas`)."""
    installed = Path(__file__).parent / "_data" / name
    return installed if installed.is_dir() else Path(__file__).parent.parent / name


@dataclass
class Folder:
    """The documents of a folder, by kind of file and id, and the ids they define."""

    root: Path
    documents: dict[str, dict[str, Document]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    ids: dict[str, set[str]] = field(default_factory=dict)


def read_folder(root: Path) -> Folder:
    """Everything in a knowledge folder, with what is wrong with it so far."""
    found = Folder(root)
    schemas = Schemas(shipped("schemas"))
    for path in _walk(root):
        _read(found, schemas, path)
    _collect_ids(found)
    _check_single_files(found)
    return found


def _walk(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and EXAMPLES not in path.relative_to(folder).parts:
            yield path


def _read(found: Folder, schemas: Schemas, path: Path) -> None:
    relative = path.relative_to(found.root)
    kind = _kind_of_file(relative)
    shown = str(path)
    if kind is None:
        singles = [*FILES, *MAY_BE_MISSING]
        places = [*singles, *(f"{f}/<id>.yaml" for f in FOLDERS)]
        close = nearest(str(relative), places) or nearest(relative.name, singles)
        hint = f"nearest valid name: {close}" if close else "known: " + ", ".join(places)
        found.problems.append(Problem(shown, 0, 0, "K020", "no loader claims this file", hint))
        return
    try:
        document = read_file(path, shown_as=shown)
        problems = schemas.check(kind, document)
    except ProblemsFound as error:
        problems = list(error.problems)
    if problems:
        found.problems.extend(problems)
        # the file is there, whatever is in it: references to it stay quiet
        if relative.parts[0] in FOLDERS:
            found.ids.setdefault(kind, set()).add(path.stem)
        return
    if relative.parts[0] in FOLDERS and _own_id(document) != path.stem:
        line, column = document.value_at("id")
        message = f"the id is `{_own_id(document)}` but the file is called {path.name}"
        found.problems.append(Problem(shown, line, column, "K203", message))
    found.documents.setdefault(kind, {})[_name_of_file(relative, kind)] = document


def _own_id(document: Document) -> str:
    data: Any = document.data
    return str(data["id"])


def _kind_of_file(relative: Path) -> str | None:
    if len(relative.parts) == 1:
        return FILES.get(relative.name) or MAY_BE_MISSING.get(relative.name)
    if len(relative.parts) == 2 and relative.suffix == ".yaml":
        return FOLDERS.get(relative.parts[0])
    if relative.parts[0] == LANGUAGES and len(relative.parts) == 3:
        return LANGUAGE_FILES.get(relative.name) if relative.suffix == ".yaml" else None
    if relative.parts[0] == LANGUAGES and len(relative.parts) == 4 and relative.suffix == ".yaml":
        return LANGUAGE_FILES.get(relative.parts[2])
    return None


def _name_of_file(relative: Path, kind: str) -> str:
    """What a document is kept under: its id, its kind where there is one only, or its path."""
    if relative.parts[0] == LANGUAGES:
        return relative.relative_to(LANGUAGES).with_suffix("").as_posix()
    return relative.stem if relative.parts[0] in FOLDERS else kind


def _collect_ids(found: Folder) -> None:
    """Gather the ids of every kind; one id may be used once over all kinds."""
    for kind in FOLDERS.values():
        found.ids.setdefault(kind, set()).update(found.documents.get(kind, {}))
    for kind, key in LISTED.items():
        document = found.documents.get(kind, {}).get(kind)
        if document is not None:
            found.ids[key] = set(entries_of(document, kind))
    first: dict[str, tuple[str, Document]] = {}
    for kind, names in sorted(found.ids.items()):
        if kind == "source":
            continue
        for name in sorted(names):
            document, keys = _home(found, kind, name)
            if document is None:
                continue
            if name in first:
                line, column = document.key_at(*keys)
                other = first[name][1].path
                message = f"the id `{name}` is already used in {other}"
                found.problems.append(Problem(document.path, line, column, "K204", message))
            first.setdefault(name, (kind, document))


def entries_of(document: Document, key: str) -> dict[str, Any]:
    """The mapping under the one key of a file that lists things."""
    data: Any = document.data
    entries: dict[str, Any] = data[key] or {}
    return entries


def _home(found: Folder, kind: str, name: str) -> tuple[Document | None, tuple[str, ...]]:
    for file, listed in LISTED.items():
        if listed == kind:
            return found.documents[file][file], (file, name)
    return found.documents.get(kind, {}).get(name), ("id",)


def _check_single_files(found: Folder) -> None:
    """Every single file must be there."""
    for file in FILES:
        path = found.root / file
        if not path.exists():
            message = f"a knowledge folder needs a file {file}"
            found.problems.append(Problem(str(found.root), 0, 0, "K021", message))
