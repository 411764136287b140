"""How a language says figures: months and days, units, lists of names.

Every text for a homeowner that holds a figure goes through a `Speech`; the words themselves come
from the knowledge base (languages/<language>/figures.yaml). It works no figure out and rounds none.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from advisor.terms import Span
from advisor.units import show

MONTHS = tuple(calendar.month_name)[1:]


@dataclass(frozen=True, slots=True)
class Speech:
    """The words of a language around figures.

    `words` maps pieces of a figure as `units.show` writes it to what the language says; longer
    pieces are looked for first. `heard` maps how an amount is said in a question to the English
    that is read for it.
    """

    language: str = "en"
    months: Sequence[str] = MONTHS
    words: Mapping[str, str] = field(default_factory=dict)
    heard: Mapping[str, str] = field(default_factory=dict)
    both: str = "and"
    either: str = "or"
    until: str = "to"
    day_form: str = "{month} {day}"

    def amount(self, span: Span, unit: str) -> str:
        """A number or a range with its unit."""
        return self.figure(show(span, unit))

    def figure(self, shown: str) -> str:
        """A figure as `units.show` writes it, in the words of the language."""
        if not self.words:
            return shown
        pieces = sorted(self.words, key=lambda piece: (-len(piece), piece))
        pattern = "|".join(re.escape(piece) for piece in pieces)
        return re.sub(rf"(?<![\w.,])(?:{pattern})(?!\w)", lambda found: self.words[found[0]], shown)

    def day(self, month: int, day: int) -> str:
        """A day of the year, such as May 5."""
        return self.day_form.format(month=self.months[month - 1], day=day)

    def month_range(self, first: int, last: int) -> str:
        """A stretch of months, such as April to June."""
        if first == last:
            return self.months[first - 1]
        joined = self.both if (last - first) % 12 == 1 else self.until
        return f"{self.months[first - 1]} {joined} {self.months[last - 1]}"

    def all_of(self, names: Sequence[str]) -> str:
        """A list joined with `and`."""
        return self._list(names, self.both)

    def one_of(self, names: Sequence[str]) -> str:
        """A list joined with `or`."""
        return self._list(names, self.either)

    @staticmethod
    def _list(names: Sequence[str], last: str) -> str:
        if len(names) < 2:
            return "".join(names)
        return f"{', '.join(names[:-1])} {last} {names[-1]}"


ENGLISH = Speech()
