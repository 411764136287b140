"""Everything in the knowledge base that has a name: kinds of entry, ids, finding one by words.

Browsing starts here: the command line asks it what a person means, the cards what an entry is
called. It holds names and ids only and does not know how anything looks.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from advisor.model import KnowledgeBase
from advisor.names import did_you_mean

PLURALS = {
    "weeds": "weed",
    "products": "product",
    "actives": "active",
    "causes": "cause",
    "kinds": "kind",
    "stops": "stop",
    "answers": "answer",
    "sites": "site",
    "turf": "turf",
    "regions": "region",
    "facts": "fact",
    "rules": "rule",
    "trials": "trial",
    "sources": "source",
}
KINDS = tuple(PLURALS.values())
OF_FACT = re.compile(r"(site|kind|cause)\.(.+)")
"""Facts that exist because an entry exists."""


@dataclass(frozen=True, slots=True, order=True)
class Ref:
    """One entry: its kind and its id."""

    kind: str
    id: str


def slug(name: str) -> str:
    """A name as an id: small letters, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")


def active_groups(base: KnowledgeBase) -> dict[str, int | None]:
    """Every active the base has a figure for or that is in a product, with its group if known."""
    known = {a.name: a.group for p in base.products.values() for a in p.actives}
    known = {n: g for t in base.trials.values() for n, g in t.actives.items()} | known
    named = {name for weed in base.weeds.values() for name in weed.control} | known.keys()
    return {name: known.get(name) for name in sorted(named, key=str.casefold)}


class Catalog:
    """The entries of a knowledge base by kind and id, with every name they go by."""

    def __init__(self, base: KnowledgeBase) -> None:
        self._actives = {slug(name): name for name in active_groups(base)}
        self._names: dict[str, dict[str, str]] = {
            "weed": {w.id: w.name for w in base.weeds.values()},
            "product": {p.id: p.name for p in base.products.values()},
            "active": dict(self._actives),
            "cause": {c.id: c.title for c in base.causes.values()},
            "kind": {k.id: k.title for k in base.kinds.values()},
            "stop": {s.id: s.title for s in base.stops.values()},
            "answer": {a.id: a.title for a in base.answers.values()},
            "site": {s.id: s.name for s in base.sites.values()},
            "turf": {t.id: t.name for t in base.turf.values()},
            "region": {r.id: r.name for r in base.regions.values()},
            "fact": {f.id: f.says for f in base.facts.values() if not OF_FACT.fullmatch(f.id)},
            "rule": {rule.id: rule.id for rule in base.rules()},
            "trial": {t.id: t.id for t in base.trials.values()},
            "source": {s.id: s.title for s in base.sources.values()},
        }
        self._also: dict[str, set[Ref]] = {}
        for weed in base.weeds.values():
            for name in weed.names:
                self._also.setdefault(name.casefold(), set()).add(Ref("weed", weed.id))
        for kind in ("product", "active", "cause", "kind", "stop", "site", "turf", "region"):
            for name_id, name in self._names[kind].items():
                self._also.setdefault(name.casefold(), set()).add(Ref(kind, name_id))

    def __iter__(self) -> Iterator[Ref]:
        for kind, names in self._names.items():
            yield from (Ref(kind, name) for name in names)

    def __contains__(self, ref: Ref) -> bool:
        return ref.id in self._names.get(ref.kind, ())

    def names(self, kind: str) -> Mapping[str, str]:
        """The ids of a kind, each with its name."""
        return self._names[kind]

    def name(self, ref: Ref) -> str:
        """What an entry is called."""
        return self._names[ref.kind][ref.id]

    def also(self) -> Mapping[str, set[Ref]]:
        """Every name a weed, product or other thing goes by, in small letters."""
        return self._also

    def of_fact(self, fact: str) -> Ref:
        """The entry behind a fact: the fact itself, or the site, kind or cause it stands for."""
        found = OF_FACT.fullmatch(fact)
        return Ref(found[1], found[2]) if found else Ref("fact", fact)

    def find(self, words: str, kind: str | None = None) -> tuple[Ref, ...]:
        """The entries that an id or a name means, of one kind or of any."""
        by_id = [Ref(k, words) for k in KINDS if words in self._names[k]]
        if OF_FACT.fullmatch(words) and (owner := self.of_fact(words)) in self:
            by_id.append(owner)
        by_name = self._also.get(" ".join(words.split()).casefold(), set())
        found = by_id or sorted(by_name)
        if kind == "fact" and by_id:
            return tuple(by_id)
        return tuple(ref for ref in found if kind in (None, ref.kind))

    def like(self, words: str, kind: str | None = None) -> str:
        """A hint at the nearest id or name; empty where nothing is near."""
        ids = [i for k, names in self._names.items() if kind in (None, k) for i in names]
        names = [n for n, refs in self._also.items() if any(kind in (None, r.kind) for r in refs)]
        return did_you_mean(words, [*ids, *names])
