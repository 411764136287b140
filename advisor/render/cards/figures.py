"""The figures that belong to no entry: of the model, of spray weather, of sprayers and measures.

A chapter of the handbook. What always holds between facts and the ids that were given up stand here
too.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.model import Basis
from advisor.render.cards.maker import Maker, there
from advisor.render.cards.others import relation_item
from advisor.render.cards.parts import Part, Row, Section, Table
from advisor.render.say import percent
from advisor.units import show, show_amount


def figures(maker: Maker) -> tuple[Section, ...]:
    """The sections, in their order."""
    return there(
        (
            maker.section("figures-model", _model(maker)),
            maker.section("figures-weather", _weather(maker)),
            maker.section("figures-sprayers", _sprayers(maker)),
            maker.section(
                "figures-relations",
                [relation_item(maker, relation) for relation in maker.base.relations],
                Basis("common-practice"),
            ),
            maker.section("figures-retired", _retired(maker)),
        )
    )


def _of(maker: Maker, *keys: str) -> Basis | None:
    """The origin of a figure of a single file."""
    return maker.base.origins.get(keys)


def _model(maker: Maker) -> Iterator[Part]:
    settings = maker.base.settings
    for name, said, key in (
        ("target", percent(settings.target_survivors), "target_survivors"),
        ("slope", f"{settings.dose_slope:g}", "dose_slope"),
        ("shown", maker.say("decibans", number=f"{settings.kind_shown_within:g}"), "kinds"),
        ("ruled-out", maker.say("decibans", number=f"{settings.kind_ruled_out_beyond:g}"), "kinds"),
    ):
        yield maker.line(f"figure-{name}", said, _of(maker, "model", key))


def _weather(maker: Maker) -> Iterator[Part]:
    suits = maker.base.heat.suits
    for name, said, key in (
        ("air", show(suits.temperature, "F"), "temperature"),
        ("delta-t", show(suits.delta_t, "F-degrees"), "delta_t"),
        ("delta-t-never", f"{suits.delta_t_never:g} F", "delta_t"),
    ):
        yield maker.line(f"figure-{name}", said, _of(maker, "heat", "spraying", key))


def _sprayers(maker: Maker) -> Iterator[Part]:
    kept = maker.base.sprayers
    for name, said, keys in (
        ("by-hand", show_amount(kept.by_hand), ("by_hand",)),
        ("carrier-moves", show_amount(kept.carrier_moves), ("carrier",)),
        ("carrier-contact", show_amount(kept.carrier_contact), ("carrier",)),
        ("spotted-below", show_amount(kept.spotted_below), ("leaves",)),
        ("dripping-from", show_amount(kept.dripping_from), ("leaves",)),
        ("rated-at", show_amount(kept.rated_at), ("nozzles",)),
        ("pressure", show_amount(kept.pressure_corrects), ("nozzles",)),
        ("short", percent(float(kept.short_at_most)), ("measuring",)),
        ("marks", ", ".join(show_amount(mark) for mark in kept.marks), ("measuring",)),
        ("order", ", ".join(maker.option("formulation", f) for f in kept.order), ("tank", "order")),
        ("most", str(kept.most_products), ("tank", "most")),
        ("hard-water", show_amount(kept.hard_water), ("tank", "hard_water")),
    ):
        yield maker.line(f"figure-{name}", said, _of(maker, "sprayers", *keys))
    names = ("drops", "letters", "microns", "fines")
    rows = tuple(
        Row(
            (
                (drops.name.replace("-", " "),),
                (drops.letters,),
                (f"{drops.microns:g}",),
                (show_amount(drops.fines) if drops.fines else "",),
            ),
            _of(maker, "sprayers", "drops"),
        )
        for drops in kept.drops
    )
    yield Table(tuple(maker.say(f"column-{name}") for name in names), rows)


def _retired(maker: Maker) -> Iterator[Part]:
    for old, given_up in maker.base.retired.items():
        yield maker.item(
            maker.say("retired", old=old, new=given_up.successor, on=given_up.on, why=given_up.why)
        )
