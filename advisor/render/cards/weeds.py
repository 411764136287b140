"""The card of a weed: what it is, its year, what kills it, how often, where it cannot be beaten.

Used by `library`. Everything stands in the weed's file, but for the products, which are looked up
by their labels, and the published trials, which the kill model is set against.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.control import retreatments
from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.model import Basis, Product, Weed
from advisor.published import of_weed
from advisor.render.cards.maker import Maker, numbers, shares, show_days, stretch, there
from advisor.render.cards.parts import (
    WORKED_OUT,
    Bar,
    Bars,
    Card,
    Line,
    Part,
    Picture,
    Row,
    Table,
    Words,
)
from advisor.render.cards.trials import trial_parts
from advisor.render.say import percent
from advisor.units import show, show_amount

MOST_NAMED = 3
LITTLE = 0.1
"""An active that kills less than this is listed without a bar."""
STAGES = ("flowers", "seeds", "dies_back")


def weed_card(maker: Maker, name: str) -> Card:
    """All that is known of a weed."""
    weed = maker.base.weeds[name]
    sections = (
        maker.section("glance", _glance(maker, weed)),
        maker.section("plant", _plant(maker, weed)),
        maker.section("looks", _looks(maker, weed)),
        maker.section("year", _year(maker, weed)),
        maker.section("control", _control(maker, weed)),
        maker.section("products", _products(maker, weed)),
        maker.section("again", _again(maker, weed)),
        maker.section("where", _where(maker, weed)),
        maker.section(
            "keep-out", [maker.item(saying.say, saying.basis) for saying in weed.kept_out_by]
        ),
        maker.section("know", [maker.item(saying.say, saying.basis) for saying in weed.specials]),
        maker.section("trials", trial_parts(maker, of_weed(name, maker.base))),
    )
    return Card("weed", name, weed.name, f"{weed.latin}, {weed.family}", there(sections))


def _glance(maker: Maker, weed: Weed) -> Iterator[Part]:
    """What to know first."""
    best = [stretch(season.stretch) for season in weed.seasons if season.fit == "best"]
    yield maker.line("best-time", ", ".join(best), weed.seasons_basis)
    products = [p for p in maker.base.products.values() if p.lists(weed.id) == "controls"]
    products.sort(key=lambda product: _rank(weed, product))
    if products:
        words = [
            (maker.link("product", p.id), f" {percent(base_of(weed, actives_of(p)).share)}")
            for p in products[:MOST_NAMED]
        ]
        yield maker.line("best-products", maker.joined(words), WORKED_OUT)
    else:
        yield maker.line("best-products", maker.say("no-control"))
    again = weed.retreatments
    figures = {"count": numbers(again.applications), "days": show_days(again.interval_days)}
    name = "again-once" if again.applications == (1, 1) else "again-often"
    often = maker.say(name, **figures)
    if again.seasons > 1:
        often += ", " + maker.say("over-seasons", seasons=str(again.seasons))
    yield maker.line("how-often-treat", often, again.basis)


def _plant(maker: Maker, weed: Weed) -> Iterator[Part]:
    yield Picture("habit")
    if weed.also:
        yield maker.line("also", ", ".join(weed.also))
    for fact, option, basis in (
        ("plant_group", weed.plant_group, None),
        ("life_cycle", weed.life_cycle, weed.life_cycle_basis),
        ("habit", weed.habit, weed.habit_basis),
    ):
        yield _fact(maker, fact, option, basis)
    yield maker.line("unit", weed.unit)
    yield maker.line("pieces", weed.regrows_from_pieces, weed.regrows_basis)
    years = weed.seed_life_years
    yield maker.line(
        "seed-life",
        maker.say("no-seed") if years.high == 0 else show(years, "years"),
        weed.seed_life_basis,
    )
    for fact, option in (
        ("growth_form", weed.growth_form),
        ("leaf_surface", weed.leaf_surface),
        ("likes_wet_soil", weed.likes_wet_soil),
        ("likes_thin_turf", weed.likes_thin_turf),
    ):
        yield _fact(maker, fact, option)


def _fact(maker: Maker, fact: str, option: str, basis: Basis | None = None) -> Line:
    said = option if option in ("yes", "no") else maker.option(fact, option)
    return Line(maker.base.facts[fact].says, (said,), basis)


def _looks(maker: Maker, weed: Weed) -> Iterator[Part]:
    for trait, value in weed.traits.items():
        yield Line(trait.replace("_", " "), (value.replace("-", " "),))
    if weed.lookalikes:
        columns = (maker.say("column-taken-for"), maker.say("column-decides"))
        rows = tuple(
            Row(((maker.link("weed", other.weed),), (other.decide,)), other.basis)
            for other in weed.lookalikes
        )
        yield Table(columns, rows)


def _year(maker: Maker, weed: Weed) -> Iterator[Part]:
    yield Picture("year")
    yield maker.note("north")
    columns = tuple(maker.say(f"column-{name}") for name in ("days", "season", "share", "why"))
    rows = tuple(
        Row(
            (
                (stretch(season.stretch),),
                (season.fit,),
                (percent(season.share),),
                (season.why,),
            ),
            weed.seasons_basis,
        )
        for season in weed.seasons
    )
    yield Table(columns, rows)
    if weed.germinates is not None:
        yield maker.line("germinates", stretch(weed.germinates), weed.germinates_basis)
    for stage in STAGES:
        if stage in weed.calendar:
            days = stretch(weed.calendar[stage])
            yield maker.line(stage.replace("_", "-"), days, weed.calendar_bases.get(stage))
    if heat := _heat(maker, weed):
        yield Table((maker.say("column-event"), maker.say("column-heat")), heat)


def _heat(maker: Maker, weed: Weed) -> tuple[Row, ...]:
    """What warmth brings it to which stage."""
    rows = []
    for threshold in maker.base.heat.of_weed(weed.id):
        where = maker.say(f"heat-{threshold.measured}", method=threshold.recipe.method)
        start = f"{threshold.start[0]:02}-{threshold.start[1]:02}"
        words = maker.say("heat", total=threshold.written, where=where, start=start)
        basis = Basis(threshold.basis, threshold.source)
        rows.append(Row(((threshold.says,), (words,)), basis))
    for mean in maker.base.heat.soil_of_weed(weed.id):
        words = maker.say(f"soil-{mean.way}", mean=show(mean.mean, "F"))
        rows.append(Row(((mean.says,), (words,)), Basis(mean.basis, mean.source)))
    return tuple(rows)


def _control(maker: Maker, weed: Weed) -> Iterator[Part]:
    yield maker.note("control", unit=weed.unit)
    listing = [p for p in maker.base.products.values() if p.lists(weed.id) != "not-listed"]
    ranked = sorted(weed.control.items(), key=lambda c: (-c[1].share, c[0]))
    rows = []
    for name, control in ranked:
        if control.share < LITTLE:
            continue
        within = [p.id for p in listing if any(a.name == name for a in p.actives)]
        after = maker.links("product", within) if within else ()
        rows.append(
            Bar(
                (maker.active(name),),
                control.low,
                control.share,
                control.high,
                control.basis,
                after,
            )
        )
    if rows:
        yield Bars(maker.say("column-active"), maker.say("column-in"), tuple(rows))
    little = [(name, control) for name, control in ranked if control.share < LITTLE]
    if little:
        yield maker.note("little")
    for name, control in little:
        figure = shares(control.low, control.share, control.high)
        yield maker.item((maker.active(name), f" {figure}"), control.basis)
    for case in weed.resistance:
        words = (*maker.actives(case.actives), f": {case.note}")
        yield maker.line("resistance", words, case.basis)


def _products(maker: Maker, weed: Weed) -> Iterator[Part]:
    names = ("product", "label-says", "rate", "kills")
    columns = tuple(maker.say(f"column-{name}") for name in names)
    products = maker.base.products.values()
    listing = [p for p in products if p.lists(weed.id) != "not-listed"]
    rows = [_product(maker, weed, p) for p in sorted(listing, key=lambda p: _rank(weed, p))]
    yield Table(columns, tuple(rows)) if rows else maker.note("no-product")


def _rank(weed: Weed, product: Product) -> tuple[bool, float, str]:
    share = base_of(weed, actives_of(product)).share
    return product.lists(weed.id) != "controls", -share, product.id


def _product(maker: Maker, weed: Weed, product: Product) -> Row:
    rate = product.rate_for(weed.id)
    kills = base_of(weed, actives_of(product))
    cells: tuple[Words, ...] = (
        (maker.link("product", product.id),),
        (maker.say(f"lists-{product.lists(weed.id)}"),),
        (show_amount(rate.amount) if rate else maker.say("none"),),
        (shares(kills.low, kills.share, kills.high),),
    )
    return Row(cells, WORKED_OUT)


def _again(maker: Maker, weed: Weed) -> Iterator[Part]:
    again = weed.retreatments
    times = numbers(again.applications)
    yield maker.line("applications", times, again.basis)
    yield maker.line("interval", show_days(again.interval_days), again.basis)
    yield maker.line("seasons", str(again.seasons), again.basis)
    if again.note:
        yield maker.item(again.note, again.basis)
    best = max(weed.control.items(), key=lambda c: (c[1].share, c[0]))
    target = maker.base.settings.target_survivors
    needed = retreatments(best[1].share, target)
    figures = {
        "active": best[0],
        "left": percent(target),
        "count": str(needed) if needed else maker.say("over-twenty"),
    }
    yield maker.line("needed", maker.say("needed", **figures), WORKED_OUT)


def _where(maker: Maker, weed: Weed) -> Iterator[Part]:
    if weed.favoured_by:
        yield maker.line("favored-by", maker.links("site", weed.favoured_by))
    for limit in weed.sites:
        words: Words = (
            maker.link("site", limit.feature),
            f": {maker.say(f'outlook-{limit.outlook}')} {limit.because}",
        )
        yield maker.item(words, limit.basis)
