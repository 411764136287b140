"""Lines of a page in the terminal: headings, wrapped paragraphs, numbered lists, bars.

Used by every text output. It knows widths and colors and nothing of weeds; colors never carry a
meaning that the words do not.
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field

BOLD, RED, YELLOW, DIM = "1", "1;31", "33", "2"
NARROWEST = 40
WIDEST = 88
GLUE = "\u00a0"
"""Stands for a space at which no line may end."""


@dataclass
class Page:
    """Collects the lines of one output."""

    width: int = 80
    color: bool = False
    lines: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Keep the width readable."""
        self.width = max(NARROWEST, min(self.width, WIDEST))

    def paint(self, text: str, style: str) -> str:
        """The text in a style, where colors are on."""
        return f"\x1b[{style}m{text}\x1b[0m" if self.color and text else text

    def head(self, text: str, style: str = BOLD) -> None:
        """A heading, with a blank line before it."""
        if self.lines:
            self.lines.append("")
        self.item("", text, 0, style)

    def text(self, text: str, indent: int = 2, style: str = "") -> None:
        """A wrapped paragraph."""
        self.item("", text, indent, style)

    def item(self, mark: str, text: str, indent: int = 2, style: str = "") -> None:
        """A wrapped paragraph behind a mark, such as `1.` or `-`."""
        first = " " * indent + (f"{mark} " if mark else "")
        rest = " " * len(first)
        wrapped = textwrap.wrap(
            " ".join(text.split()).replace(" %", f"{GLUE}%"),
            self.width,
            initial_indent=first,
            subsequent_indent=rest,
            break_on_hyphens=False,
        )
        lines = (line.replace(GLUE, " ") for line in wrapped)
        self.lines.extend(self.paint(line, style) if style else line for line in lines)

    def blank(self) -> None:
        """A blank line."""
        self.lines.append("")

    def __str__(self) -> str:
        return "\n".join(self.lines) + "\n"


def bar(share: float, length: int = 10) -> str:
    """A share drawn as a bar of hash marks on dots."""
    full = min(length, max(0, round(share * length)))
    return "#" * full + "." * (length - full)
