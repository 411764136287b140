"""The bar of a share with its range, and the picture of a region's months.

Used by the tables of the handbook. The bar stretches to the width it is given; figures stand beside
it, never in it.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator

from markupsafe import Markup, escape

from advisor.model import DayOfYear, Region
from advisor.render.cards.maker import Maker, day, shares
from advisor.render.handbook.svg import YEAR, element, frame, number, text
from advisor.render.say import percent

LEFT, WIDTH, TOP, HIGH, RAIN = 44.0, 432.0, 12.0, 120.0, 36.0


def bar(low: float, share: float, high: float) -> Markup:
    """A share from 0 to 1, with what it may be at worst and at best."""
    parts = Markup("").join(
        element("rect", x=x * 100, y=y, width=max(0.0, wide) * 100, height=height, class_=name)
        for x, y, wide, height, name in (
            (0.0, 0, 1.0, 12, "track"),
            (low, 1, high - low, 10, "range"),
            (0.0, 3.5, share, 5, "share"),
            (share - 0.008, 0, 0.016, 12, "mark"),
        )
    )
    said = element("title", escape(shares(low, share, high)))
    return element(
        "svg",
        said + parts,
        class_="bar",
        viewBox="0 0 100 12",
        preserveAspectRatio="none",
        role="img",
        aria_label=shares(low, share, high),
    )


def loss(share: float) -> Markup:
    """A share that is lost."""
    parts = element("rect", x=0, y=0, width=100, height=10, class_="track")
    parts += element("rect", x=0, y=0, width=share * 100, height=10, class_="loss")
    return element(
        "svg",
        element("title", escape(percent(share))) + parts,
        class_="bar",
        viewBox="0 0 100 10",
        preserveAspectRatio="none",
        role="img",
        aria_label=percent(share),
    )


def months_picture(region: Region, maker: Maker) -> Markup:
    """The usual months of a region: warmth from low to high, rain below, frosts."""
    low = min(month.low for month in region.months) // 10 * 10
    high = -(-max(month.high for month in region.months) // 10) * 10
    scale = HIGH / (high - low)

    def at(degrees: float) -> float:
        return TOP + (high - degrees) * scale

    parts = [*_levels(low, high, at(low), scale)]
    most = max(month.rain_in for month in region.months)
    for n, month in enumerate(region.months):
        x = LEFT + n * WIDTH / 12
        parts.append(
            element(
                "rect",
                x=x + 8,
                y=at(month.high),
                width=WIDTH / 12 - 16,
                height=at(month.low) - at(month.high),
                rx=3,
                class_="warmth",
            )
        )
        deep = month.rain_in / most * (RAIN - 12) if most else 0.0
        floor = at(low) + RAIN + 8
        parts.append(
            element(
                "rect",
                x=x + 8,
                y=floor - deep,
                width=WIDTH / 12 - 16,
                height=deep,
                class_="rain",
            )
        )
        parts.append(text(f"{month.rain_in:g}", x + WIDTH / 24, floor - deep - 3, "rain-figure"))
        parts.append(text(calendar.month_abbr[n + 1], x + WIDTH / 24, floor + 14, "month"))
    parts.append(text(maker.say("picture-rain"), LEFT - 6, at(low) + RAIN + 6, "lane"))
    for frost in (region.last_spring_frost, region.first_fall_frost):
        x = LEFT + _across(frost) * WIDTH
        parts.append(element("line", x1=x, y1=TOP, x2=x, y2=at(low), class_="frost"))
        parts.append(text(day(frost), x + 3, TOP + 9, "frost-name"))
    title = maker.say("picture-months", region=region.name)
    told = maker.say(
        "picture-months-words",
        last=day(region.last_spring_frost),
        first=day(region.first_fall_frost),
        low=number(min(m.low for m in region.months)),
        high=number(max(m.high for m in region.months)),
    )
    size = (LEFT + WIDTH + 8, TOP + HIGH + RAIN + 30)
    return frame(f"months-{region.id}", title, told, size, parts)


def _levels(low: float, high: float, bottom: float, scale: float) -> Iterator[Markup]:
    step = 20 if high - low > 60 else 10
    degrees = low
    while degrees <= high:
        y = bottom - (degrees - low) * scale
        yield element("line", x1=LEFT, y1=y, x2=LEFT + WIDTH, y2=y, class_="level")
        yield text(f"{degrees:g} F", LEFT - 6, y + 4, "lane")
        degrees += step


def _across(date: DayOfYear) -> float:
    return (date.ordinal - 1) / YEAR
