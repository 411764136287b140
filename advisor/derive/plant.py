"""Facts about the plant and about what the product can do to it.

Reads the knowledge base's entry of the weed and of the actives; feeds the rules on wrong weeds,
labels and resistance. Where the weed is not named, everything here stays unknown.
"""

from __future__ import annotations

from advisor.account import Call
from advisor.control import Base, together
from advisor.derive.label import Actives, Label
from advisor.fact import KNOWLEDGE, LABEL, TOLD, WORKED_OUT, Gathering, Origin
from advisor.model import Control, KnowledgeBase, Weed
from advisor.terms import Options, Span

GRANULE = "granule"
MOST_NAMED = 3
NO_FIGURE = Base(0.1, 0.0, 0.3)
"""What to expect of an active that the weed's entry does not name: next to nothing."""


def plant_facts(call: Call, base: KnowledgeBase, into: Gathering) -> None:
    """Facts about the weed, of the call's scope."""
    weed = base.weeds.get(call.weed) if call.weed else None
    if weed is not None:
        _from_entry(weed, into)
    if not into.known("weed_named"):
        _named(call, weed, base, into)
    if call.weed and call.weed_treated:
        same = "yes" if call.weed == call.weed_treated else "no"
        words = f"treated as {call.weed_treated}, now {call.weed}"
        into.add("same_plant", Options.of(same), Origin(TOLD, words))


def _named(call: Call, weed: Weed | None, base: KnowledgeBase, into: Gathering) -> None:
    """Whether the weed is named for certain: one look that does not fit leaves it open, two do not.

    One may be a slip of the tongue.
    """
    if weed is None:
        fits = [w.name for w in base.weeds.values() if call.traits and _differing(call, w) == []]
        words = "no weed is named"
        if fits:
            words += f"; it looks like {' or '.join(fits[:MOST_NAMED])}"
        into.add("weed_named", Options.of("unsure"), Origin(WORKED_OUT, words))
        return
    differing = _differing(call, weed)
    if not differing:
        into.add("weed_named", Options.of("certain"), Origin(TOLD, f"the weed is {weed.name}"))
    elif len(differing) > 1:
        looks = ", ".join(f"{name} {call.traits[name]}" for name in differing)
        words = f"called {weed.name}, which does not look so: {looks}"
        into.add("weed_named", Options.of("unsure"), Origin(WORKED_OUT, words.replace("_", " ")))


def _differing(call: Call, weed: Weed) -> list[str]:
    """The traits told that this weed does not have."""
    return [t for t, told in call.traits.items() if weed.traits.get(t, told) != told]


def _from_entry(weed: Weed, into: Gathering) -> None:
    origin = Origin(KNOWLEDGE, weed.name, firm=True)
    for name, option in (
        ("habit", weed.habit),
        ("life_cycle", weed.life_cycle),
        ("plant_group", weed.plant_group),
        ("growth_form", weed.growth_form),
        ("leaf_surface", weed.leaf_surface),
        ("regrows_from_pieces", weed.regrows_from_pieces),
        ("likes_wet_soil", weed.likes_wet_soil),
        ("likes_thin_turf", weed.likes_thin_turf),
    ):
        into.add(name, Options.of(option), origin)
    into.add("seed_life_years", weed.seed_life_years, origin)


def label_facts(call: Call, label: Label, base: KnowledgeBase, into: Gathering) -> None:
    """Facts about the product and what it does to the weed, of one application."""
    product = label.product
    if label.lists is not None:
        into.add("label_lists", Options.of(label.lists), label.lists_origin)
    if product is not None:
        origin = Origin(LABEL, product.name)
        called_for = "yes" if product.surfactant.called_for else "no"
        for name, option in (
            ("acts_through", product.acts_through),
            ("moves_in_plant", product.moves_in_plant),
            ("formulation", product.formulation),
            ("hard_water_sensitive", product.hard_water_sensitive),
            ("surfactant_called_for", called_for),
        ):
            into.add(name, Options.of(option), origin)
    if into.value("formulation") == Options.of(GRANULE):
        dry = Origin(LABEL, "dry granules for a spreader: there is no tank")
        for name, option in (("mix_order", "no-tank"), ("tank_conflict", "no")):
            into.add(name, Options.of(option), dry)
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    if weed is None or not label.actives:
        return
    expected = base_of(weed, label.actives)
    span = Span(expected.low, expected.high)
    names = tuple(name for name, _ in label.actives)
    words = f"{', '.join(names)} on {weed.name}"
    into.add("base_control", span, Origin(KNOWLEDGE, words, firm=True))
    resistant = any(set(r.actives) & set(names) for r in weed.resistance)
    into.add(
        "resistance_reported",
        Options.of("yes" if resistant else "no"),
        Origin(KNOWLEDGE, words),
    )


def base_of(weed: Weed, actives: Actives) -> Base:
    """What the actives do together when all is right.

    Actives of one group work at the same site, so together they do what the best of them does:
    trials of such mixtures find little more. Groups act independently of each other.

    Args:
        weed: the weed.
        actives: pairs of an active's name and its group (None where the group is not known).

    References:
        The toxicity of poisons applied jointly, Annals of Applied Biology 26, 1939 (independent
        joint action; cited from memory). Efficacy of triclopyr and synthetic auxin herbicide
        mixtures for common blue violet control, Weed Technology 34(4), 2020.
    """
    best: dict[int | None, Control] = {}
    for name, group in actives:
        known = weed.control.get(name)
        if known is not None and (group not in best or _rank(known) > _rank(best[group])):
            best[group] = known
    if not best:
        return NO_FIGURE
    share = together([c.share for c in best.values()])
    low, high = max(c.low for c in best.values()), together([c.high for c in best.values()])
    return Base(share, min(low, share), high)


def _rank(control: Control) -> tuple[float, float]:
    return control.share, control.high
