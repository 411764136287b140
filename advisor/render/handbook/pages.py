"""The pages of the handbook: which there are, what stands on each, how they hang together.

`book` renders them. A page knows its file, its title and the cards on it; templates decide how they
look.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from advisor.catalog import Ref
from advisor.model import KnowledgeBase, Weed
from advisor.published import Comparison, compare_all
from advisor.render.cards.figures import figures
from advisor.render.cards.library import Library
from advisor.render.cards.parts import Card, Section
from advisor.render.cards.trials import model, off, published, treatment
from advisor.render.handbook.addresses import CHAPTERS, OWN_PAGE

GROUPS = ("broadleaf", "grass", "sedge", "lily")


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: its name, what it says of itself, its cards, sections that belong to no entry."""

    name: str
    title: str
    lead: str
    cards: tuple[Card, ...] = ()
    sections: tuple[Section, ...] = ()

    @property
    def count(self) -> int:
        """How many entries it holds."""
        return len(self.cards)

    @property
    def own_pages(self) -> bool:
        """Whether its entries have pages of their own."""
        return any(kind in OWN_PAGE for kind in CHAPTERS[self.name])


@dataclass(frozen=True, slots=True)
class Named:
    """A line of the index: a name, what it leads to, and the entry's own name where it differs."""

    name: str
    ref: Ref
    proper: str


def chapters(library: Library) -> tuple[Chapter, ...]:
    """All chapters in their order."""
    return tuple(_chapter(name, library) for name in CHAPTERS)


def _chapter(name: str, library: Library) -> Chapter:
    say = library.maker.say
    cards = [card for kind in CHAPTERS[name] for card in library.cards(kind)]
    if name in ("weeds", "products", "actives", "answers", "sources"):
        cards.sort(key=lambda card: (card.kind, card.name.casefold(), card.id))
    sections = figures(library.maker) if name == "figures" else ()
    return Chapter(name, say(f"book-{name}"), say(f"book-{name}-lead"), tuple(cards), sections)


def weeds_by_group(base: KnowledgeBase) -> list[tuple[str, list[Weed]]]:
    """The weeds by plant group, each group by name."""
    found = []
    for group in GROUPS:
        weeds = [weed for weed in base.weeds.values() if weed.plant_group == group]
        if weeds:
            found.append((group, sorted(weeds, key=lambda weed: weed.name.casefold())))
    return found


def causes_by_group(cards: tuple[Card, ...], base: KnowledgeBase) -> list[tuple[str, list[Card]]]:
    """The cards of causes by their group, in the order in which groups first occur."""
    found: dict[str, list[Card]] = {}
    for card in cards:
        found.setdefault(base.causes[card.id].group, []).append(card)
    return list(found.items())


def listed_matrix(base: KnowledgeBase) -> list[tuple[Weed, list[str]]]:
    """For each weed what every label says of it, in the order of the products."""
    products = list(base.products.values())
    weeds = sorted(base.weeds.values(), key=lambda weed: weed.name.casefold())
    return [(weed, [product.lists(weed.id) for product in products]) for weed in weeds]


def trials_by_weed(base: KnowledgeBase) -> list[tuple[Weed, list[Comparison]]]:
    """The published trials with what the model expects, by weed."""
    found: dict[str, list[Comparison]] = {}
    for one in compare_all(base):
        found.setdefault(one.trial.weed, []).append(one)
    return [(base.weeds[weed], several) for weed, several in found.items()]


def index_of_names(library: Library) -> list[tuple[str, list[Named]]]:
    """Every name and alias by its first letter."""
    catalog = library.catalog
    lines = [
        Named(name, ref, catalog.name(ref)) for name, refs in _written(library) for ref in refs
    ]
    lines.sort(key=lambda line: (line.name.casefold(), line.ref))
    letters: dict[str, list[Named]] = {}
    for line in lines:
        first = line.name[:1].upper()
        letters.setdefault(first if first.isalpha() else "0-9", []).append(line)
    return sorted(letters.items())


def _written(library: Library) -> Iterator[tuple[str, list[Ref]]]:
    """Names as they are written, with the entries that go by them."""
    for weed in library.base.weeds.values():
        for name in dict.fromkeys(weed.names):
            yield name, [Ref("weed", weed.id)]
    for kind in ("product", "active", "cause", "kind", "stop", "answer", "site", "turf", "region"):
        for name, written in library.catalog.names(kind).items():
            yield written, [Ref(kind, name)]


def context(library: Library) -> dict[str, Any]:
    """What templates may ask for beside a page of their own."""
    base, maker = library.base, library.maker
    compared = compare_all(base)
    return {
        "base": base,
        "say": maker.say,
        "option": maker.option,
        "template": maker.template,
        "by_group": lambda cards: causes_by_group(cards, base),
        "weed_groups": weeds_by_group(base),
        "matrix": listed_matrix(base),
        "trials": trials_by_weed(base),
        "trial_counts": {
            "all": str(len(compared)),
            "within": str(sum(one.agrees for one in compared)),
            "meets": str(sum(one.meets for one in compared)),
        },
        "treatment": lambda one: treatment(maker, one),
        "published_range": published,
        "expected": model,
        "off": lambda one: off(maker, one),
        "names": index_of_names(library),
    }
