"""Facts are worked out of a call as one would by hand, with where they come from.

Every example gives its arithmetic in the docstring or beside it. Products, labels and regions are
those of the shipped knowledge base; what the tests lean on of them is checked in the first section.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.account import Call
from advisor.call import load_call, load_weather_of, parse_call
from advisor.control import Base, together
from advisor.derive.around import months_of
from advisor.derive.plant import NO_FIGURE, base_of
from advisor.fact import KNOWLEDGE, LABEL, TOLD, UNKNOWN, WORKED_OUT, Fact, Gathering, Origin
from advisor.fact import narrowed as both
from advisor.facts import gather
from advisor.model import KnowledgeBase
from advisor.terms import Options, Span, Truth, Value
from advisor.units import parse_amount
from advisor.when import parse_when

EXAMPLES = sorted((Path(__file__).parent.parent / "knowledge" / "examples").rglob("*.yaml"))


class Facts:
    """The facts of the call that a text tells; its first line is line 2 of the file."""

    def __init__(self, base: KnowledgeBase, text: str, reported: str = "2026-10-06") -> None:
        told = f"reported: {reported}\n{text}"
        self.call: Call = parse_call(told, "call.yaml", base)
        self.all = gather(self.call, base)

    def fact(self, name: str, application: int = -1) -> Fact:
        """A fact of the call or of an application (the last one by default)."""
        own = self.all.of_applications[application]
        return own[name] if name in own else self.all.of_call[name]

    def value(self, name: str, application: int = -1) -> Value:
        """The value of a fact."""
        return self.fact(name, application).value

    def ends(self, name: str, application: int = -1) -> tuple[float, float]:
        """Both ends of a number, to a millionth."""
        value = self.value(name, application)
        assert isinstance(value, Span)
        return round(value.low, 6), round(value.high, 6)

    def lines(self, name: str, application: int = -1) -> tuple[int, ...]:
        """The lines of the call that a fact comes from."""
        return self.fact(name, application).origin.lines


def sprayed(when: str, more: str = "", events: str = "", weed: str = "dandelion") -> str:
    """One spraying of the three-way amine in the lake plain; the treatment stands in line 6."""
    return (
        f"site: {{region: lake-plain}}\nweed: {weed}\nproduct: larkmoor-broadleaf\ntreatment:\n"
        f"  - {{sprayed: {when}{', ' if more else ''}{more}}}\n{events}"
    )


# ---- what the examples lean on -----------------------------------------------------------------


def test_the_label_of_the_examples(base: KnowledgeBase) -> None:
    """The three-way amine asks 6 dry hours, 28 days between two, 50 to 85 F and 14 to 28 days."""
    amine = base.products["larkmoor-broadleaf"]
    assert (amine.rainfast_h, amine.interval_days, amine.per_year) == (6, 28, 2)
    assert (amine.temperature, amine.full_days) == (Span(50, 85), Span(14, 28))
    assert (amine.new_grass_days, amine.acts_through) == (28, "leaf")
    rates = [amine.rate_for(w) for w in ("dandelion", "ground-ivy")]
    assert [r and r.amount.to("fl oz/1000 ft2") for r in rates] == [Span(1.1, 1.5), Span(1.5, 1.5)]


def test_every_fact_is_known_in_some_example(base: KnowledgeBase) -> None:
    """Each fact is told or worked out in some example call, but for what only a weather file tells:
    no example has one.
    """
    known: set[str] = set()
    for path in EXAMPLES:
        call = load_call(path, base)
        facts = gather(call, base, load_weather_of(call))
        for own in (facts.of_call, *facts.of_applications):
            known |= {name for name, fact in own.items() if fact.origin.how != UNKNOWN}
    gathered = {n for n in base.facts if not n.startswith(("kind.", "cause.", "site."))}
    assert gathered - known <= {"delta_t", "rain_past_2_weeks"}


def test_a_call_that_tells_nothing(base: KnowledgeBase) -> None:
    """Of an empty call nothing is known but that no weed is named; every fact keeps its range."""
    facts = Facts(base, "")
    known = {n: f for n, f in facts.all.at(0).items() if f.origin.how != UNKNOWN}
    assert set(known) == {"weed_named"}
    assert known["weed_named"].value == Options.of("unsure")
    for name, fact in facts.all.at(0).items():
        assert name == "weed_named" or fact.value == base.facts[name].unknown


# ---- gathering ---------------------------------------------------------------------------------


WHOLE: dict[str, Value] = {"hours": Span(0, 100), "form": Options.of("a", "b", "c")}
FIRST, SECOND = Origin(TOLD, "said", (3,)), Origin(WORKED_OUT, "from dates", (5, 3))


def test_a_second_origin_narrows() -> None:
    """Two origins of a number leave what both allow, with the words and lines of both."""
    into = Gathering(WHOLE)
    into.add("hours", Span(0, 40), FIRST)
    into.add("hours", Span(30, 90), SECOND)
    assert into.value("hours") == Span(30, 40)
    assert into.origin("hours") == Origin(WORKED_OUT, "said; from dates", (3, 5))


def test_a_wider_origin_changes_nothing() -> None:
    """An origin that says less than what is known leaves value and origin as they are."""
    into = Gathering(WHOLE)
    into.add("hours", Span(30, 40), FIRST)
    into.add("hours", Span(10, 90), SECOND)
    into.add("form", Options.of("a"), FIRST)
    into.add("form", Options.of("a", "b"), SECOND)
    assert (into.value("hours"), into.origin("hours")) == (Span(30, 40), FIRST)
    assert (into.value("form"), into.origin("form")) == (Options.of("a"), FIRST)


def test_a_narrower_origin_takes_over() -> None:
    """An origin that says more than what is known takes over with its own words alone."""
    into = Gathering(WHOLE)
    into.add("form", Options.of("a", "b"), FIRST)
    into.add("form", Options.of("b"), SECOND)
    assert (into.value("form"), into.origin("form")) == (Options.of("b"), SECOND)


def test_contradictions_are_kept() -> None:
    """Of two origins that cannot both be right the first is kept and the second is noted."""
    into = Gathering(WHOLE, application=1)
    into.add("hours", Span(0, 10), FIRST)
    into.add("hours", Span(20, 30), SECOND)
    assert into.value("hours") == Span(0, 10)
    (conflict,) = into.conflicts
    assert (conflict.fact, conflict.application) == ("hours", 1)
    assert (conflict.kept.origin, conflict.other.origin) == (FIRST, SECOND)


def test_ends_that_touch_agree() -> None:
    """Two spans that share one point agree on it; two choices that share none do not."""
    assert both(Span(0, 10), Span(10, 20)) == Span(10, 10)
    assert both(Options.of("a"), Options.of("b")) is None
    with pytest.raises(TypeError):
        both(Span(0, 1), Options.of("a"))


def test_nothing_said_is_nothing_known() -> None:
    """None, the whole range and a fact of another scope say nothing."""
    into = Gathering(WHOLE)
    into.add("hours", None, FIRST)
    into.add("hours", Span(-5, 200), FIRST)
    into.add("form", Options.of("a", "b", "c"), FIRST)
    into.add("another", Span(0, 1), FIRST)
    assert not into.known("hours")
    assert not into.known("form")
    assert {f.origin.how for f in into.finish().values()} == {UNKNOWN}


def test_numbers_are_clipped_to_their_range() -> None:
    """A number beyond its plausible range counts as the end of the range."""
    into = Gathering(WHOLE)
    into.add("hours", Span(90, 500), FIRST)
    assert into.value("hours") == Span(90, 100)
    into = Gathering(WHOLE)
    into.add("hours", Span(300, 500), FIRST)
    assert into.value("hours") == Span(100, 100)


def test_an_origin_in_words() -> None:
    """An origin reads as how, what and from which lines."""
    assert str(Origin(TOLD, "cover: thin", (4,))) == "told: cover: thin (line 4)"
    assert str(Origin(WORKED_OUT, "two dates", (4, 9))) == "worked out: two dates (lines 4, 9)"
    assert str(Origin(UNKNOWN)) == "not told"


# ---- the plant ---------------------------------------------------------------------------------


def test_the_plant_comes_from_its_entry(base: KnowledgeBase) -> None:
    """A named weed brings habit, cycle, form, leaf and seed life from its entry, firmly."""
    facts = Facts(base, "weed: ground-ivy")
    for name, option in {
        "habit": "stolons",
        "life_cycle": "perennial",
        "plant_group": "broadleaf",
        "growth_form": "prostrate",
        "leaf_surface": "ordinary",
        "regrows_from_pieces": "yes",
        "likes_wet_soil": "yes",
        "likes_thin_turf": "yes",
    }.items():
        assert facts.value(name) == Options.of(option)
        assert facts.fact(name).origin == Origin(KNOWLEDGE, "ground ivy", firm=True)
    assert facts.value("seed_life_years") == Span(1, 5)
    assert facts.value("weed_named") == Options.of("certain")


def test_the_same_plant_or_another(base: KnowledgeBase) -> None:
    """Whether it is the plant that was treated is known only where both are named."""
    now = "weed: creeping-speedwell\n"
    assert Facts(base, now).fact("same_plant").origin.how == UNKNOWN
    other = Facts(base, now + "weed_treated: ground-ivy")
    assert other.value("same_plant") == Options.of("no")
    same = Facts(base, now + "weed_treated: creeping-speedwell")
    assert same.value("same_plant") == Options.of("yes")


def test_a_weed_known_only_as_treated(base: KnowledgeBase) -> None:
    """Where only the weed that was treated is named, what is there now stays unnamed."""
    facts = Facts(base, "weed_treated: ground-ivy\nproduct: fellmark-ester")
    assert facts.value("weed_named") == Options.of("unsure")
    assert facts.fact("habit").origin.how == UNKNOWN
    assert facts.value("label_lists") == Options.of("controls")


def test_base_control_of_one_group_is_its_best(base: KnowledgeBase) -> None:
    """Three actives of one group do to ground ivy what 2,4-D alone does: 0.35 to 0.75."""
    facts = Facts(base, sprayed("2026-09-13", weed="ground-ivy"))
    assert facts.value("base_control") == Span(0.35, 0.75)
    assert facts.fact("base_control").origin.firm


def test_base_control_of_two_groups_is_joint(base: KnowledgeBase) -> None:
    """Triclopyr (0.6) and sulfentrazone (0.15) on violet leave 0.4 * 0.85: 0.66 is killed."""
    violet = base.weeds["wild-violet"]
    joint = base_of(violet, (("triclopyr", 4), ("sulfentrazone", 14)))
    assert joint.share == pytest.approx(1 - 0.4 * 0.85)
    assert (joint.low, joint.high) == (0.42, pytest.approx(1 - 0.25 * 0.7))
    assert together([0.6, 0.15]) == pytest.approx(0.66)


def test_an_active_without_a_figure(base: KnowledgeBase) -> None:
    """An active that the weed's entry does not name is taken to do next to nothing."""
    violet = base.weeds["wild-violet"]
    assert base_of(violet, (("bromoxynil", 6),)) == NO_FIGURE == Base(0.1, 0, 0.3)


def test_resistance_is_known_by_weed_and_active(base: KnowledgeBase) -> None:
    """Resistant buckhorn plantain is reported for 2,4-D and not for triclopyr."""
    phenoxy = Facts(base, "weed: buckhorn-plantain\nproduct: larkmoor-broadleaf")
    assert phenoxy.value("resistance_reported") == Options.of("yes")
    triclopyr = Facts(base, "weed: buckhorn-plantain\nproduct: fellmark-ester")
    assert triclopyr.value("resistance_reported") == Options.of("no")


# ---- the label ---------------------------------------------------------------------------------


def test_the_label_of_a_product(base: KnowledgeBase) -> None:
    """A known product brings what its label says, and says so."""
    facts = Facts(base, "weed: ground-ivy\nproduct: kettlebrook-quinclorac")
    for name, option in {
        "label_lists": "not-listed",
        "acts_through": "leaf",
        "moves_in_plant": "yes",
        "formulation": "dry-flowable",
        "surfactant_called_for": "yes",
        "hard_water_sensitive": "no",
        "homeowner_product": "yes",
    }.items():
        assert facts.value(name) == Options.of(option)
        assert facts.fact(name).origin.how == LABEL


def test_each_application_has_the_label_of_its_product(base: KnowledgeBase) -> None:
    """An application of another product reads that product's label, the others the call's."""
    facts = Facts(
        base,
        "weed: ground-ivy\nproduct: larkmoor-broadleaf\n"
        "treatment:\n  - {sprayed: 2026-09-01, product: fellmark-ester}\n  - {sprayed: 2026-10-01}",
    )
    assert facts.value("label_lists", 0) == Options.of("controls")
    assert facts.value("formulation", 0) == Options.of("ester")
    assert facts.value("label_lists", 1) == Options.of("suppresses")
    assert facts.value("formulation", 1) == Options.of("amine")


def test_a_label_read_out_lies_over_the_product(base: KnowledgeBase) -> None:
    """What was read out goes before what the knowledge base has, and is said to be told."""
    facts = Facts(
        base,
        "weed: ground-ivy\nsite: {turf: tall-fescue}\nproduct: larkmoor-broadleaf\n"
        "label: {controls: [ground-ivy], not_for: [tall-fescue], rainfast: 1 h}\n"
        "treatment:\n  - {sprayed: 2026-09-13 10:00}\n"
        "events: [{watered: none}, {rained: 2026-09-13 12:00}]",
    )
    assert facts.value("label_lists") == Options.of("controls")
    assert facts.value("turf_tolerates") == Options.of("no")
    assert facts.ends("rainfast_margin") == (1, 1)
    read_out = Origin(TOLD, "the label, read out")
    assert facts.fact("label_lists").origin == facts.fact("turf_tolerates").origin == read_out


def test_a_label_read_out_is_of_the_calls_product(base: KnowledgeBase) -> None:
    """What was read out of the call's label says nothing of another product."""
    facts = Facts(
        base,
        "weed: ground-ivy\nproduct: larkmoor-broadleaf\nlabel: {controls: [ground-ivy]}\n"
        "treatment:\n  - {product: kettlebrook-quinclorac}\n  - {product: larkmoor-broadleaf}",
    )
    assert facts.value("label_lists", 0) == Options.of("not-listed")
    assert facts.value("label_lists", 1) == Options.of("controls")


def test_a_label_read_out_of_the_only_product(base: KnowledgeBase) -> None:
    """Where the call names no product, the label read out is of the only one that was used."""
    told = "weed: ground-ivy\nlabel: {controls: [ground-ivy]}\ntreatment:\n"
    one = Facts(base, told + "  - {product: kettlebrook-quinclorac}")
    assert one.value("label_lists") == Options.of("controls")
    two = Facts(base, told + "  - {product: kettlebrook-quinclorac}\n  - {product: oatmere-grass}")
    assert two.value("label_lists", 0) == two.value("label_lists", 1) == Options.of("not-listed")


def test_a_label_without_a_product(base: KnowledgeBase) -> None:
    """A weed that is in neither list is not on the label once both lists have been read out."""
    half = Facts(base, "weed: ground-ivy\nlabel: {controls: [dandelion]}")
    assert half.fact("label_lists").origin.how == UNKNOWN
    whole = Facts(base, "weed: ground-ivy\nlabel: {controls: [dandelion], suppresses: []}")
    assert whole.value("label_lists") == Options.of("not-listed")


def test_actives_off_the_jug(base: KnowledgeBase) -> None:
    """Actives read off a jug say what it does to the weed: triclopyr on violet 0.42 to 0.75."""
    facts = Facts(base, "weed: wild-violet\nactives: {triclopyr: 8 %}")
    assert facts.value("base_control") == Span(0.42, 0.75)


@pytest.mark.parametrize(
    ("turf", "label", "expected"),
    [
        ("tall-fescue", "turf: [cool-season]", "yes"),
        ("tall-fescue", "turf: [warm-season]", "no"),
        ("tall-fescue", "not_for: [cool-season]", "no"),
        ("cool-season", "turf: [cool-season]", "yes"),
        ("cool-season", "turf: [tall-fescue]", None),
        ("cool-season", "not_for: [tall-fescue]", None),
        ("cool-season", "turf: [cool-season], not_for: [fine-fescue]", None),
        ("bentgrass-turf", "turf: [cool-season]", "no"),
    ],
)
def test_the_turf_on_a_label_read_out(
    base: KnowledgeBase, turf: str, label: str, expected: str | None
) -> None:
    """A group on a label stands for its members, a group of lawn may be any one of them."""
    fact = Facts(base, f"site: {{turf: {turf}}}\nlabel: {{{label}}}").fact("turf_tolerates")
    assert fact.value == (Options.of(expected) if expected else Options.of("yes", "no"))


@pytest.mark.parametrize(
    ("turf", "product", "expected"),
    [
        ("tall-fescue", "larkmoor-broadleaf", "yes"),
        ("bentgrass-turf", "larkmoor-broadleaf", "no"),
        ("cool-season", "larkmoor-broadleaf", "yes"),
        ("warm-season", "larkmoor-broadleaf", None),
        ("warm-season", "fellmark-ester", "no"),
        ("cool-season", "kettlebrook-quinclorac", None),
        ("cool-season", "cinderwick-total", "no"),
    ],
)
def test_the_turf_on_the_products_label(
    base: KnowledgeBase, turf: str, product: str, expected: str | None
) -> None:
    """A group of lawn stands a product only where all its members do; some leave it open."""
    fact = Facts(base, f"site: {{turf: {turf}}}\nproduct: {product}").fact("turf_tolerates")
    assert fact.value == (Options.of(expected) if expected else Options.of("yes", "no"))


# ---- the dose ----------------------------------------------------------------------------------


def test_the_rate_is_held_against_this_weeds_rate(base: KnowledgeBase) -> None:
    """2 tbsp is 1 fl oz: on 1000 ft2 two thirds of ground ivy's 1.5, and 1/1.1 of dandelion's."""
    mix = "amount: 2 tbsp, area: 1000 ft2"
    ivy = Facts(base, sprayed("2026-09-13", mix, weed="ground-ivy"))
    assert ivy.ends("rate_of_min") == ivy.ends("rate_of_max") == (0.666667, 0.666667)
    dandelion = Facts(base, sprayed("2026-09-13", mix))
    assert dandelion.ends("rate_of_min") == (0.909091, 0.909091)
    assert dandelion.ends("rate_of_max") == (0.666667, 0.666667)
    assert dandelion.lines("rate_of_min") == (6,)
    assert dandelion.fact("rate_of_min").origin.how == WORKED_OUT


def test_the_rate_of_a_guessed_area(base: KnowledgeBase) -> None:
    """1.5 fl oz on 1200 to 1500 ft2 is 1 to 1.25 per 1000 ft2: 0.909 to 1.136 of 1.1."""
    facts = Facts(base, sprayed("2026-09-13", "amount: 1.5 fl oz, area: 1200 to 1500 ft2"))
    assert facts.ends("rate_of_min") == (0.909091, 1.136364)
    assert facts.ends("rate_of_max") == (0.666667, 0.833333)


def test_the_rate_in_metric(base: KnowledgeBase) -> None:
    """100 mL on 200 m2 is 3.38140 fl oz on 2152.78 ft2, that is 1.570712 per 1000 ft2."""
    facts = Facts(base, sprayed("2026-09-13", "amount: 100 mL, area: 200 m2"))
    assert facts.ends("rate_of_min")[0] == pytest.approx(1.570712 / 1.1, abs=1e-5)
    assert facts.ends("rate_of_max")[0] == pytest.approx(1.570712 / 1.5, abs=1e-5)


def test_a_spot_mix_is_held_against_the_spot_rate(base: KnowledgeBase) -> None:
    """3 fl oz in 2 gal until the leaves were wet is 1.5 per gallon: just the label's spot mix."""
    mix = "amount: 3 fl oz, water: 2 gal, coverage: leaves-wet"
    facts = Facts(base, sprayed("2026-09-13", mix))
    assert facts.ends("rate_of_min") == facts.ends("rate_of_max") == (1, 1)
    assert facts.fact("spray_volume").origin.how == UNKNOWN


def test_a_mix_without_an_area_is_read_both_ways(base: KnowledgeBase) -> None:
    """1.5 a gallon is the spot mix, or by hand at 0.5 to 5 gal per 1000 ft2 0.75 to 7.5 of 1.1."""
    facts = Facts(base, sprayed("2026-09-13", "amount: 3 fl oz, water: 2 gal"))
    assert facts.ends("rate_of_min") == (0.681818, 6.818182)
    assert facts.ends("rate_of_max") == (0.5, 5)


def test_a_rate_read_out_goes_before_the_products(base: KnowledgeBase) -> None:
    """Against a rate of 2 fl oz per 1000 ft2 read out over the phone, 1 fl oz is one half."""
    text = sprayed("2026-09-13", "amount: 1 fl oz, area: 1000 ft2")
    facts = Facts(base, text + "label: {rate: 2 fl oz per 1000 ft2}\n")
    assert facts.ends("rate_of_min") == (0.5, 0.5)


def test_weight_is_not_held_against_volume(base: KnowledgeBase) -> None:
    """Grams of a liquid tell no rate, for nobody knows what it weighs; ounces are fluid ounces."""
    facts = Facts(base, sprayed("2026-09-13", "amount: 40 g, area: 1000 ft2"))
    assert facts.fact("rate_of_min").origin.how == UNKNOWN
    ounces = Facts(base, sprayed("2026-09-13", "amount: 1.1 oz, area: 1000 ft2"))
    assert ounces.ends("rate_of_min") == (1, 1)
    assert "of a liquid: fl oz" in ounces.fact("rate_of_min").origin.words


def test_a_rate_needs_amount_and_area(base: KnowledgeBase) -> None:
    """Amount alone, or area alone, tells no rate."""
    for mix in ("amount: 1 fl oz", "area: 1000 ft2", "water: 1 gal"):
        facts = Facts(base, sprayed("2026-09-13", mix))
        assert facts.fact("rate_of_min").origin.how == UNKNOWN


def test_spray_volume(base: KnowledgeBase) -> None:
    """2 gal on 5000 ft2 is 0.4 gal per 1000 ft2, that is 0.8 of the 0.5 gal the label asks."""
    facts = Facts(base, sprayed("2026-09-13", "water: 2 gal, area: 5000 ft2"))
    assert facts.ends("spray_volume") == (0.4, 0.4)
    assert facts.ends("volume_of_min") == (0.8, 0.8)
    assert facts.lines("volume_of_min") == (6,)


def test_spray_volume_answered(base: KnowledgeBase) -> None:
    """A spray volume answered when asked back is held against the label as a told one is."""
    volume = "answers: {spray_volume: 0.25 gal per 1000 ft2}"
    facts = Facts(base, sprayed("2026-09-13", volume))
    assert facts.ends("volume_of_min") == (0.5, 0.5)
    assert facts.fact("volume_of_min").origin.how == TOLD


@pytest.mark.parametrize(
    ("product", "partner", "expected"),
    [
        ("oatmere-grass", "larkmoor-broadleaf", {"yes"}),
        ("larkmoor-broadleaf", "oatmere-grass", {"yes"}),
        ("larkmoor-broadleaf", "fellmark-ester", {"no"}),
        ("larkmoor-broadleaf", "unknown", {"yes", "no"}),
    ],
)
def test_partners_in_the_tank(
    base: KnowledgeBase, product: str, partner: str, expected: set[str]
) -> None:
    """A grass killer and an auxin work against each other, whichever is called the partner."""
    facts = Facts(
        base,
        f"product: {product}\ntreatment:\n  - also_in_tank: [{{product: {partner}}}]",
    )
    assert facts.value("tank_conflict") == Options(frozenset(expected))


def test_nothing_else_in_the_tank(base: KnowledgeBase) -> None:
    """An empty list of partners says that there is no conflict; no list leaves it open."""
    none = Facts(base, "product: oatmere-grass\ntreatment:\n  - also_in_tank: []")
    assert none.value("tank_conflict") == Options.of("no")
    assert none.fact("tank_conflict").origin.words == "also in the tank: nothing"
    untold = Facts(base, "product: oatmere-grass\ntreatment:\n  - {}")
    assert untold.fact("tank_conflict").origin.how == UNKNOWN


# ---- mowing and water --------------------------------------------------------------------------


def test_mowing_on_both_sides(base: KnowledgeBase) -> None:
    """Mown any time the day before ten o'clock is 10 to 34 h before, five days on 110 to 134 h."""
    events = "events:\n  - {mowed: 2026-09-12}\n  - {mowed: 2026-09-18}"
    facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
    assert facts.ends("mowed_before") == (10, 34)
    assert facts.ends("mowed_after") == (110, 134)
    assert facts.lines("mowed_before") == (6, 8)
    assert facts.lines("mowed_after") == (6, 9)


def test_the_nearest_mowing_counts(base: KnowledgeBase) -> None:
    """Of three mowings before the spraying the last one counts, in whatever order they are told."""
    for order in (("01", "05", "10"), ("10", "01", "05"), ("05", "10", "01")):
        events = "".join(f"  - {{mowed: 2026-09-{day} 10:00}}\n" for day in order)
        facts = Facts(base, sprayed("2026-09-13 10:00", events=f"events:\n{events}"))
        assert facts.ends("mowed_before") == (72, 72)
        assert facts.fact("mowed_after").origin.how == UNKNOWN


def test_no_mowing_at_all(base: KnowledgeBase) -> None:
    """`none` says that it was not mown: the time on both sides is the longest that is plausible."""
    facts = Facts(base, sprayed("2026-09-13 10:00", events="events: [{mowed: none}]"))
    assert facts.ends("mowed_before") == facts.ends("mowed_after") == (1440, 1440)
    assert facts.fact("mowed_after").origin.words == "sprayed 2026-09-13 10:00, mowed none"


def test_nothing_told_of_mowing(base: KnowledgeBase) -> None:
    """What nobody told stays the whole range."""
    facts = Facts(base, sprayed("2026-09-13 10:00"))
    assert facts.ends("mowed_before") == facts.ends("mowed_after") == (0, 1440)
    assert facts.fact("mowed_before").origin.how == UNKNOWN


def test_mown_on_the_day_of_spraying(base: KnowledgeBase) -> None:
    """Mown and sprayed on one day at hours nobody knows: before or after, both stay open."""
    facts = Facts(base, sprayed("2026-09-13", events="events: [{mowed: 2026-09-13}]"))
    assert facts.ends("mowed_before") == facts.ends("mowed_after") == (0, 1440)


def test_an_uncertain_mowing_beside_a_certain_one(base: KnowledgeBase) -> None:
    """One surely 48 h before and one on the day itself leave 0 to 48 h."""
    events = "events: [{mowed: 2026-09-11 10:00}, {mowed: 2026-09-13}]"
    facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
    assert facts.ends("mowed_before") == (0, 48)


def test_uncertain_times_widen_the_gap(base: KnowledgeBase) -> None:
    """Mown on a morning (6 to 11) and sprayed the next afternoon (12 to 18): 25 to 36 h."""
    events = "events: [{mowed: 2026-09-12 morning}]"
    facts = Facts(base, sprayed("2026-09-13 afternoon", events=events))
    assert facts.ends("mowed_before") == (25, 36)


def test_a_time_told_by_the_spraying_stays_with_it(base: KnowledgeBase) -> None:
    """Rain 3 hours after a spraying of unknown hour came 3 hours after it, not 3 to 27."""
    events = "events: [{watered: none}, {rained: 3 hours after spraying}]"
    facts = Facts(base, sprayed("2026-09-13", events=events))
    assert facts.ends("dry_hours_after") == (3, 3)
    assert facts.ends("rainfast_margin") == (-3, -3)


def test_dry_hours_take_rain_and_sprinkler_together(base: KnowledgeBase) -> None:
    """The sooner of rain (24 h) and sprinkler (4 h) ends the dry time, wherever it is told."""
    events = "events:\n  - {rained: 2026-09-14 10:00}\n  - {watered: 2026-09-13 14:00}"
    facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
    assert facts.ends("dry_hours_after") == (4, 4)
    assert facts.lines("dry_hours_after") == (6, 9)


def test_rain_not_told_may_have_come_sooner(base: KnowledgeBase) -> None:
    """Where only the sprinkler is told of, the time dry is at most its 4 h."""
    events = "events: [{watered: 2026-09-13 06:00}]"
    facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
    assert facts.ends("dry_hours_before") == (0, 4)
    assert facts.ends("dry_hours_after") == (0, 1440)


def test_a_sprinkle_wets_no_leaf(base: KnowledgeBase) -> None:
    """Less than 0.04 in does not end the dry time; an amount that may reach it may."""
    told = "events: [{rained: none}, {watered: 2026-09-13 14:00, amount: 0.02 in}]"
    assert Facts(base, sprayed("2026-09-13 10:00", events=told)).ends("dry_hours_after")[1] == 1440
    told = told.replace("0.02 in", "0.02 to 0.1 in")
    assert Facts(base, sprayed("2026-09-13 10:00", events=told)).ends("dry_hours_after") == (
        4,
        1440,
    )
    told = told.replace(", amount: 0.02 to 0.1 in", "")
    assert Facts(base, sprayed("2026-09-13 10:00", events=told)).ends("dry_hours_after") == (4, 4)


def test_a_flood_is_water(base: KnowledgeBase) -> None:
    """Water that stood on the lawn ends the dry time as rain does."""
    events = "events: [{watered: none}, {flooded: 2026-09-13 20:00}]"
    facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
    assert facts.ends("dry_hours_after") == (10, 10)


def test_rainfast_margin(base: KnowledgeBase) -> None:
    """Rain 5 hours after an amine that asks 6 is one hour short; 30 hours after leaves 24."""
    for rain, margin in (("2026-09-13 15:00", -1), ("2026-09-14 16:00", 24)):
        events = f"events:\n  - {{watered: none}}\n  - {{rained: {rain}}}"
        facts = Facts(base, sprayed("2026-09-13 10:00", events=events))
        assert facts.ends("rainfast_margin") == (margin, margin)
        assert facts.lines("rainfast_margin") == (6, 9)


def test_rainfast_margin_of_an_answer(base: KnowledgeBase) -> None:
    """Dry hours answered when asked back make a margin without any event."""
    facts = Facts(base, sprayed("2026-09-13", "answers: {dry_hours_after: 8 h}"))
    assert facts.ends("rainfast_margin") == (2, 2)
    assert facts.fact("rainfast_margin").origin.how == TOLD


def test_no_rainfast_margin_without_a_label(base: KnowledgeBase) -> None:
    """Where no label asks for dry hours there is no margin."""
    facts = Facts(
        base,
        "treatment: [{sprayed: 2026-09-13 10:00}]\n"
        "events: [{watered: none}, {rained: 2026-09-13 15:00}]",
    )
    assert facts.ends("dry_hours_after") == (5, 5)
    assert facts.fact("rainfast_margin").origin.how == UNKNOWN


# ---- watering in -------------------------------------------------------------------------------


def watered_in(water: str) -> str:
    """A preventer that asks half an inch, put down at ten on 10 April; no rain."""
    return (
        "product: stonecroft-preventer\ntreatment:\n  - sprayed: 2026-04-10 10:00\n"
        f"events:\n  - {{rained: none}}\n  - {{watered: {water}}}\n"
    )


def test_watered_in(base: KnowledgeBase) -> None:
    """Half an inch 44 hours later is 44/24 days later."""
    facts = Facts(base, watered_in("2026-04-12 06:00, amount: 0.5 in"))
    assert facts.ends("water_in_delay") == (1.833333, 1.833333)
    assert facts.lines("water_in_delay") == (4, 7)


def test_too_little_to_water_in(base: KnowledgeBase) -> None:
    """A quarter inch is not the half inch asked: the preventer was not watered in by it."""
    facts = Facts(base, watered_in("2026-04-12 06:00, amount: 0.25 in"))
    assert facts.ends("water_in_delay")[1] == 60


def test_water_of_unknown_amount_may_have_watered_in(base: KnowledgeBase) -> None:
    """Where no amount is told, or one that may be enough, the delay is open above."""
    for water in ("2026-04-12 06:00", "2026-04-12 06:00, amount: 0.3 to 0.7 in"):
        facts = Facts(base, watered_in(water))
        assert facts.ends("water_in_delay") == (1.833333, 60)


def test_no_water_at_all(base: KnowledgeBase) -> None:
    """Neither rain nor sprinkler: the delay is the longest that is plausible."""
    assert Facts(base, watered_in("none")).ends("water_in_delay") == (60, 60)


# ---- weather -----------------------------------------------------------------------------------


def test_the_air_as_felt(base: KnowledgeBase) -> None:
    """48 F is 2 F under the amine's lowest 50 and 37 F under its highest 85."""
    facts = Facts(base, sprayed("2026-10-20", "felt: {air: 48 F}"), "2026-11-20")
    assert facts.ends("air_temp") == (48, 48)
    assert facts.ends("label_cold_margin") == (-2, -2)
    assert facts.ends("label_heat_margin") == (37, 37)
    assert facts.fact("label_cold_margin").origin.how == TOLD
    assert facts.lines("label_cold_margin") == (6,)


def test_the_air_of_the_month(base: KnowledgeBase) -> None:
    """October in the lake plain is 44 to 60 F, give or take three times 9: 17 to 87 F."""
    facts = Facts(base, sprayed("2026-10-20"), "2026-11-20")
    assert facts.ends("air_temp") == (17, 87)
    assert facts.ends("label_cold_margin") == (-33, 37)
    assert facts.ends("label_heat_margin") == (-2, 68)
    assert facts.fact("air_temp").origin.how == KNOWLEDGE


def test_the_last_day_of_a_month_is_of_that_month(base: KnowledgeBase) -> None:
    """30 September, any time of day, is no day of October: 54 to 73 F, give or take 24."""
    assert Facts(base, sprayed("2026-09-30")).ends("air_temp") == (30, 97)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-09-30", [9]),
        ("between 2026-06-20 and 2026-09-02", [6, 7, 8, 9]),
        ("between 2025-11-20 and 2026-02-02", [11, 12, 1, 2]),
        ("between 2024-05-01 and 2026-02-02", [5, 6, 7, 8, 9, 10, 11, 12, 1, 2, 3, 4]),
    ],
)
def test_months_of_an_interval(text: str, expected: list[int]) -> None:
    """An interval touches the months from its first day to its last, each once."""
    assert months_of(parse_when(text)) == expected


def test_a_felt_temperature_out_of_season(base: KnowledgeBase) -> None:
    """A temperature told that the month cannot see is kept, and the contradiction is noted."""
    facts = Facts(base, sprayed("2026-01-10", "felt: {air: 85 F}"))
    assert facts.ends("air_temp") == (85, 85)
    (conflict,) = facts.all.conflicts
    assert (conflict.fact, conflict.application) == ("air_temp", 0)
    assert (conflict.kept.origin.how, conflict.other.origin.how) == (TOLD, KNOWLEDGE)


# ---- season and stage --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("region", "day", "expected"),
    [
        ("lake-plain", "2026-10-01", {"best"}),
        ("lake-plain", "2026-05-01", {"poor"}),
        ("lake-plain", "2026-06-01", {"fair"}),
        ("high-basin", "2026-09-20", {"fair"}),  # two weeks on: 6 September by the weed's calendar
        ("red-hills", "2026-10-28", {"poor"}),  # spring comes ten days sooner: 7 November
        ("south-downs", "2026-04-01", {"best"}),  # 192 days on: 10 October
        ("south-downs", "2026-10-01", {"poor"}),  # 11 April
        ("unknown", "2026-10-10", {"best"}),  # give or take two weeks: 26 September to 24 October
        ("unknown", "2026-09-20", {"fair", "best"}),  # 6 September to 4 October
        ("lake-plain", "2024-02-29", {"poor"}),
        ("lake-plain", "about 2026-09-15", {"fair", "best"}),
    ],
)
def test_season_fit(base: KnowledgeBase, region: str, day: str, expected: set[str]) -> None:
    """How well a day suits dandelion is read off its calendar, moved to the region."""
    facts = Facts(
        base,
        f"site: {{region: {region}}}\nweed: dandelion\ntreatment:\n  - sprayed: {day}",
        "2026-11-20",
    )
    assert facts.value("season_fit") == Options(frozenset(expected))
    assert facts.lines("season_fit") == (5,)


def test_any_day_of_two_years_says_nothing(base: KnowledgeBase) -> None:
    """A day that may lie anywhere in two years can be in any season, which is to know nothing."""
    facts = Facts(base, sprayed("between 2024-01-01 and 2026-01-01"))
    assert facts.value("season_fit") == Options.of("best", "fair", "poor")
    assert facts.fact("season_fit").origin.how == UNKNOWN


def test_a_day_known_is_firm(base: KnowledgeBase) -> None:
    """Where the day is told there is nothing more to ask about the season; a vague day may be."""
    assert Facts(base, sprayed("2026-09-20")).fact("season_fit").origin.firm
    assert not Facts(base, sprayed("about 2026-09-20")).fact("season_fit").origin.firm


@pytest.mark.parametrize(
    ("day", "ruled_out"),
    [
        ("2026-03-24", {"flowering", "after-bloom", "seeding"}),  # 22 days before 15 April
        ("2026-03-25", set()),
        ("2026-05-01", set()),
        ("2026-07-06", set()),  # 21 days after 15 June
        ("2026-07-07", {"flowering"}),
        ("2026-10-13", {"flowering"}),  # 120 days after
        ("2026-10-14", {"flowering", "after-bloom", "seeding"}),
    ],
)
def test_stage_from_the_calendar(base: KnowledgeBase, day: str, ruled_out: set[str]) -> None:
    """Dandelion flowers 15 April to 15 June, give or take 21 days, and seeds 120 days more."""
    facts = Facts(base, sprayed(day), "2026-11-20")
    value = facts.value("stage")
    assert isinstance(value, Options)
    assert set(base.facts["stage"].options) - value.possible == ruled_out


def test_stage_in_the_southern_spring(base: KnowledgeBase) -> None:
    """On 1 November the southern dandelion is where the northern one is in May: in flower."""
    text = "site: {region: south-downs}\nweed: dandelion\ntreatment: [{sprayed: 2026-11-01}]"
    value = Facts(base, text, "2026-11-20").value("stage")
    assert isinstance(value, Options)
    assert "flowering" in value.possible


def test_a_stage_told_against_the_calendar(base: KnowledgeBase) -> None:
    """A dandelion told to flower in January is kept so, and the contradiction is noted."""
    facts = Facts(base, sprayed("2026-01-10", "stage: flowering"))
    assert facts.value("stage") == Options.of("flowering")
    assert [c.fact for c in facts.all.conflicts] == ["stage"]


@pytest.mark.parametrize(
    ("region", "day", "expected"),
    [
        ("lake-plain", "2026-04-10", (-17, -3)),  # 10 days before 20 April, give or take 7
        ("lake-plain", "2026-05-20", (23, 37)),
        ("high-basin", "2026-04-10", (-31, -17)),  # there it starts on 4 May
        ("red-hills", "2026-04-10", (-7, 7)),  # there on 10 April
        ("south-downs", "2025-10-01", (-16, -2)),  # there on 10 October
        ("unknown", "2026-04-10", (-31, 11)),  # give or take 7 and 14
        ("lake-plain", "between 2026-04-10 and 2026-04-20", (-17, 7)),
        ("lake-plain", "2025-12-31", (-117, -103)),  # nearer to the coming spring
        ("lake-plain", "2025-10-01", (157, 171)),  # nearer to the spring past
        ("lake-plain", "2024-02-29", (-58, -44)),  # 51 days before 20 April
    ],
)
def test_germination_lateness(
    base: KnowledgeBase, region: str, day: str, expected: tuple[float, float]
) -> None:
    """Crabgrass starts to come up on 20 April; the nearest start counts, moved to the region."""
    text = f"site: {{region: {region}}}\nweed: smooth-crabgrass\ntreatment: [{{sprayed: {day}}}]"
    assert Facts(base, text).ends("germination_lateness") == expected


def test_germination_over_new_year(base: KnowledgeBase) -> None:
    """Henbit starts on 10 September: on 5 January that is 117 days ago, give or take 7."""
    facts = Facts(base, sprayed("2026-01-05", weed="henbit"))
    assert facts.ends("germination_lateness") == (110, 124)


def test_a_weed_that_does_not_come_from_seed(base: KnowledgeBase) -> None:
    """Ground ivy has no start of germination, so nothing can be late for it."""
    facts = Facts(base, sprayed("2026-04-05", weed="ground-ivy"))
    assert facts.fact("germination_lateness").origin.how == UNKNOWN


# ---- several sprayings -------------------------------------------------------------------------


def twice(first: str, second: str, weed: str = "ground-ivy") -> str:
    """Two sprayings of the three-way amine, in lines 5 and 6."""
    return (
        f"weed: {weed}\nproduct: larkmoor-broadleaf\ntreatment:\n"
        f"  - sprayed: {first}\n  - sprayed: {second}\n"
    )


@pytest.mark.parametrize(
    ("first", "second", "margin", "lateness"),
    [
        ("2026-09-01", "2026-09-29", (0, 0), (-14, -14)),  # 28 days, whatever the hours
        ("2026-09-01 18:00", "2026-09-28 06:00", (-1, -1), (-15, -15)),
        ("2025-12-20", "2026-01-10", (-7, -7), (-21, -21)),  # 21 days over new year
        ("2024-02-20", "2024-03-05", (-14, -14), (-28, -28)),  # 14 days over a leap day
        ("about 2026-08-01", "2026-09-05", (4, 10), (-10, -4)),  # 32 to 38 days
        ("2026-04-01", "2026-09-01", (125, 125), (111, 111)),  # 153 days
    ],
)
def test_from_one_spraying_to_the_next(
    base: KnowledgeBase,
    first: str,
    second: str,
    margin: tuple[float, float],
    lateness: tuple[float, float],
) -> None:
    """Days between two sprayings less the label's 28 and ground ivy's 42, as a calendar counts."""
    facts = Facts(base, twice(first, second))
    assert facts.ends("interval_margin") == margin
    assert facts.ends("retreat_lateness") == lateness
    assert facts.lines("interval_margin") == (5, 6)
    assert facts.fact("interval_margin", 0).origin.how == UNKNOWN


def test_the_number_of_the_spraying(base: KnowledgeBase) -> None:
    """Sprayings are numbered in the order of time, which nobody has to be asked."""
    facts = Facts(base, twice("2026-09-29", "2026-09-01"))
    assert [facts.ends("application_number", n) for n in (0, 1)] == [(1, 1), (2, 2)]
    assert facts.fact("application_number").origin.firm
    assert facts.fact("season_fit", 0).origin.lines == (6,)


def test_an_unknown_day_between_two(base: KnowledgeBase) -> None:
    """Where the day of the spraying before is not known, the gap to it is not either."""
    facts = Facts(base, twice("unknown", "2026-09-29"))
    assert facts.fact("interval_margin").origin.how == UNKNOWN


def test_sprayings_still_to_come(base: KnowledgeBase) -> None:
    """Ground ivy usually takes 2 to 4: after one it is 1 to 3 short, after four -2 to 0."""
    one = Facts(base, sprayed("2026-09-01", weed="ground-ivy"))
    assert one.ends("applications_short") == (1, 3)
    days = "".join(f"  - sprayed: 2026-0{month}-01\n" for month in (4, 5, 8, 9))
    four = Facts(base, f"weed: ground-ivy\ntreatment:\n{days}")
    assert four.ends("applications_short") == (-2, 0)
    assert Facts(base, "weed: ground-ivy").fact("applications_short").origin.how == UNKNOWN


# ---- watching ----------------------------------------------------------------------------------


def test_how_long_it_was_watched(base: KnowledgeBase) -> None:
    """23 days from spraying to look, less the 14 to 28 days it needs: -5 to 9."""
    facts = Facts(base, sprayed("2026-09-13 10:00", events="seen:\n  - on: 2026-10-06\n"))
    assert facts.ends("days_watched") == (23, 23)
    assert facts.ends("judge_margin") == (-5, 9)
    assert facts.lines("judge_margin") == (6, 8)
    assert facts.fact("judge_margin").origin.firm


def test_without_a_look_the_day_of_the_call_counts(base: KnowledgeBase) -> None:
    """Where no look is told, the weed was watched until the day of the call."""
    facts = Facts(base, sprayed("about 2026-09-13"))
    assert facts.ends("days_watched") == (20, 26)
    assert not facts.fact("days_watched").origin.firm


def test_the_last_of_several_looks_counts(base: KnowledgeBase) -> None:
    """Of two looks told the newest first, the later one ends the watching."""
    seen = "seen:\n  - on: 2026-10-04\n  - on: 2026-09-20\n"
    facts = Facts(base, sprayed("2026-09-13", events=seen))
    assert facts.ends("days_watched") == (21, 21)


def test_a_look_between_two_sprayings_judges_the_first(base: KnowledgeBase) -> None:
    """A weed last looked at before the second spraying was watched from the first one."""
    text = twice("2026-09-01", "2026-10-05") + "seen:\n  - on: 2026-10-01\n"
    facts = Facts(base, text)
    assert facts.ends("days_watched") == (30, 30)
    assert facts.lines("days_watched") == (5, 8)
    assert facts.ends("judge_margin") == (2, 16)


def test_a_look_before_any_spraying_judges_none(base: KnowledgeBase) -> None:
    """A look from before the only spraying leaves open how long it was watched."""
    facts = Facts(base, sprayed("2026-09-13", events="seen: {on: 2026-09-01}"))
    assert facts.fact("days_watched").origin.how == UNKNOWN
    assert facts.fact("judge_margin").origin.how == UNKNOWN


def test_a_look_on_the_day_of_spraying(base: KnowledgeBase) -> None:
    """A look on the day of spraying, at any hour, was 0 days later."""
    facts = Facts(base, sprayed("2026-09-13 10:00", events="seen: {on: 2026-09-13}"))
    assert facts.ends("days_watched") == (0, 0)


def test_days_watched_answered(base: KnowledgeBase) -> None:
    """Days watched that were answered when asked back are held against the label."""
    text = "weed: dandelion\nproduct: larkmoor-broadleaf\nanswers: {days_watched: 10 days}"
    facts = Facts(base, text)
    assert facts.ends("judge_margin") == (-18, -4)


def test_the_barrier_that_is_left(base: KnowledgeBase) -> None:
    """Granules that last 75 to 120 days, put down 140 days before the look: -65 to -20 left."""
    facts = Facts(
        base,
        "product: harrowgate-early\ntreatment:\n  - sprayed: 2025-09-12\n"
        "seen:\n  - {on: 2025-09-01}\n  - {on: 2026-01-30}\n",
    )
    assert facts.ends("barrier_days_left") == (-65, -20)
    assert facts.lines("barrier_days_left") == (4, 7)


def test_a_spray_leaves_no_barrier(base: KnowledgeBase) -> None:
    """A product without lasting effect has no barrier that could run out."""
    facts = Facts(base, sprayed("2026-09-13", events="seen: {on: 2026-10-01}"))
    assert facts.fact("barrier_days_left").origin.how == UNKNOWN


# ---- what was seen -----------------------------------------------------------------------------


def test_the_last_look_says_how_it_is_now(base: KnowledgeBase) -> None:
    """Where, plants and what is left are of the last look; an earlier one does not fill gaps."""
    facts = Facts(
        base,
        "seen:\n  - {on: 2026-09-20, symptoms: twisted, where: strips, left: 90 %}\n"
        "  - {on: 2026-10-06, where: same-spots}\n",
    )
    assert facts.value("where") == Options.of("same-spots")
    assert facts.lines("where") == (4,)
    assert facts.fact("left").origin.how == UNKNOWN
    assert facts.fact("symptoms").origin.how == UNKNOWN


@pytest.mark.parametrize(
    ("looks", "expected", "lines"),
    [
        (["none", "twisted"], {"yes"}, (4,)),
        (["yellowing", "none"], {"yes"}, (3,)),
        (["yellowing", "browned"], {"yes"}, (3, 4)),
        (["none", "none"], {"no"}, (3, 4)),
        (["none", "unknown"], {"yes", "no"}, ()),
    ],
)
def test_any_symptom_at_any_look(
    base: KnowledgeBase, looks: list[str], expected: set[str], lines: tuple[int, ...]
) -> None:
    """A mark at any look is a mark; none counts as none only where every look saw none."""
    entries = "".join(f"  - {{on: 2026-09-2{i}, symptoms: {s}}}\n" for i, s in enumerate(looks))
    facts = Facts(base, f"seen:\n{entries}")
    assert facts.value("any_symptom") == Options(frozenset(expected))
    assert facts.lines("any_symptom") == lines


# ---- the site and today ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("turf", "expected"),
    [
        ("tall-fescue", (-0.3, -0.3)),  # wants 2.5 in
        ("kentucky-bluegrass", (-0.3, -0.3)),
        ("perennial-ryegrass", (0.2, 0.2)),  # wants 2 in
        ("cool-season", (-0.3, 0.2)),  # one of four that want 2 to 2.5 in
        ("unknown", (-0.8, 1.7)),  # from bahiagrass, 3 in, to bentgrass, half an inch
    ],
)
def test_mowing_margin(base: KnowledgeBase, turf: str, expected: tuple[float, float]) -> None:
    """Mown at 2.2 in, less the least the grass wants; a group may be any of its grasses."""
    facts = Facts(base, f"site: {{turf: {turf}, mowing_height: 2.2 in}}")
    assert facts.ends("mowing_margin") == expected


@pytest.mark.parametrize("event", ["raked", "tilled", "cored", "pulled"])
def test_broken_up(base: KnowledgeBase, event: str) -> None:
    """Raking, tilling, coring and pulling break a plant up; that it was not done proves little."""
    done = Facts(base, f"events:\n  - {{{event}: 2026-09-01}}")
    assert done.value("broken_up") == Options.of("yes")
    assert done.lines("broken_up") == (3,)
    assert Facts(base, f"events: [{{{event}: none}}]").fact("broken_up").origin.how == UNKNOWN


def test_features_of_the_site(base: KnowledgeBase) -> None:
    """A feature told is there; one not told is open."""
    facts = Facts(base, "site: {features: [shade]}")
    assert facts.value("site.shade") == Options.of("yes")
    assert facts.value("site.slope") == Options.of("yes", "no")


@pytest.mark.parametrize(
    ("day", "reported", "expected"),
    [
        ("2026-09-13", "2026-10-06", (-5, -5)),  # 23 of 28 days
        ("2026-09-13", "2026-10-11", (0, 0)),
        ("about 2026-09-13", "2026-10-11", (-3, 3)),
        ("2025-12-20", "2026-01-10", (-7, -7)),  # over new year
        ("2024-02-15", "2024-03-14", (0, 0)),  # over a leap day
    ],
)
def test_days_until_the_next_spraying(
    base: KnowledgeBase, day: str, reported: str, expected: tuple[float, float]
) -> None:
    """Days since the last spraying less the 28 of the label."""
    facts = Facts(base, sprayed(day), reported)
    assert facts.ends("next_spray_margin") == expected
    assert facts.lines("next_spray_margin") == (6,)


def test_the_last_spraying_of_any_product_counts(base: KnowledgeBase) -> None:
    """Of several sprayings the latest decides when the next may be."""
    facts = Facts(base, twice("2026-08-01", "2026-09-20"), "2026-10-06")
    assert facts.ends("next_spray_margin") == (-12, -12)


@pytest.mark.parametrize(
    ("days", "reported", "left"),
    [
        (["2026-04-01", "2026-09-01"], "2026-10-06", (0, 0)),
        (["2025-09-01", "2026-09-01"], "2026-10-06", (1, 1)),
        (["2025-11-01", "2025-12-31"], "2026-01-05", (2, 2)),  # new year's eve is of the old year
        (["2025-12-31 23:00", "2026-01-01"], "2026-01-05", (1, 1)),
        (["2025-11-01", "about 2025-12-31"], "2026-01-05", (1, 2)),
        (["unknown", "2026-09-01"], "2026-10-06", (0, 1)),
        (["between 2024-06-01 and 2026-06-01", "2025-09-01"], "2025-10-06", (0, 1)),
    ],
)
def test_applications_left_this_year(
    base: KnowledgeBase, days: list[str], reported: str, left: tuple[float, float]
) -> None:
    """Two a calendar year, less those told in the year of the call; a doubtful one may count."""
    entries = "".join(f"  - sprayed: {day}\n" for day in days)
    facts = Facts(base, f"product: larkmoor-broadleaf\ntreatment:\n{entries}", reported)
    assert facts.ends("applications_left") == left


def test_another_product_does_not_use_up_the_year(base: KnowledgeBase) -> None:
    """Only applications of the product itself count against its yearly limit."""
    facts = Facts(
        base,
        "product: larkmoor-broadleaf\ntreatment:\n"
        "  - {sprayed: 2026-04-01, product: fellmark-ester}\n  - {sprayed: 2026-09-01}\n",
    )
    assert facts.ends("applications_left") == (1, 1)
    assert facts.lines("applications_left") == (5,)


@pytest.mark.parametrize(
    ("events", "expected"),
    [
        ("[{seeded: 2026-09-01}]", (7, 7)),  # 35 days less 28
        ("[{seeded: about 2026-09-01}]", (4, 10)),
        ("[{seeded: 2026-08-01}, {seeded: 2026-09-20}]", (-12, -12)),  # the younger grass counts
        ("[{seeded: 2026-09-20}, {seeded: 2026-08-01}]", (-12, -12)),
        ("[{seeded: none}]", (4000, 4000)),
        ("[]", (-200, 4000)),
    ],
)
def test_days_since_seeding(
    base: KnowledgeBase, events: str, expected: tuple[float, float]
) -> None:
    """Days from the last sowing to the call, less the 28 that the label wants of new grass."""
    facts = Facts(base, f"product: larkmoor-broadleaf\nevents: {events}")
    assert facts.ends("seeding_margin") == expected
    assert facts.all.conflicts == ()


def test_the_weather_to_expect(base: KnowledgeBase) -> None:
    """July highs of 82, give or take twice 6 F: up to 9 F too hot for 85, never too cold for 50."""
    text = "site: {region: lake-plain}\nproduct: larkmoor-broadleaf"
    facts = Facts(base, text, "2026-07-15")
    assert facts.ends("heat_ahead") == (-9, 15)
    assert facts.ends("cold_ahead") == (20, 44)
    winter = Facts(base, text, "2026-01-15")  # highs of 33, give or take 18
    assert winter.ends("cold_ahead") == (-35, 1)


# ---- contradictions ----------------------------------------------------------------------------


def test_an_answer_against_an_event(base: KnowledgeBase) -> None:
    """Dry for two days by the answer, watered four hours before by the events: both are kept."""
    events = "events:\n  - {rained: none}\n  - {watered: 2026-09-13 06:00}\n"
    facts = Facts(
        base, sprayed("2026-09-13 10:00", "answers: {dry_hours_before: 48 h}", events=events)
    )
    assert facts.ends("dry_hours_before") == (48, 48)
    (conflict,) = facts.all.conflicts
    assert (conflict.fact, conflict.application) == ("dry_hours_before", 0)
    assert (conflict.kept.value, conflict.other.value) == (Span(48, 48), Span(4, 4))
    assert (conflict.kept.origin.lines, conflict.other.origin.lines) == ((6,), (6, 9))


def test_an_answer_against_what_was_told(base: KnowledgeBase) -> None:
    """An answer that contradicts what was told first is noted as a contradiction."""
    facts = Facts(
        base,
        "site: {cover: thin, features: [shade]}\nanswers: {cover: thick, site.shade: no}\n",
    )
    assert facts.value("cover") == Options.of("thin")
    assert facts.value("site.shade") == Options.of("yes")
    assert [c.fact for c in facts.all.conflicts] == ["cover", "site.shade"]


def test_an_answer_that_agrees_narrows(base: KnowledgeBase) -> None:
    """An answer inside what the events leave open narrows it and is no contradiction."""
    facts = Facts(
        base,
        sprayed(
            "2026-09-13 10:00",
            "answers: {mowed_before: 20 to 50 h}",
            events="events: [{mowed: 2026-09-12}]",
        ),
    )
    assert facts.ends("mowed_before") == (20, 34)
    assert facts.all.conflicts == ()


def test_the_formulation_told_against_the_label(base: KnowledgeBase) -> None:
    """A jug told to be an ester whose label is an amine is a contradiction."""
    facts = Facts(base, sprayed("2026-09-13", "form: ester"))
    assert [c.fact for c in facts.all.conflicts] == ["formulation"]
    assert facts.value("formulation") == Options.of("ester")


# ---- gaps, on their own ------------------------------------------------------------------------


def test_amounts_that_wet_and_that_soak() -> None:
    """Water wets from 0.04 in, and soaks from what the label asks or else a quarter inch."""
    from advisor.account import Event
    from advisor.derive.gaps import soaking, wetting

    def event(amount: str | None) -> Event:
        inches = parse_amount(amount, "length") if amount else None
        return Event("watered", parse_when("2026-09-13"), inches, "watered", 1)

    half = soaking(parse_amount("0.5 in", "length"))
    for amount, wets, soaks, soaks_by_default in (
        (None, Truth.SHOWN, Truth.OPEN, Truth.OPEN),
        ("1 mm", Truth.RULED_OUT, Truth.RULED_OUT, Truth.RULED_OUT),
        ("0.04 in", Truth.SHOWN, Truth.RULED_OUT, Truth.RULED_OUT),
        ("0.25 in", Truth.SHOWN, Truth.RULED_OUT, Truth.SHOWN),
        ("0.4 to 0.6 in", Truth.SHOWN, Truth.OPEN, Truth.SHOWN),
        ("0.5 in", Truth.SHOWN, Truth.SHOWN, Truth.SHOWN),
    ):
        assert wetting(event(amount)) is wets
        assert half(event(amount)) is soaks
        assert soaking(None)(event(amount)) is soaks_by_default
