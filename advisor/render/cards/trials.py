"""Published trials in words: what was done, what came of it, what the kill model expects.

Used on the card of a weed and of a trial. The comparison itself is made by `advisor.published`.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.published import Comparison, compare
from advisor.render.cards.maker import Maker, day, numbers, shares, show_days, stretch, there
from advisor.render.cards.parts import Card, Part, Row, Table, Words


def trial_card(maker: Maker, name: str) -> Card:
    """One trial on its own."""
    trial = maker.base.trials[name]
    compared = compare(trial, maker.base)
    parts: list[Part] = [
        maker.line("weed", (maker.link("weed", trial.weed),)),
        maker.line("actives", maker.actives(trial.actives)),
        maker.line("treatment", treatment(maker, compared)),
        maker.line("published", published(compared), trial.basis),
        maker.line("found", trial.says, trial.basis),
        maker.line("model", model(compared)),
        maker.line("off", off(maker, compared)),
    ]
    if trial.rules:
        parts.append(maker.line("rules", maker.links("rule", trial.rules)))
    if trial.note:
        parts.append(maker.item(trial.note))
    sections = (maker.section("trial", parts, trial.basis),)
    return Card("trial", name, name, maker.say("about-trial"), there(sections))


def trial_parts(maker: Maker, compared: tuple[Comparison, ...]) -> Iterator[Part]:
    """Published trials, with what the model expects of them."""
    if not compared:
        return
    yield maker.note("trials")
    names = ("trial", "published", "model", "off")
    columns = tuple(maker.say(f"column-{name}") for name in names)
    yield Table(columns, tuple(_trial(maker, one) for one in compared))


def _trial(maker: Maker, compared: Comparison) -> Row:
    trial = compared.trial
    told = [trial.says]
    if trial.note:
        told.append(trial.note)
    what: Words = (
        *maker.actives(trial.actives),
        f", {treatment(maker, compared)}. ",
        " ".join(told),
    )
    cells: tuple[Words, ...] = (
        what,
        (published(compared),),
        (model(compared),),
        (off(maker, compared),),
    )
    return Row(cells, trial.basis, ("trial", trial.id))


def treatment(maker: Maker, compared: Comparison) -> str:
    """When, how often and what was counted."""
    trial = compared.trial
    times = maker.say("times", count=numbers(trial.applications))
    if trial.interval_days:
        times += ", " + maker.say("apart", days=show_days(trial.interval_days))
    season = trial.season
    if season is None:
        when = maker.say("season-not-said")
    elif season.first == season.last:
        when = day(season.first)
    else:
        when = stretch(season)
    parts = [when, *([trial.stage] if trial.stage else []), times]
    parts.append(maker.say(f"measured-{trial.measured}"))
    return ", ".join(parts)


def off(maker: Maker, compared: Comparison) -> str:
    """How far the model is off, in percentage points."""
    if compared.agrees:
        said = maker.say("off-none")
    else:
        name = "off-above" if compared.off > 0 else "off-below"
        said = maker.say(name, points=f"{abs(compared.off) * 100:.0f}")
        if compared.meets:
            said += ", " + maker.say("off-meets")
    return said


def published(compared: Comparison) -> str:
    """The published control."""
    low, high = compared.trial.control.low, compared.trial.control.high
    return f"{low * 100:g} %" if low == high else f"{low * 100:g} to {high * 100:g} %"


def model(compared: Comparison) -> str:
    """The control that the model expects."""
    expected = compared.expected
    return shares(expected.low, expected.share, expected.high)
