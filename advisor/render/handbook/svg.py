"""Small pieces that all pictures of the handbook are made of: numbers, texts, elements, the frame.

Pictures are plain SVG inside the pages, colored by classes of the style sheet, each with a title
and a description for those who cannot see it. Everything put in is escaped.
"""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape

from advisor.model import DayOfYear, Stretch

YEAR = 365


def number(value: float) -> str:
    """A coordinate with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")


def element(name: str, inside: str | Markup = "", **attributes: str | float) -> Markup:
    """An element; `_` in an attribute's name stands for `-`, a trailing one is left out."""
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
    )
    if inside == "":
        return Markup(f"<{name}{said}/>")
    return Markup(f"<{name}{said}>{escape(inside)}</{name}>")


def _value(value: str | float) -> str:
    return str(escape(value)) if isinstance(value, str) else number(value)


def text(said: str, x: float, y: float, class_: str = "") -> Markup:
    """A text at a place."""
    more = {"class_": class_} if class_ else {}
    return element("text", escape(said), x=x, y=y, **more)


def frame(
    name: str, title: str, described: str, size: tuple[float, float], parts: Iterable[Markup]
) -> Markup:
    """A picture with its title and description; `name` makes their ids unique on a page."""
    width, height = size
    head = element("title", escape(title), id=f"{name}-title")
    head += element("desc", escape(described), id=f"{name}-desc")
    return element(
        "svg",
        head + Markup("").join(parts),
        class_="picture",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
    )


def pieces(stretch: Stretch) -> list[tuple[float, float]]:
    """A stretch as shares of the year from 0 to 1; two where it runs over new year."""
    start, end = stretch.first.ordinal - 1, stretch.last.ordinal
    if start < end:
        return [(start / YEAR, end / YEAR)]
    return [(start / YEAR, 1.0), (0.0, end / YEAR)]


def month_starts() -> list[float]:
    """The first days of the months as shares of the year."""
    return [(DayOfYear(month, 1).ordinal - 1) / YEAR for month in range(1, 13)]
