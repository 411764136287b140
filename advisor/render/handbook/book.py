"""The handbook as texts by file name: every page that links to the others, and all of it on one.

The command writes what this returns. The same knowledge base always gives the same bytes: nothing
here asks for the time, the folder or the order of a set.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from advisor import __version__
from advisor.catalog import Ref
from advisor.model import Basis, KnowledgeBase
from advisor.render.cards.library import Library
from advisor.render.cards.maker import capital, shares
from advisor.render.cards.others import origin, short_source
from advisor.render.cards.parts import Card, Part, Row, Words
from advisor.render.handbook.addresses import HOME, ORIGINS, PRINT, Addresses
from advisor.render.handbook.bars import bar, loss, months_picture
from advisor.render.handbook.habits import DRAWINGS, habit_picture
from advisor.render.handbook.pages import Chapter, chapters, context
from advisor.render.handbook.year import year_head, year_picture, year_row

GENERATOR = "cameback handbook"


def handbook(base: KnowledgeBase) -> dict[str, str]:
    """Every page of the handbook, by its file."""
    library = Library(base)
    every, shared = chapters(library), context(library)
    pages = _Edition(library, every, shared, Addresses(base))
    found = {HOME: pages.render("home.html.j2", HOME)}
    for chapter in every:
        file = f"{chapter.name}.html"
        found[file] = pages.render("chapter.html.j2", file, chapter=chapter)
        if chapter.own_pages:
            for card, before, after in _neighbors(chapter.cards):
                file = pages.addresses.file(Ref(card.kind, card.id))
                found[file] = pages.render(
                    "entry.html.j2", file, chapter=chapter, card=card, before=before, after=after
                )
    whole = _Edition(library, every, shared, Addresses(base, single=True))
    found[PRINT] = whole.render("print.html.j2", PRINT)
    return found


def _neighbors(cards: tuple[Card, ...]) -> Iterable[tuple[Card, Card | None, Card | None]]:
    return zip(cards, (None, *cards[:-1]), (*cards[1:], None), strict=True)


@cache
def _environment() -> Environment:
    loader = PackageLoader("advisor.render.handbook")
    return Environment(
        loader=loader,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


@dataclass(frozen=True, slots=True)
class _Edition:
    """One edition: linked pages, or all on one page."""

    library: Library
    chapters: tuple[Chapter, ...]
    shared: Mapping[str, Any]
    addresses: Addresses

    def render(self, template: str, here: str, **more: Any) -> str:
        """One page; `here` is its file."""
        writer = _Writer(self.library, self.addresses, here)
        tools: dict[str, Callable[..., Any] | Any] = {
            "words": writer.words,
            "origin": writer.origin,
            "common": common,
            "runs": runs,
            "picture": writer.picture,
            "href": writer.href,
            "chapter_href": self.addresses.chapter,
            "anchor": self.addresses.anchor,
            "bar": bar,
            "loss": loss,
            "shares": shares,
            "capital": capital,
            "strip_head": lambda group: year_head(group, self.library.maker),
            "strip": lambda weed: year_row(weed, self.library.maker),
            "drawing": lambda habit, name: habit_picture(habit, self.library.maker, name),
            "habits": tuple(DRAWINGS),
            "chapters": self.chapters,
            "single": self.addresses.single,
            "here": here,
            "home": HOME,
            "print_page": PRINT,
            "origins": ORIGINS,
            "generator": GENERATOR,
            "version": __version__,
            "legend": writer.legend(),
        }
        text = _environment().get_template(template).render({**self.shared, **tools, **more})
        return "\n".join(line.rstrip() for line in text.splitlines() if line.strip()) + "\n"


@dataclass(frozen=True, slots=True)
class _Writer:
    """Words, origins and pictures as HTML on one page."""

    library: Library
    addresses: Addresses
    here: str

    def href(self, kind: str, name: str) -> str:
        """The address of an entry from this page."""
        return self.addresses.href(kind, name, self.here)

    def words(self, words: Words) -> Markup:
        """Words with their links."""
        pieces = []
        for piece in words:
            if isinstance(piece, str):
                pieces.append(escape(piece))
            else:
                link = Markup('<a href="{}">{}</a>')
                pieces.append(link.format(self.href(piece.kind, piece.id), piece.text))
        return Markup("").join(pieces)

    def origin(self, basis: Basis | None) -> Markup:
        """Where a figure comes from: its source, or a word that the legend explains."""
        if basis is None:
            return Markup("")
        if basis.source:
            title = short_source(self.library.base, basis.source)
            if basis.note:
                title += f": {basis.note}"
            link = Markup('<a class="from" href="{}" title="{}">{}</a>')
            return link.format(self.href("source", basis.source), title, basis.source)
        said = origin(self.library.maker, basis)
        link = Markup('<a class="from {}" href="{}">{}</a>')
        return link.format(basis.kind, self.addresses.origins(self.here), said)

    def legend(self) -> list[tuple[str, str]]:
        """The words for an origin, each with what it means."""
        say = self.library.maker.say
        kinds = ("common-practice", "memory", "demo", "worked-out")
        return [(say(f"from-{kind}"), say(f"means-{kind}")) for kind in kinds]

    def picture(self, name: str, card: Card) -> Markup:
        """A picture of a card."""
        base, maker = self.library.base, self.library.maker
        if name == "year":
            return year_picture(base.weeds[card.id], maker)
        if name == "habit":
            return habit_picture(base.weeds[card.id].habit, maker, f"habit-{card.id}")
        return months_picture(base.regions[card.id], maker)


def common(rows: Iterable[Row]) -> Basis | None:
    """The origin that all rows share, if they do."""
    found = {row.basis for row in rows}
    return next(iter(found)) if len(found) == 1 else None


def runs(parts: Iterable[Part]) -> list[tuple[str, list[Part]]]:
    """Parts in runs of one type, each with the name of the type in small letters."""
    return [(name, list(run)) for name, run in groupby(parts, lambda p: type(p).__name__.lower())]
