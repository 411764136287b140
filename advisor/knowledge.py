"""Loads a knowledge folder: walks it, checks every file, builds the `KnowledgeBase`.

The first stage of everything: the command line calls `load` and hands the result on. It finds all
mistakes of all files in one run and raises them together; it never runs an engine, and a folder
that loads may still have rules whose examples fail (see `checking`).
"""

from __future__ import annotations

import hashlib
import pickle
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from advisor import __version__, build_answers, build_things
from advisor import model as m
from advisor.build_heat import build_heat
from advisor.build_rules import build_rules
from advisor.build_sprayers import build_sprayers
from advisor.heat import NO_HEAT
from advisor.names import nearest
from advisor.problem import Problem, ProblemsFound, sorted_unique
from advisor.reading import Reader
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
    "phrases.yaml": "phrases",
    "retired.yaml": "retired",
}
EXAMPLES = "examples"
YES_NO = {"yes": 0.5, "no": 0.5}


def shipped(name: str) -> Path:
    """The folder of the shipped knowledge base (`knowledge`) or of the schemas (`schemas`)."""
    installed = Path(__file__).parent / "_data" / name
    return installed if installed.is_dir() else Path(__file__).parent.parent / name


@dataclass
class _Folder:
    """The documents of a folder, by kind of file and id, and the ids they define."""

    root: Path
    documents: dict[str, dict[str, Document]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    ids: dict[str, set[str]] = field(default_factory=dict)


def load(folder: Path, *, cache: Path | None = None) -> m.KnowledgeBase:
    """Load and validate a knowledge folder.

    Args:
        folder: the folder.
        cache: a folder of this user's where a validated copy may be kept; None keeps none.

    Raises:
        ProblemsFound: with every mistake found in any file.
    """
    if not folder.is_dir():
        message = "there is no such knowledge folder"
        raise ProblemsFound((Problem(str(folder), 0, 0, "K001", message),))
    digest = fingerprint(folder)
    kept = _Cache(cache, digest) if cache else None
    if kept and (found := kept.read()) is not None:
        return found
    loaded = _load(folder, digest)
    if kept:
        kept.write(loaded)
    return loaded


def fingerprint(folder: Path) -> str:
    """A digest of everything that decides what loading gives: files, schemas, version."""
    digest = hashlib.sha256(f"{__version__} {sys.version_info[:2]} {folder}".encode())
    for root in (folder, shipped("schemas"), Path(__file__).parent):
        pattern = "*.py" if root == Path(__file__).parent else "*"
        for path in sorted(p for p in root.rglob(pattern) if p.is_file()):
            if "__pycache__" in path.parts or EXAMPLES in path.parts or path.suffix == ".pyc":
                continue
            content = path.read_bytes()
            digest.update(f"{path.relative_to(root)} {len(content)} ".encode())
            digest.update(content)
    return digest.hexdigest()


def _load(folder: Path, digest: str) -> m.KnowledgeBase:
    found = _Folder(folder)
    schemas = Schemas(shipped("schemas"))
    for path in _walk(folder):
        _read(found, schemas, path)
    _collect_ids(found)
    base = _build(found, digest) if _complete(found) else None
    if found.problems or base is None:
        raise ProblemsFound(tuple(sorted_unique(found.problems)))
    return base


def _walk(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and EXAMPLES not in path.relative_to(folder).parts:
            yield path


def _read(found: _Folder, schemas: Schemas, path: Path) -> None:
    relative = path.relative_to(found.root)
    kind = _kind_of_file(relative)
    shown = str(path)
    if kind is None:
        places = [*FILES, *(f"{f}/<id>.yaml" for f in FOLDERS)]
        close = nearest(str(relative), places) or nearest(relative.name, list(FILES))
        hint = f"nearest valid name: {close}" if close else "known: " + ", ".join(places)
        found.problems.append(Problem(shown, 0, 0, "K020", "no loader claims this file", hint))
        return
    try:
        document = read_file(path, shown_as=shown)
    except ProblemsFound as error:
        found.problems.extend(error.problems)
        return
    problems = schemas.check(kind, document)
    if problems:
        found.problems.extend(problems)
        # an id that is readable still counts as known, so that references to it stay quiet
        if relative.parts[0] in FOLDERS:
            found.ids.setdefault(kind, set()).add(path.stem)
        return
    if relative.parts[0] in FOLDERS and _own_id(document) != path.stem:
        line, column = document.value_at("id")
        message = f"the id is `{_own_id(document)}` but the file is called {path.name}"
        found.problems.append(Problem(shown, line, column, "K203", message))
    name = path.stem if relative.parts[0] in FOLDERS else kind
    found.documents.setdefault(kind, {})[name] = document


def _own_id(document: Document) -> str:
    data: Any = document.data
    return str(data["id"])


def _kind_of_file(relative: Path) -> str | None:
    if len(relative.parts) == 1:
        return FILES.get(relative.name)
    if len(relative.parts) == 2 and relative.suffix == ".yaml":
        return FOLDERS.get(relative.parts[0])
    return None


def _collect_ids(found: _Folder) -> None:
    """Gather the ids of every kind; one id may be used once over all kinds."""
    for kind in FOLDERS.values():
        found.ids.setdefault(kind, set()).update(found.documents.get(kind, {}))
    for kind, key in (("sites", "site"), ("turf", "turf"), ("sources", "source")):
        document = found.documents.get(kind, {}).get(kind)
        if document is not None:
            found.ids[key] = set(_entries(document, kind))
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


def _entries(document: Document, key: str) -> dict[str, Any]:
    """The mapping under the one key of a file that lists things."""
    data: Any = document.data
    entries: dict[str, Any] = data[key] or {}
    return entries


def _home(found: _Folder, kind: str, name: str) -> tuple[Document | None, tuple[str, ...]]:
    if kind in {"site", "turf"}:
        plural = "sites" if kind == "site" else "turf"
        return found.documents[plural][plural], (plural, name)
    return found.documents.get(kind, {}).get(name), ("id",)


def _complete(found: _Folder) -> bool:
    """Every single file must be there; without facts and sites nothing else can be read."""
    for file in FILES:
        path = found.root / file
        if not path.exists():
            message = f"a knowledge folder needs a file {file}"
            found.problems.append(Problem(str(found.root), 0, 0, "K021", message))
    return all(found.documents.get(kind) for kind in ("facts", "sites", "retired"))


def _build(found: _Folder, digest: str) -> m.KnowledgeBase | None:
    entries = _entries(found.documents["retired"]["retired"], "retired")
    retired = {old: str(raw["successor"]) for old, raw in entries.items()}

    def reader(document: Document) -> Reader:
        return Reader(document, found.problems, ids=found.ids, retired=retired)

    def single(kind: str, build: Callable[[Reader], Any]) -> Any:
        documents = found.documents.get(kind)
        return build(reader(documents[kind])) if documents else None

    facts: dict[str, m.FactDef] = single("facts", build_things.build_facts)
    sites: dict[str, m.Site] = single("sites", build_things.build_sites)
    facts |= _automatic_facts(found, sites)

    def several(kind: str, build: Callable[[Reader], Any]) -> dict[str, Any]:
        documents = found.documents.get(kind, {})
        return {name: build(reader(document)) for name, document in sorted(documents.items())}

    base = m.KnowledgeBase(
        folder=str(found.root),
        digest=digest,
        facts=facts,
        weeds=several("weed", lambda r: build_things.build_weed(r, facts)),
        products=several("product", lambda r: build_things.build_product(r, facts)),
        causes=several("cause", lambda r: _cause(r, facts)),
        kinds=several("kind", lambda r: _kind(r, facts)),
        stops=several("stop", lambda r: _stop(r, facts)),
        answers=several("answer", build_answers.build_topic),
        sites=sites,
        turf=single("turf", build_things.build_turf) or {},
        regions=several("region", build_things.build_region),
        sources=single("sources", build_things.build_sources) or {},
        retired=single("retired", build_things.build_retired) or {},
        phrases=single("phrases", lambda r: dict(r["phrases"])) or {},
        settings=single("model", build_things.build_settings) or m.Settings(0.1, 2, 6, 20),
        sprayers=single("sprayers", lambda r: build_sprayers(r, facts)),
        heat=single("heat", build_heat) or NO_HEAT,
    )
    _check_rule_ids(base, found)
    _check_retired(base, found)
    return base


def _automatic_facts(found: _Folder, sites: Mapping[str, m.Site]) -> dict[str, m.FactDef]:
    """Facts that exist because a kind, a cause or a site feature exists."""
    result = {}
    for site in sites.values():
        options = {"yes": m.Option(site.says, site.how_often)}
        options["no"] = m.Option(f"not: {site.says}", 1 - site.how_often)
        name = f"site.{site.id}"
        result[name] = m.FactDef(name, site.name, "call", "told", site.ask, options=options)
    for kind in ("kind", "cause"):
        for owner in found.ids.get(kind, ()):
            name = f"{kind}.{owner}"
            both = {
                option: m.Option(f"{option}: {owner}", share) for option, share in YES_NO.items()
            }
            result[name] = m.FactDef(name, owner, "call", "worked-out", "", options=both)
    return result


def _cause(reader: Reader, facts: Mapping[str, m.FactDef]) -> m.Cause:
    return m.Cause(
        id=reader["id"],
        group=reader["group"],
        title=reader["title"],
        explains=reader.references("kind", "explains"),
        what=reader["what"],
        customer=reader["customer"],
        remedies=tuple(m.Remedy(r["do"], r["customer"]) for r in reader["remedies"]),
        rules=build_rules(reader, facts, owner=reader["id"], tier=2),
    )


def _kind(reader: Reader, facts: Mapping[str, m.FactDef]) -> m.Kind:
    reader.basis("from")
    rules = build_rules(reader, facts, owner=reader["id"], tier=1)
    return m.Kind(
        reader["id"], reader["title"], reader["what"], reader["customer"],
        float(reader["how_often"]), rules,
    )  # fmt: skip


def _stop(reader: Reader, facts: Mapping[str, m.FactDef]) -> m.Stop:
    return m.Stop(
        reader["id"], reader["title"], reader["what"], reader["customer"], reader["until"],
        build_rules(reader, facts, owner=reader["id"], tier=3),
    )  # fmt: skip


def _check_rule_ids(base: m.KnowledgeBase, found: _Folder) -> None:
    seen: dict[str, m.Rule] = {}
    for rule in base.rules():
        if rule.id in seen:
            message = f"the rule id `{rule.id}` is already used in {seen[rule.id].place.path}"
            place = rule.place
            found.problems.append(Problem(place.path, place.line, place.column, "K204", message))
        seen.setdefault(rule.id, rule)


def _check_retired(base: m.KnowledgeBase, found: _Folder) -> None:
    document = found.documents["retired"]["retired"]
    live = {n for kind, names in found.ids.items() if kind != "source" for n in names}
    live |= {rule.id for rule in base.rules()}
    for old, retired in base.retired.items():
        line, column = document.key_at("retired", old)
        if old in live:
            message = f"`{old}` is retired and must not be used again"
            found.problems.append(Problem(document.path, line, column, "K205", message))
        if retired.successor not in live and retired.successor not in base.retired:
            close = nearest(retired.successor, live)
            hint = f"nearest valid name: {close}" if close else ""
            message = f"the successor `{retired.successor}` does not exist"
            found.problems.append(Problem(document.path, line, column, "K201", message, hint))


@dataclass(frozen=True)
class _Cache:
    """A validated copy in the user's own cache folder, good for one digest only.

    The copy is a pickle, so it is read only from a folder that nobody else may write to.
    """

    folder: Path
    digest: str

    @property
    def _file(self) -> Path:
        return self.folder / f"knowledge-{self.digest[:32]}.pickle"

    def read(self) -> m.KnowledgeBase | None:
        try:
            if self.folder.stat().st_mode & 0o022:
                return None
            loaded = pickle.loads(self._file.read_bytes())
        except Exception:
            return None  # a missing, torn or foreign copy is the same as none
        good = isinstance(loaded, m.KnowledgeBase) and loaded.digest == self.digest
        return loaded if good else None

    def write(self, base: m.KnowledgeBase) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for old in self.folder.glob("knowledge-*.pickle"):
                old.unlink(missing_ok=True)
            part = self._file.with_suffix(".part")
            part.write_bytes(pickle.dumps(base, protocol=5))
            part.replace(self._file)
        except OSError:
            return  # a cache that cannot be written is no reason to fail
