"""A card as a page in the terminal: what `cameback show` prints.

Takes a card of the library and writes at most 80-odd columns. Other entries are named with their
ids, figures with their origins, and the sources cited are listed at the end.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import singledispatchmethod

from advisor.catalog import PLURALS, Ref, slug
from advisor.model import Basis
from advisor.render.cards.library import Library
from advisor.render.cards.maker import shares
from advisor.render.cards.others import origin, short_source
from advisor.render.cards.parts import (
    Bars,
    Card,
    Item,
    Line,
    Link,
    Note,
    Part,
    Picture,
    Row,
    RulePart,
    Table,
    Tried,
    Words,
    bases_of,
    plain,
)
from advisor.render.layout import BOLD, DIM, Page
from advisor.render.tables import table
from advisor.render.year_strip import year_strip

WIDEST_LABEL = 32
BAR = 20
WIDE = 70
"""A page from so many columns on has room for pictures."""
LONG = 60
"""Rows whose first cell is longer than this on average read better as sentences."""


def show_page(ref: Ref, library: Library, page: Page) -> str:
    """All that is known of an entry."""
    card = library.card(ref)
    writer = _Writer(card, library, page)
    writer.write()
    return str(page)


class _Writer:
    """Writes one card on one page."""

    def __init__(self, card: Card, library: Library, page: Page) -> None:
        self.card = card
        self.library = library
        self.say = library.maker.say
        self.page = page

    def write(self) -> None:
        name = self.card.name.upper() if self.card.kind != "rule" else self.card.name
        self.page.head(f"{name} ({self.card.kind} {self.card.id})")
        self.page.text(self.card.about, 0)
        for section in self.card.sections:
            head = section.head.upper()
            if section.basis:
                head += f" [{origin(self.library.maker, section.basis)}]"
            self.page.head(head)
            self._parts(section.parts)
        self._named_by()
        self._sources()

    def _parts(self, parts: Sequence[Part]) -> None:
        labels = [len(part.label) for part in parts if isinstance(part, Line)]
        self.column = min(max(labels, default=0), WIDEST_LABEL, self.page.width * 2 // 5)
        for before, part in itertools.pairwise((None, *parts)):
            assert part is not None
            if before is not None and _apart(before, part):
                self.page.blank()
            self.put(part)

    # ---- one part ------------------------------------------------------------------------------

    @singledispatchmethod
    def put(self, part: Part) -> None:
        """Write one part."""
        raise TypeError(f"no way to write a {type(part).__name__}")

    @put.register
    def _(self, part: Line) -> None:
        text = self.words(part.words, part.basis)
        if len(part.label) <= self.column:
            self.page.item(part.label.ljust(self.column + 1), text)
        else:
            self.page.item("", f"{part.label}: {text}")

    @put.register
    def _(self, part: Item) -> None:
        self.page.item("-", self.words(part.words, part.basis))

    @put.register
    def _(self, part: Note) -> None:
        self.page.text(self.words(part.words), style=DIM)

    @put.register
    def _(self, part: Table) -> None:
        common = same_basis(part.rows)
        rows = []
        for row in part.rows:
            cells = [self.words(cell) for cell in row.cells]
            if not common:
                cells[-1] = f"{cells[-1]} {self.origin(row.basis)}".strip()
            rows.append(cells)
        first = [len(row[0]) for row in rows]
        if sum(first) > LONG * len(first):
            for cells in rows:
                said = zip(part.columns[1:], cells[1:], strict=True)
                rest = "; ".join(f"{head} {cell}" for head, cell in said)
                self.page.item("-", f"{cells[0]} - {rest}")
        else:
            table(self.page, part.columns, rows)
        if common:
            self.page.text(self.origin(common), style=DIM)

    @put.register
    def _(self, part: Bars) -> None:
        page = self.page
        wide = page.width >= WIDE
        if wide:
            page.text(self.say("bar-key"), style=DIM)
        if part.titled:
            page.text(f"{part.of}:", style=BOLD)
        names = [self.words(row.label) for row in part.rows]
        width = min(max(map(len, names), default=0), page.width // 3)
        for name, row in zip(names, part.rows, strict=True):
            figure = self.words((shares(row.low, row.share, row.high),), row.basis)
            if wide:
                page.item(f"{name:<{width}} {bar(row.low, row.share, row.high)}", figure)
            else:
                page.item("-", f"{name}: {figure}")
            if row.after:
                page.text(f"{part.after} {self.words(row.after)}", width + 3 if wide else 4)

    @put.register
    def _(self, part: Picture) -> None:
        if part.name == "year" and self.page.width >= WIDE:
            weed = self.library.base.weeds[self.card.id]
            self.page.lines.extend(year_strip(weed, self.say))
            self.page.text(self.say("year-key"), style=DIM)

    @put.register
    def _(self, part: RulePart) -> None:
        page = self.page
        page.item("*", f"{part.id} {self.origin(part.basis)}", 2, BOLD)
        for number, alternative in enumerate(part.alternatives):
            mark = self.say("when-or" if number else "when")
            for asked in alternative:
                page.item(f"{mark:<7}", f"{self.words((asked.fact,))}: {asked.wants}", 4)
                mark = self.say("and")
        effects = ", ".join(f"{self.words(effect.of)} {effect.says}" for effect in part.effects)
        page.item(f"{self.say('then'):<7}", f"{part.effect} {effects}".strip(), 4)
        page.item(f"{self.say('because'):<7}", self.words(part.because), 4)
        self._tried(self.say("fires"), part.fires)
        self._tried(self.say("quiet"), part.quiet)

    def _tried(self, head: str, several: Sequence[Tried]) -> None:
        for tried in several:
            text = f"{head} {tried.name} ({plain(tried.given)})"
            if tried.held_by:
                text += ", " + self.say("held-by", facts=plain(tried.held_by))
            self.page.item("-", text, 4)

    # ---- words ---------------------------------------------------------------------------------

    def words(self, words: Words, basis: Basis | None = None) -> str:
        """Words with the ids of the entries they name, and the origin behind them."""
        text = "".join(piece if isinstance(piece, str) else named(piece) for piece in words)
        return f"{text} {self.origin(basis)}".strip()

    def origin(self, basis: Basis | None) -> str:
        """An origin in brackets."""
        return f"[{origin(self.library.maker, basis)}]" if basis else ""

    # ---- the end -------------------------------------------------------------------------------

    def _named_by(self) -> None:
        if self.card.kind == "source":
            return
        own = Ref(self.card.kind, self.card.id)
        known = set(self.library.refers_to(own))
        lines = []
        for plural, kind in PLURALS.items():
            refs = [
                r.id for r in self.library.referred_by(own) if r.kind == kind and r not in known
            ]
            if refs and kind not in ("rule", "trial"):
                lines.append((plural, ", ".join(refs)))
        if lines:
            self.page.head(self.say("head-named-by").upper())
            for plural, names in lines:
                self.page.item(f"{plural}:", names)

    def _sources(self) -> None:
        parts = [part for section in self.card.sections for part in section.parts]
        found = [basis for part in parts for basis, _ in bases_of(part)]
        found += [section.basis for section in self.card.sections if section.basis]
        cited = dict.fromkeys(basis.source for basis in found if basis.source)
        if not cited:
            return
        self.page.head(self.say("head-sources").upper())
        base = self.library.base
        for name in cited:
            source = base.sources[name]
            stop = "" if source.title.endswith((".", "?", "!")) else "."
            about = f"{source.title}{stop} {short_source(base, name)}."
            self.page.item("-", f"{name}: {about}")
            if source.locator and len(source.locator) + 4 <= self.page.width:
                self.page.lines.append(f"    {source.locator}")
            elif source.locator:
                self.page.text(source.locator, 4)


def named(link: Link) -> str:
    """An entry by its id, and by its name where the id does not say it."""
    if link.kind == "active":
        return link.text
    if link.kind == "product" or slug(link.text) == link.id:
        return link.id
    return f"{link.text} ({link.id})"


def bar(low: float, share: float, high: float, length: int = BAR) -> str:
    """A share with its range drawn in characters."""
    ends = [round(end * length) for end in (low, share, high)]
    text = "#" * ends[0] + "+" * (ends[1] - ends[0]) + "-" * (ends[2] - ends[1])
    return text.ljust(length, ".")


def _apart(before: Part, part: Part) -> bool:
    """Whether a blank line helps between two parts."""
    if isinstance(part, RulePart):
        return isinstance(before, RulePart)
    blocks = (Table, Bars)
    if isinstance(before, Note):
        return False
    return isinstance(before, blocks) or isinstance(part, blocks)


def same_basis(rows: Sequence[Row]) -> Basis | None:
    """The origin that all rows share, if they do."""
    found = {row.basis for row in rows}
    return next(iter(found)) if len(found) == 1 else None
