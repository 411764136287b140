"""Loads a knowledge folder: walks it, checks every file, builds the `KnowledgeBase`.

The first stage of everything: the command line calls `load` and hands the result on. It finds all
mistakes of all files in one run and raises them together; it never runs an engine, and a folder
that loads may still have rules whose examples fail (see `checking`).
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from advisor import build_answers, build_places, build_things
from advisor import model as m
from advisor.build_heat import build_heat
from advisor.build_languages import build_languages
from advisor.build_relations import build_relations
from advisor.build_rules import build_cause, build_kind, build_stop
from advisor.build_sprayers import build_sprayers
from advisor.build_trials import build_trials
from advisor.heat import NO_HEAT
from advisor.knowledge_cache import Cache, fingerprint
from advisor.knowledge_folder import EXAMPLES, Folder, entries_of, read_folder, shipped
from advisor.names import nearest
from advisor.problem import Problem, ProblemsFound, sorted_unique
from advisor.reading import Reader
from advisor.yamlfile import Document

__all__ = ["EXAMPLES", "load", "shipped"]

NEEDED = ("facts", "sites", "retired")
"""The single files without which nothing else can be read."""
YES_NO = {"yes": 0.5, "no": 0.5}
SHOWN_OR_NOT = {"yes": "shown", "no": "ruled out"}


def load(folder: Path, *, cache: Path | None = None) -> m.KnowledgeBase:
    """Load and validate a knowledge folder.

    Args:
        folder: the folder.
        cache: a folder of this user's where a validated copy may be kept; None keeps none.

    Raises:
        ProblemsFound: with every mistake found in any file.
    """
    try:
        there = folder.is_dir()
    except OSError:  # a name that the system cannot take
        there = False
    if not there:
        message = "there is no such knowledge folder"
        raise ProblemsFound((Problem(str(folder), 0, 0, "K001", message),))
    digest = fingerprint(folder)
    kept = Cache(cache, digest, folder) if cache else None
    if kept and (found := kept.read()) is not None:
        return found
    loaded = _load(folder, digest)
    if kept:
        kept.write(loaded)
    return loaded


def _load(folder: Path, digest: str) -> m.KnowledgeBase:
    found = read_folder(folder)
    base = _build(found, digest) if all(map(found.documents.get, NEEDED)) else None
    if found.problems or base is None:
        raise ProblemsFound(tuple(sorted_unique(found.problems)))
    return base


def _build(found: Folder, digest: str) -> m.KnowledgeBase:
    entries = entries_of(found.documents["retired"]["retired"], "retired")
    retired = {old: str(raw["successor"]) for old, raw in entries.items()}

    def reader(document: Document) -> Reader:
        return Reader(document, found.problems, ids=found.ids, retired=retired)

    def single(kind: str, build: Callable[[Reader], Any]) -> Any:
        documents = found.documents.get(kind)
        return build(reader(documents[kind])) if documents else None

    facts: dict[str, m.FactDef] = single("facts", build_things.build_facts)
    sites: dict[str, m.Site] = single("sites", build_places.build_sites)
    facts |= _automatic_facts(found, sites)

    def several(kind: str, build: Callable[[Reader], Any]) -> dict[str, Any]:
        documents = found.documents.get(kind, {})
        return {name: build(reader(document)) for name, document in sorted(documents.items())}

    causes: dict[str, m.Cause] = several("cause", lambda r: build_cause(r, facts))
    origins: dict[tuple[str, ...], m.Basis] = {}
    for kind in ("model", "sprayers", "heat"):
        origins |= single(kind, functools.partial(_origins, kind)) or {}
    base = m.KnowledgeBase(
        folder=str(found.root),
        digest=digest,
        facts=facts,
        weeds=several("weed", lambda r: build_things.build_weed(r, facts)),
        products=several("product", lambda r: build_things.build_product(r, facts)),
        causes=causes,
        kinds=several("kind", lambda r: build_kind(r, facts)),
        stops=several("stop", lambda r: build_stop(r, facts)),
        answers=several("answer", build_answers.build_topic),
        sites=sites,
        turf=single("turf", build_places.build_turf) or {},
        regions=several("region", build_places.build_region),
        sources=single("sources", build_things.build_sources) or {},
        retired=single("retired", build_things.build_retired) or {},
        phrases=single("phrases", lambda r: dict(r["phrases"])) or {},
        settings=single("model", build_things.build_settings) or m.Settings(0.1, 2, 6, 20),
        sprayers=single("sprayers", lambda r: build_sprayers(r, facts)),
        heat=single("heat", build_heat) or NO_HEAT,
        trials=single("trials", lambda r: build_trials(r, causes)) or {},
        origins=origins,
        relations=single("facts", lambda r: build_relations(r, facts)),
        asking=build_answers.build_asking(
            single("phrasings", build_answers.build_phrasings),
            single("synonyms", build_answers.build_synonyms),
        ),
        languages=build_languages(found.documents, reader, _translatable(found, facts)),
    )
    _check_rule_ids(base, found)
    _check_retired(base, found)
    return base


def _origins(kind: str, reader: Reader) -> m.Origins:
    return build_things.build_origins(reader, kind)


def _translatable(found: Folder, facts: Mapping[str, m.FactDef]) -> dict[str, list[str]]:
    """The names that a translation may use, where they are no ids of one kind."""
    phrases = found.documents.get("phrases", {}).get("phrases")
    return {
        "facts": [*facts],
        "phrases": [*entries_of(phrases, "phrases")] if phrases else [],
        "names": [*found.ids.get("weed", ()), *found.ids.get("turf", ())],
    }


def _automatic_facts(found: Folder, sites: Mapping[str, m.Site]) -> dict[str, m.FactDef]:
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
                option: m.Option(SHOWN_OR_NOT[option], share) for option, share in YES_NO.items()
            }
            says = f"the {kind} {owner.replace('-', ' ')}"
            result[name] = m.FactDef(
                name, says, "call", "worked-out", "", options=both, change="nobody"
            )
    return result


def _check_rule_ids(base: m.KnowledgeBase, found: Folder) -> None:
    seen: dict[str, m.Rule] = {}
    for rule in base.rules():
        if rule.id in seen:
            message = f"the rule id `{rule.id}` is already used in {seen[rule.id].place.path}"
            place = rule.place
            found.problems.append(Problem(place.path, place.line, place.column, "K204", message))
        seen.setdefault(rule.id, rule)


def _check_retired(base: m.KnowledgeBase, found: Folder) -> None:
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
