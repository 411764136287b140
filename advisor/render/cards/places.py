"""The cards of a site feature, a lawn grass and a region.

Used by `library`. Which weeds and products name the place is looked up; all else stands in its own
entry.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator

from advisor.model import Region, Site, Turf
from advisor.render.cards.maker import Maker, day, stretch, there, yes_no
from advisor.render.cards.parts import Card, Part, Picture, Row, Table, Words
from advisor.render.say import in_hundred
from advisor.terms import Span
from advisor.units import show


def site_card(maker: Maker, name: str) -> Card:
    """All that is known of a site feature."""
    site = maker.base.sites[name]
    sections = (
        maker.section("site", _site(maker, site)),
        maker.section("site-weeds", _site_weeds(maker, site)),
    )
    return Card("site", name, site.name, maker.say("about-site"), there(sections))


def _site(maker: Maker, site: Site) -> Iterator[Part]:
    yield maker.line("means", site.says)
    yield maker.line("ask", site.ask)
    yield maker.line("by-water", yes_no(site.near_water))
    chance = maker.say("in-hundred", chance=in_hundred(site.how_often))
    yield maker.line("how-often-site", chance, site.basis)
    rules = [rule.id for rule in maker.base.rules() if f"site.{site.id}" in rule.facts]
    if rules:
        yield maker.line("read-by", maker.links("rule", rules))


def _site_weeds(maker: Maker, site: Site) -> Iterator[Part]:
    favored = [w.id for w in maker.base.weeds.values() if site.id in w.favoured_by]
    if favored:
        yield maker.line("favors", maker.links("weed", favored))
    for weed in maker.base.weeds.values():
        for limit in weed.sites:
            if limit.feature == site.id:
                outlook = maker.say(f"outlook-{limit.outlook}")
                words: Words = (maker.link("weed", weed.id), f": {outlook} {limit.because}")
                yield maker.item(words, limit.basis)


def turf_card(maker: Maker, name: str) -> Card:
    """All that is known of a lawn grass."""
    turf = maker.base.turf[name]
    sections = (
        maker.section("turf-care", _turf(maker, turf), turf.basis),
        maker.section("turf-products", _turf_products(maker, turf)),
    )
    return Card("turf", name, turf.name, maker.say(f"about-turf-{turf.season}"), there(sections))


def _turf(maker: Maker, turf: Turf) -> Iterator[Part]:
    yield maker.line("mowing-height", show(turf.mowing_height_in, "in"), turf.basis)
    for sowing, basis in zip(turf.seeding, turf.seeding_bases, strict=True):
        yield maker.line("sowing", stretch(sowing), basis)
    if not turf.seeding:
        yield maker.line("sowing", maker.say("not-sown"), turf.basis)
    if turf.members:
        yield maker.line("members", maker.links("turf", turf.members))
    groups = [group.id for group in maker.base.turf.values() if turf.id in group.members]
    if groups:
        yield maker.line("member-of", maker.links("turf", groups))


def _turf_products(maker: Maker, turf: Turf) -> Iterator[Part]:
    products = maker.base.products.values()
    groups = {turf.id} | {
        group.id for group in maker.base.turf.values() if turf.id in group.members
    }
    members = set(turf.members)

    def named(names: tuple[str, ...]) -> bool:
        return bool(groups & set(names)) or (bool(members) and members <= set(names))

    tolerant = [product.id for product in products if named(product.turf_tolerant)]
    injured = [
        product.id
        for product in products
        if groups & set(product.turf_injured) or members & set(product.turf_injured)
    ]
    yield maker.line("stands", maker.links("product", tolerant))
    yield maker.line("hurt-by", maker.links("product", injured))


def region_card(maker: Maker, name: str) -> Card:
    """All that is known of a region."""
    region = maker.base.regions[name]
    sections = (maker.section("region", _region(maker, region), region.basis),)
    return Card("region", name, region.name, region.says, there(sections))


def _region(maker: Maker, region: Region) -> Iterator[Part]:
    yield maker.line("hemisphere", region.hemisphere)
    yield maker.line("latitude", f"{region.latitude:g}")
    yield maker.line("last-frost", day(region.last_spring_frost))
    yield maker.line("first-frost", day(region.first_fall_frost))
    yield maker.line("shift", maker.say("shift", days=f"{region.shift_days:+d}"))
    yield Picture("months")
    names = ("month", "high", "low", "spread", "rain-days", "rain")
    columns = tuple(maker.say(f"column-{name}") for name in names)
    rows = tuple(
        Row(
            (
                (calendar.month_name[number],),
                (_degrees(month.high),),
                (_degrees(month.low),),
                (f"{month.spread:g}",),
                (f"{month.rain_days:g}",),
                (show(Span(month.rain_in, month.rain_in), "in"),),
            )
        )
        for number, month in enumerate(region.months, 1)
    )
    yield Table(columns, rows)


def _degrees(value: float) -> str:
    return show(Span(value, value), "F")
