"""Pictures of a weed's year: how well each season suits, and what the weed does meanwhile.

One large picture for the weed's own page and one small strip for the chapter's table. Both show
north-temperate days.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator

from markupsafe import Markup

from advisor.model import Weed
from advisor.render.cards.maker import Maker, stretch
from advisor.render.handbook.svg import element, frame, month_starts, pieces, text
from advisor.render.say import percent
from advisor.render.year_strip import stages

LEFT, WIDTH, RIGHT = 92.0, 432.0, 8.0
TOP, HIGH, LANE, LEGEND = 20.0, 92.0, 20.0, 26.0
FITS = ("best", "fair", "poor")
LABELED = 27.0
"""A season narrower than this has no room for its figure."""


def year_picture(weed: Weed, maker: Maker) -> Markup:
    """The large picture."""
    lanes = stages(weed)
    bottom = TOP + HIGH
    height = bottom + 8 + LANE * len(lanes) + LEGEND
    parts = [*_grid(bottom + 4 + LANE * len(lanes)), *_seasons(weed), *_axis()]
    for row, (name, days) in enumerate(lanes.items()):
        parts += _lane(maker.say(f"label-{name}"), name, pieces(days), bottom + 8 + LANE * row)
    parts += _legend(maker, height - 10)
    title = maker.say("picture-year", weed=weed.name)
    size = (LEFT + WIDTH + RIGHT, height)
    return frame(f"year-{weed.id}", title, described(weed, maker), size, parts)


def described(weed: Weed, maker: Maker) -> str:
    """The picture in words."""
    said = [
        f"{stretch(season.stretch)}: {season.fit}, {percent(season.share)}"
        for season in weed.seasons
    ]
    said += [f"{maker.say(f'label-{name}')} {stretch(days)}" for name, days in stages(weed).items()]
    return ". ".join(said) + "."


def _grid(bottom: float) -> Iterator[Markup]:
    for month, start in enumerate(month_starts(), 1):
        x = LEFT + start * WIDTH
        yield element("line", x1=x, y1=TOP - 4, x2=x, y2=bottom, class_="grid")
        middle = x + WIDTH / 24
        yield text(calendar.month_abbr[month], middle, TOP - 7, "month")
    end = LEFT + WIDTH
    yield element("line", x1=end, y1=TOP - 4, x2=end, y2=bottom, class_="grid")


def _axis() -> Iterator[Markup]:
    for share in (0.0, 0.5, 1.0):
        y = TOP + HIGH * (1 - share)
        yield element("line", x1=LEFT, y1=y, x2=LEFT + WIDTH, y2=y, class_="level")
        yield text(f"{share * 100:.0f} %", LEFT - 6, y + 4, "lane")


def _seasons(weed: Weed) -> Iterator[Markup]:
    for season in weed.seasons:
        for start, end in pieces(season.stretch):
            x, wide = LEFT + start * WIDTH, (end - start) * WIDTH
            high = max(2.0, HIGH * season.share)
            y = TOP + HIGH - high
            yield element(
                "rect", x=x, y=y, width=wide, height=high, class_=f"season fit-{season.fit}"
            )
            if wide >= LABELED:
                inside = high > 24
                figure = percent(season.share).replace(" ", "\u00a0")
                at = y + 15 if inside else y - 4
                style = f"figure on-{season.fit}" if inside else "figure"
                yield text(figure, x + wide / 2, at, style)


def _lane(label: str, name: str, parts: list[tuple[float, float]], y: float) -> Iterator[Markup]:
    yield text(label, LEFT - 6, y + 12, "lane")
    for start, end in parts:
        x, wide = LEFT + start * WIDTH, (end - start) * WIDTH
        yield element(
            "rect", x=x, y=y + 2, width=wide, height=LANE - 8, rx=3, class_=f"stage {name}"
        )


def _legend(maker: Maker, y: float) -> Iterator[Markup]:
    x = LEFT
    for fit in FITS:
        yield element("rect", x=x, y=y - 10, width=14, height=12, class_=f"season fit-{fit}")
        yield text(maker.say(f"fit-{fit}"), x + 19, y, "key")
        x += 92


def year_head(group: str, maker: Maker) -> Markup:
    """The months over the small strips of a group, by their first letters."""
    starts = month_starts()
    parts = [
        text(calendar.month_abbr[n + 1][0], start * 180 + 7.5, 15, "month")
        for n, start in enumerate(starts)
    ]
    return frame(
        f"strips-{group}", maker.say("column-year"), maker.say("strip-key"), (180, 20), parts
    )


def year_row(weed: Weed, maker: Maker) -> Markup:
    """The small strip: a colored bar for each season, higher where it suits better."""
    parts = []
    for season in weed.seasons:
        for start, end in pieces(season.stretch):
            high = {"best": 20.0, "fair": 13.0, "poor": 6.0}[season.fit]
            parts.append(
                element(
                    "rect",
                    x=start * 180,
                    y=20 - high,
                    width=(end - start) * 180,
                    height=high,
                    class_=f"season fit-{season.fit}",
                )
            )
    for start in month_starts()[1:]:
        parts.append(element("line", x1=start * 180, y1=0, x2=start * 180, y2=20, class_="grid"))
    title = maker.say("picture-year", weed=weed.name)
    best = [stretch(season.stretch) for season in weed.seasons if season.fit == "best"]
    return frame(f"strip-{weed.id}", title, f"best {', '.join(best)}", (180, 20), parts)
