"""The cards of a product and of an active ingredient.

Used by `library`. A product's card is its label; what it can be expected to kill is worked out from
the figures of the weeds.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.catalog import active_groups
from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.model import Product
from advisor.render.cards.maker import Maker, numbers, there, yes_no
from advisor.render.cards.parts import WORKED_OUT, Bar, Bars, Card, Line, Part, Row, Table, Words
from advisor.terms import Span
from advisor.units import show, show_amount

LITTLE = 0.1
"""An active that kills less than this of a weed is named beside it without a bar."""


def product_card(maker: Maker, name: str) -> Card:
    """All that is known of a product."""
    product = maker.base.products[name]
    label = product.basis
    sections = (
        maker.section("what", _what(maker, product), label),
        maker.section("rates", _rates(maker, product), label),
        maker.section("when", _when(maker, product), label),
        maker.section("weeds", _weeds(maker, product), WORKED_OUT),
        maker.section("turf", _turf(maker, product), label),
        maker.section("waits", _waits(maker, product), label),
        maker.section("works", _works(maker, product), label),
        maker.section("tank", _tank(maker, product), label),
        maker.section("safe", _safe(maker, product), label),
    )
    return Card("product", name, product.name, product.summary, there(sections))


def _what(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.note("label")
    yield maker.line("kind-of-product", maker.say(f"product-{product.kind}"))
    names = ("active", "group", "content", "form")
    rows = tuple(
        Row(
            (
                (maker.active(active.name),),
                (str(active.group),),
                (f"{show_amount(active.content)} {active.basis}",),
                (active.form,),
            )
        )
        for active in product.actives
    )
    yield Table(tuple(maker.say(f"column-{name}") for name in names), rows)
    for fact, option in (
        ("formulation", product.formulation),
        ("acts_through", product.acts_through),
        ("moves_in_plant", product.moves_in_plant),
    ):
        yield Line(maker.base.facts[fact].says, (maker.option(fact, option),))
    if product.price:
        pack = f"${product.price.cost:,.2f} for {show_amount(product.price.pack)}"
        yield maker.line("price", pack, product.price.basis)


def _rates(maker: Maker, product: Product) -> Iterator[Part]:
    rows = tuple(
        Row(
            (
                maker.links("weed", rate.weeds) if rate.weeds else (maker.say("all-others"),),
                (show_amount(rate.amount),),
            )
        )
        for rate in product.rates
    )
    yield Table((maker.say("column-weed"), maker.say("column-rate")), rows)
    if product.spot:
        spot = show_amount(product.spot)
        if product.spot_wet:
            spot += ", " + maker.option("coverage", product.spot_wet)
        yield maker.line("spot", spot)
    if product.water:
        yield maker.line("water", show_amount(product.water))
    surfactant = product.surfactant
    if surfactant.called_for:
        parts = [surfactant.kind, show_amount(surfactant.amount) if surfactant.amount else None]
        yield maker.line("surfactant", ", ".join(part for part in parts if part))
    else:
        yield maker.line("surfactant", maker.say("not-called-for"))
    yield maker.line("interval", show(_exactly(product.interval_days), "days"))
    yield maker.line("per-year", str(product.per_year))
    if product.yearly_amount:
        yield maker.line("yearly", show_amount(product.yearly_amount))


def _when(maker: Maker, product: Product) -> Iterator[Part]:
    if product.temperature:
        yield maker.line("temperature", show(product.temperature, "F"))
    if product.rainfast_h is not None:
        yield maker.line("rainfast", show(_exactly(product.rainfast_h), "h"))
    yield maker.line("dry-leaf", maker.say(f"dry-leaf-{product.dry_leaf}"))
    if product.water_in_amount:
        water = show_amount(product.water_in_amount)
        if product.water_in_days is not None:
            days = show(_exactly(product.water_in_days), "days")
            water = maker.say("within", amount=water, days=days)
        yield maker.line("water-in", water)
    if product.stage_limit:
        stages = ", ".join(maker.option("stage", stage) for stage in product.stage_limit)
        yield maker.line("stage-limit", stages)
        if product.stage_limit_says:
            yield maker.item(product.stage_limit_says)


def _weeds(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.note("expected")
    for name, weeds in (("controls", product.controls), ("suppresses", product.suppresses)):
        if not weeds:
            continue
        rows = []
        for weed in weeds:
            kills = base_of(maker.base.weeds[weed], actives_of(product))
            label: Words = (maker.link("weed", weed),)
            rows.append(Bar(label, kills.low, kills.share, kills.high))
        rows.sort(key=lambda bar: (-bar.share, -bar.high))
        yield Bars(maker.say(f"column-{name}"), "", tuple(rows), titled=True)


def _turf(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.line("tolerant", maker.links("turf", product.turf_tolerant))
    yield maker.line("injured", maker.links("turf", product.turf_injured))


def _waits(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.line("mow-before", show(_exactly(product.mow_before_h), "h"))
    yield maker.line("mow-after", show(_exactly(product.mow_after_h), "h"))
    yield maker.line("seed-after", show(_exactly(product.seed_after_days), "days"))
    yield maker.line("new-grass", show(_exactly(product.new_grass_days), "days"))


def _works(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.line("first", f"{numbers(product.first_days)} days")
    yield maker.line("full", f"{numbers(product.full_days)} days")
    if product.residual_days:
        yield maker.line("residual", f"{numbers(product.residual_days)} days")


def _tank(maker: Maker, product: Product) -> Iterator[Part]:
    fact = "hard_water_sensitive"
    said = maker.option(fact, product.hard_water_sensitive)
    yield Line(maker.base.facts[fact].says, (said,))
    if product.conflict_groups:
        groups = ", ".join(str(group) for group in product.conflict_groups)
        yield maker.line("conflicts", groups)
        if product.conflict_why:
            yield maker.item(product.conflict_why)


def _safe(maker: Maker, product: Product) -> Iterator[Part]:
    yield maker.line("signal-word", product.signal_word)
    yield maker.line("protective", ", ".join(product.protective))
    yield maker.line("reentry", product.reentry)
    yield maker.line("near-water", product.near_water)
    yield maker.line("homeowner", yes_no(product.homeowner == "yes"))
    yield maker.line("storage", product.storage)
    yield maker.line("keeps", show(_exactly(product.keeps_years), "years"))


def _exactly(number: float) -> Span:
    return Span(number, number)


# ---- active ingredients ------------------------------------------------------------------------


def active_card(maker: Maker, name: str) -> Card:
    """What is known of an active ingredient, gathered from products and weeds."""
    base = maker.base
    active = maker.catalog.names("active")[name]
    group = active_groups(base)[active]
    within = [p.id for p in base.products.values() if any(a.name == active for a in p.actives)]
    found = sorted(
        ((weed.id, weed.control[active]) for weed in base.weeds.values() if active in weed.control),
        key=lambda pair: (-pair[1].share, pair[0]),
    )
    rows = tuple(
        Bar((maker.link("weed", weed),), control.low, control.share, control.high, control.basis)
        for weed, control in found
        if control.share >= LITTLE
    )
    parts: list[Part] = [maker.note("control-by")]
    if rows:
        parts.append(Bars(maker.say("column-weed"), "", rows))
    if rest := [weed for weed, control in found if control.share < LITTLE]:
        parts.append(maker.line("little", maker.links("weed", rest)))
    sections = (
        maker.section("within", [maker.line("products", maker.links("product", within))]),
        maker.section("kills", parts),
    )
    about = maker.say("about-active", group=str(group)) if group else maker.say("about-active-only")
    return Card("active", name, active, about, there(sections))
