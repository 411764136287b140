"""What the knowledge base lets one expect of a product on a weed, known or not.

Built once for a knowledge base and asked by `weighing` and `planning`. Where product or weed is
not known it answers with the spread over those that are, never with one figure.
"""

from __future__ import annotations

from statistics import fmean

from advisor.control import Base
from advisor.derive.fitting import fitting_products, is_preventer
from advisor.derive.label import Actives, actives_of
from advisor.derive.plant import NO_FIGURE, base_of
from advisor.dose.limits import NON_SELECTIVE
from advisor.model import KnowledgeBase, Product, Rule, Weed

ANYTHING = Base(0.5, 0.0, 1.0)


class Expectations:
    """Base control by weed and product, looked up once."""

    def __init__(self, base: KnowledgeBase) -> None:
        self._table = {
            (w.id, p.id): base_of(w, actives_of(p))
            for w in base.weeds.values()
            for p in base.products.values()
        }
        self._base = base
        self.lasting = {r.id: _lasts(r, base) for c in base.causes.values() for r in c.rules}
        self._unknown: dict[str | None, Base] = {}
        self._best: dict[tuple[str, str | None, bool], Base | None] = {}
        self._gaps: dict[tuple[str | None, str | None, str], float] = {}

    def of(self, weed: str | None, product: str | None, actives: Actives) -> Base:
        """What a well-made application at the best season is expected to kill."""
        if weed is not None and product is not None:
            return self._table[weed, product]
        if weed is not None and actives:
            return base_of(self._base.weeds[weed], actives)
        return self.unknown(weed)

    def unknown(self, weed: str | None) -> Base:
        """The spread over all products that list the weed, or over all such pairs."""
        if weed not in self._unknown:
            found = [self._table[w.id, p.id] for w, p in self._listed(weed)]
            self._unknown[weed] = _spread(found)
        return self._unknown[weed]

    def best(self, weed: str | None, turf: str | None = None, *, preventers: bool = False) -> Base:
        """The best that a product does which lists the weed as controlled and spares the turf.

        The spread where the weed is not named. Where nothing fits, a non-selective product put on
        the spots; where there is none of that either, anything may be.
        """
        if weed is None:
            return self.unknown(None)
        key = weed, turf, preventers
        if key not in self._best:
            entry = self._base.weeds[weed]
            fits = fitting_products(self._base, entry, turf, preventers=preventers)
            on_spots = [p for _, p in self._listed(weed) if p.kind == NON_SELECTIVE]
            found = (self._table[weed, p.id] for p in fits or on_spots)
            self._best[key] = max(found, key=_rank, default=None)
        return self._best[key] or ANYTHING

    def product_gap(
        self, weed: str | None, turf: str | None, product: str | None, actives: Actives
    ) -> float:
        """Share of the best fitting product's kill that this product falls short of."""
        best = self.best(weed, turf, preventers=is_preventer(product, self._base))
        if best.share <= 0:
            return 0.0
        return max(0.0, 1 - self.of(weed, product, actives).share / best.share)

    def listing_gap(self, weed: str | None, turf: str | None, lists: str) -> float:
        """The same gap on average over all products whose label says this of the weed."""
        key = (weed, turf, lists)
        if key not in self._gaps:
            names = [weed] if weed is not None else list(self._base.weeds)
            gaps = [
                max(0.0, 1 - self._table[w, p.id].share / best.share)
                for w in names
                for p in self._base.products.values()
                if p.kind == "post-emergent" and p.lists(w) == lists
                if (best := self.best(w, turf)).share > 0
            ]
            fallback = max(0.0, 1 - NO_FIGURE.share / self.best(weed, turf).share)
            self._gaps[key] = fmean(gaps) if gaps else fallback
        return self._gaps[key]

    def _listed(self, weed: str | None) -> list[tuple[Weed, Product]]:
        weeds = self._base.weeds.values() if weed is None else [self._base.weeds[weed]]
        return [(w, p) for w in weeds for p in self._base.products.values() if w.id in p.controls]


def _rank(base: Base) -> tuple[float, float]:
    return base.share, base.high


def _spread(found: list[Base]) -> Base:
    if not found:
        return ANYTHING
    shares = sorted(b.share for b in found)
    low, high = min(b.low for b in found), max(b.high for b in found)
    return Base(shares[len(shares) // 2], low, high)


def _lasts(rule: Rule, base: KnowledgeBase) -> bool:
    """Whether a further application by the same hand would meet the same cause again."""
    return "season_fit" not in rule.facts and all(
        base.facts[name].scope == "call" or base.facts[name].comes in {"label", "knowledge"}
        for name in rule.facts
    )
