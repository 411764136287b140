"""What all makers of cards share: phrases, links, days of the year, values of facts in words.

The makers of the single kinds of entry take one `Maker` and return a `Card`. It makes up no
sentence of its own: labels and headings are phrases of the knowledge base.
"""

from __future__ import annotations

import calendar
from collections.abc import Callable, Iterable, Sequence

from advisor.catalog import Catalog, Ref, slug
from advisor.model import Basis, DayOfYear, KnowledgeBase, Stretch
from advisor.render.cards.parts import Item, Line, Link, Note, Part, Section, Words
from advisor.render.say import PLACEHOLDER, percent, phrase
from advisor.terms import Span


class Maker:
    """Makes words and links of one knowledge base."""

    def __init__(self, base: KnowledgeBase, catalog: Catalog) -> None:
        self.base = base
        self.catalog = catalog

    # ---- words ---------------------------------------------------------------------------------

    def say(self, name: str, **figures: str) -> str:
        """A phrase of the cards."""
        return phrase(self.base, f"card-{name}", **figures)

    def head(self, name: str) -> str:
        """The heading of a section."""
        return self.say(f"head-{name}")

    def option(self, fact: str, option: str) -> str:
        """How an option of a fact reads."""
        known = self.base.facts[fact].options.get(option)
        return known.says if known else option.replace("-", " ")

    def template(self, text: str) -> Words:
        """A text with its placeholders named: facts by what they are, others by their name."""
        words: list[str | Link] = []
        end = 0
        for found in PLACEHOLDER.finditer(text):
            words.append(text[end : found.start()] + "<")
            name = found[1]
            if name in self.base.facts:
                words.append(self.fact(name))
            else:
                words.append(name.replace("_", " "))
            words.append(">")
            end = found.end()
        words.append(text[end:])
        return tuple(piece for piece in words if piece)

    # ---- links ---------------------------------------------------------------------------------

    def link(self, kind: str, name: str) -> Link:
        """An entry by its name."""
        return Link(kind, name, self.catalog.name(Ref(kind, name)))

    def fact(self, name: str) -> Link:
        """A fact by what it is; one that stands for another entry leads there."""
        owner = self.catalog.of_fact(name)
        return Link(owner.kind, owner.id, self.base.facts[name].says)

    def active(self, name: str) -> Link:
        """An active ingredient by its name."""
        return Link("active", slug(name), name)

    def links(self, kind: str, names: Iterable[str]) -> Words:
        """Entries of a kind in a row, or the word for none."""
        return self.joined([(self.link(kind, name),) for name in names])

    def actives(self, names: Iterable[str]) -> Words:
        """Active ingredients in a row."""
        return self.joined([(self.active(name),) for name in names])

    def joined(self, several: Sequence[Words], between: str = ", ") -> Words:
        """Words in a row, or the word for none."""
        words: list[str | Link] = []
        for number, one in enumerate(several):
            if number:
                words.append(between)
            words.extend(one)
        return tuple(words) or (self.say("none"),)

    # ---- parts ---------------------------------------------------------------------------------

    def line(self, label: str, words: str | Words, basis: Basis | None = None) -> Line:
        """A line with the label of that name."""
        return Line(
            self.say(f"label-{label}"), (words,) if isinstance(words, str) else words, basis
        )

    def note(self, name: str, **figures: str) -> Note:
        """A phrase as a note."""
        return Note((self.say(f"note-{name}", **figures),))

    def item(self, text: str | Words, basis: Basis | None = None) -> Item:
        """A sentence in a list."""
        return Item((text,) if isinstance(text, str) else text, basis)

    def section(
        self, name: str, parts: Iterable[Part | None], basis: Basis | None = None
    ) -> Section | None:
        """A section of what there is; None where there is nothing but notes."""
        found = tuple(part for part in parts if part is not None)
        if not any(not isinstance(part, Note) for part in found):
            return None
        return Section(name, self.head(name), found, basis)


Making = Callable[[Maker, str], Iterable[Section | None]]
"""Makes the sections of one entry, by its id; None where there is nothing to say."""


def there(sections: Iterable[Section | None]) -> tuple[Section, ...]:
    """The sections that say something."""
    return tuple(section for section in sections if section is not None)


def capital(text: str) -> str:
    """A name with a capital at its start."""
    return text[:1].upper() + text[1:]


def yes_no(answer: bool) -> str:
    """A truth in words."""
    return "yes" if answer else "no"


def day(day_of_year: DayOfYear) -> str:
    """A day of any year: Oct 1."""
    return f"{calendar.month_abbr[day_of_year.month]} {day_of_year.day}"


def stretch(part: Stretch) -> str:
    """A part of the year: Oct 1 to Nov 1."""
    return f"{day(part.first)} to {day(part.last)}"


def shares(low: float, share: float, high: float) -> str:
    """A share with its range: 80 % (60 to 92)."""
    if low == high:
        return percent(share)
    return f"{percent(share)} ({low * 100:.0f} to {high * 100:.0f})"


def numbers(span: Span | tuple[float, float]) -> str:
    """A range of plain numbers."""
    low, high = (span.low, span.high) if isinstance(span, Span) else span
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def show_days(days: Span | tuple[float, float]) -> str:
    """A range of days."""
    return f"{numbers(days)} days"
