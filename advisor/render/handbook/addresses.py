"""Where an entry stands in the handbook: its file and its anchor.

Used by everything that makes a link. There are two editions: pages that link to each other, and one
page for printing in which every link is an anchor.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.catalog import Ref
from advisor.model import KnowledgeBase

OWN_PAGE = ("weed", "product", "cause")
"""Kinds with a page for each entry."""
CHAPTERS: Mapping[str, tuple[str, ...]] = {
    "weeds": ("weed",),
    "products": ("product",),
    "actives": ("active",),
    "causes": ("cause",),
    "kinds": ("kind",),
    "stops": ("stop",),
    "answers": ("answer",),
    "places": ("site", "turf", "region"),
    "facts": ("fact",),
    "figures": (),
    "trials": (),
    "sources": ("source",),
    "names": (),
}
"""The chapters in their order, with the kinds of entry they hold."""
HOME, PRINT = "index.html", "print.html"
ORIGINS = "origins"


class Addresses:
    """Addresses of one edition."""

    def __init__(self, base: KnowledgeBase, *, single: bool = False) -> None:
        self.single = single
        self._owners = {
            rule.id: Ref(kind, rule.owner)
            for kind, owners in (
                ("cause", base.causes),
                ("kind", base.kinds),
                ("stop", base.stops),
            )
            for owner in owners.values()
            for rule in owner.rules
        }
        self._weeds = {trial.id: Ref("weed", trial.weed) for trial in base.trials.values()}

    @staticmethod
    def anchor(kind: str, name: str) -> str:
        """The anchor of an entry, unique over the handbook."""
        return f"{kind}-{name}"

    def file(self, ref: Ref) -> str:
        """The file of the pages in which an entry stands."""
        if ref.kind in OWN_PAGE:
            return f"{ref.kind}-{ref.id}.html"
        if ref.kind in ("rule", "trial"):
            owner = self._owners[ref.id] if ref.kind == "rule" else self._weeds[ref.id]
            return self.file(owner)
        return next(f"{name}.html" for name, kinds in CHAPTERS.items() if ref.kind in kinds)

    def href(self, kind: str, name: str, here: str = "") -> str:
        """A link to an entry from a file."""
        anchor = f"#{self.anchor(kind, name)}"
        if self.single:
            return anchor
        file = self.file(Ref(kind, name))
        if file == here:
            return anchor
        return file if kind in OWN_PAGE else file + anchor

    def chapter(self, name: str) -> str:
        """A link to a chapter."""
        return f"#chapter-{name}" if self.single else f"{name}.html"

    def origins(self, here: str = "") -> str:
        """A link to what the words for an origin mean."""
        return f"#{ORIGINS}" if self.single or here == HOME else f"{HOME}#{ORIGINS}"
