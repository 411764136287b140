"""All cards of a knowledge base, each made once, and who refers to whom.

The entrance of this package: `show` asks for one card, the handbook for all of them. A source's
card lists what cites it, gathered from every other card.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property

from advisor.catalog import KINDS, Catalog, Ref
from advisor.model import Basis, KnowledgeBase
from advisor.render.cards.maker import Maker
from advisor.render.cards.others import answer_card, fact_card, source_card
from advisor.render.cards.parts import Card, Item, Link, Part, Words, bases_of, links_of
from advisor.render.cards.places import region_card, site_card, turf_card
from advisor.render.cards.products import active_card, product_card
from advisor.render.cards.rules import cause_card, kind_card, rule_card, stop_card
from advisor.render.cards.trials import trial_card
from advisor.render.cards.weeds import weed_card

MAKERS: Mapping[str, Callable[[Maker, str], Card]] = {
    "weed": weed_card,
    "product": product_card,
    "active": active_card,
    "cause": cause_card,
    "kind": kind_card,
    "stop": stop_card,
    "answer": answer_card,
    "site": site_card,
    "turf": turf_card,
    "region": region_card,
    "fact": fact_card,
    "rule": rule_card,
    "trial": trial_card,
}


class Library:
    """The cards of one knowledge base."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.catalog = Catalog(base)
        self.maker = Maker(base, self.catalog)
        self._made: dict[Ref, Card] = {}

    def card(self, ref: Ref) -> Card:
        """The card of an entry."""
        if ref not in self._made:
            if ref.kind == "source":
                cited_in = self._cited.get(ref.id, [])
                self._made[ref] = source_card(self.maker, ref.id, cited_in)
            else:
                self._made[ref] = MAKERS[ref.kind](self.maker, ref.id)
        return self._made[ref]

    def cards(self, kind: str) -> Iterator[Card]:
        """All cards of a kind, in the order of the knowledge base."""
        yield from (self.card(Ref(kind, name)) for name in self.catalog.names(kind))

    def refers_to(self, ref: Ref) -> tuple[Ref, ...]:
        """The entries that a card names, sources among them."""
        own = {ref}
        found = {Ref(link.kind, link.id) for part in self._parts(ref) for link in links_of(part)}
        found |= {Ref("source", basis.source) for basis, _ in self._bases(ref) if basis.source}
        return tuple(sorted(found - own, key=_order))

    def referred_by(self, ref: Ref) -> tuple[Ref, ...]:
        """The entries whose cards name this one."""
        return tuple(sorted(self._backwards.get(ref, ()), key=_order))

    @cached_property
    def _backwards(self) -> Mapping[Ref, set[Ref]]:
        found: dict[Ref, set[Ref]] = {}
        for ref in self.catalog:
            if ref.kind != "source":
                for other in self.refers_to(ref):
                    found.setdefault(other, set()).add(ref)
        return found

    @cached_property
    def _cited(self) -> Mapping[str, list[Item]]:
        """For each source what cites it: the entry, and which of its figures."""
        found: dict[str, dict[Ref, list[Words]]] = {}
        for ref in self.catalog:
            if ref.kind in ("source", "active", "rule", "trial", "site"):
                continue  # they show the figures of other entries
            for basis, what in self._bases(ref):
                if basis.source:
                    of = found.setdefault(basis.source, {}).setdefault(ref, [])
                    if what not in of:
                        of.append(what)
        return {
            source: [Item(_citing(self.maker, ref, of)) for ref, of in by.items()]
            for source, by in found.items()
        }

    def _parts(self, ref: Ref) -> Iterator[Part]:
        for section in self.card(ref).sections:
            yield from section.parts

    def _bases(self, ref: Ref) -> Iterator[tuple[Basis, Words]]:
        for section in self.card(ref).sections:
            head: Words = (section.head.lower(),)
            if section.basis:
                yield section.basis, head
            for part in section.parts:
                yield from ((basis, of or head) for basis, of in bases_of(part))


def _citing(maker: Maker, ref: Ref, of: list[Words]) -> Words:
    link = Link(ref.kind, ref.id, maker.catalog.name(ref))
    return (link, ": ", *maker.joined(of, "; "))


def _order(ref: Ref) -> tuple[int, str]:
    return KINDS.index(ref.kind), ref.id
