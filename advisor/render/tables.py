"""Tables in the terminal: columns as wide as they need, the widest ones wrapped to the page.

Used by the pages of `show` and `list`. Where the page is too narrow for columns, each row becomes a
small paragraph.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from advisor.render.layout import BOLD, Page

GAP = 2


def table(page: Page, heads: Sequence[str], rows: Sequence[Sequence[str]], indent: int = 2) -> None:
    """Add a table to a page."""
    room = page.width - indent - GAP * (len(heads) - 1)
    widths = _widths([heads, *rows], room)
    if widths is None:
        _stacked(page, heads, rows, indent)
        return
    _lines(page, heads, widths, indent, BOLD)
    for row in rows:
        _lines(page, row, widths, indent)


def _widths(rows: Sequence[Sequence[str]], room: int) -> list[int] | None:
    """How wide each column is; None where they do not fit at all."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    words = [_longest_word(column) for column in zip(*rows, strict=True)]
    if sum(words) > room:
        return None
    while sum(widths) > room:
        spare = [width - low for width, low in zip(widths, words, strict=True)]
        widest = max(range(len(widths)), key=lambda n: (spare[n] > 0, widths[n]))
        widths[widest] -= 1
    return widths


def _longest_word(column: Sequence[str]) -> int:
    return max((len(word) for cell in column for word in cell.split()), default=0)


def _lines(
    page: Page, cells: Sequence[str], widths: Sequence[int], indent: int, style: str = ""
) -> None:
    wrapped = [
        textwrap.wrap(cell, width, break_on_hyphens=False) or [""]
        for cell, width in zip(cells, widths, strict=True)
    ]
    for n in range(max(len(lines) for lines in wrapped)):
        line = " " * indent + (" " * GAP).join(
            (lines[n] if n < len(lines) else "").ljust(width)
            for lines, width in zip(wrapped, widths, strict=True)
        )
        page.lines.append(page.paint(line.rstrip(), style) if style else line.rstrip())


def _stacked(page: Page, heads: Sequence[str], rows: Sequence[Sequence[str]], indent: int) -> None:
    for row in rows:
        page.item("-", row[0], indent)
        for head, cell in list(zip(heads, row, strict=True))[1:]:
            if cell:
                page.item("", f"{head}: {cell}" if head else cell, indent + 2)
