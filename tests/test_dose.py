"""Mixes: loads, cups, order of filling, limits, acid equivalent, and the same worked backwards.

Published worked examples name their source; pint is the independent hand for units. Products and
labels are the demo's, changed where an example needs other figures.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.call import parse_call
from advisor.dose import acids, delivered, filling
from advisor.dose.asking import Ask, AskError, Words, read
from advisor.dose.cups import NO_MARK, SHORT, TOO_LITTLE, WITHIN, reading
from advisor.dose.exact import PRINTED, both, inside, parse_area
from advisor.dose.limits import ACRE, conflicts, per_area, tolerates
from advisor.dose.mixing import Mix, make
from advisor.facts import gather
from advisor.model import Active, KnowledgeBase, Product, Rate, Surfactant
from advisor.terms import Options, Span
from advisor.units import UnitError, parse_amount, scale

F = Fraction
HAND = pint.UnitRegistry()
TENTH = F(1, 10)


def amount(text: str) -> Fraction:
    """An amount in the fixed unit of its dimension."""
    low, high = both(parse_amount(text))
    assert low == high
    return low


def with_rate(product: Product, rate: str, water: str | None = None) -> Product:
    """A product whose label has one rate for everything."""
    changed = replace(product, rates=(Rate((), parse_amount(rate)),), yearly_amount=None)
    return replace(changed, water=parse_amount(water)) if water else changed


def asked(
    base: KnowledgeBase, product: Product | str = "larkmoor-broadleaf", **words: object
) -> Ask:
    """What somebody asks for; a product may be one changed for the test."""
    name = product if isinstance(product, str) else product.id
    ask = read(Words(name, **words), base)  # type: ignore[arg-type]
    return (
        ask if isinstance(product, str) else replace(ask, main=replace(ask.main, product=product))
    )


def mix(base: KnowledgeBase, product: Product | str = "larkmoor-broadleaf", **words: object) -> Mix:
    """The mix for what somebody asks for."""
    return make(asked(base, product, **words), base)


LAWN = {"area": "3500 ft2", "tank": "2 gal", "output": "1 gal per 1000 ft2"}


# ---- worked examples -------------------------------------------------------------------------


def test_two_loads_for_a_lawn(base: KnowledgeBase) -> None:
    """16 fl oz an acre on 3,500 ft2 is 1.285 fl oz in loads of 0.735 and 0.551 fl oz."""
    product = with_rate(base.products["fellmark-ester"], "16 fl oz per acre")
    found = mix(base, product, **LAWN)
    total = found.total(product)
    assert total == F(16) / F("43.56") * F("3.5")
    assert float(total) == pytest.approx(1.2856, abs=1e-4)
    assert (total * F("29.5735295625")).__round__(1) == F("38.0")
    assert [(load.count, load.spray, load.area) for load in found.loads] == [
        (1, 2, 2),
        (1, F(3, 2), F(3, 2)),
    ]
    assert [round(float(load.doses[0].amount), 3) for load in found.loads] == [0.735, 0.551]
    assert found.spray == F(7, 2)


def test_one_backpack(base: KnowledgeBase) -> None:
    """At 2 gal per 1,000 ft2 a 4-gal backpack covers 2,000 ft2 and takes 3 fl oz at 1.5."""
    found = mix(base, weed="ground-ivy", area="2000 ft2", tank="4 gal", output="2 gal/1000 ft2")
    (load,) = found.loads
    assert (load.count, load.spray, load.area, load.doses[0].amount) == (1, 4, 2, 3)


def test_gallon_on_two_hundred_feet(base: KnowledgeBase) -> None:
    """1 gal on 200 ft2: 10 gal cover 2,000 ft2 and take 4 fl oz at 2 fl oz per 1,000 ft2.

    Source: a public question-and-answer page on tank mixes; the arithmetic is exact.
    """
    product = with_rate(
        base.products["larkmoor-broadleaf"], "2 fl oz per 1000 ft2", "1 to 5 gal per 1000 ft2"
    )
    found = mix(base, product, area="2000 ft2", tank="10 gal", output="1 gal per 200 ft2")
    (load,) = found.loads
    assert (load.area, load.doses[0].amount) == (2, 4)


def test_spot_mix_against_a_broadcast_rate(base: KnowledgeBase) -> None:
    """At 3 gal per 1,000 ft2 a spot mix of 1 fl oz per gal delivers 3 fl oz, double a 1.5 rate."""
    product = base.products["larkmoor-broadleaf"]
    product = replace(product, spot=parse_amount("1 fl oz per gal"), yearly_amount=None)
    words = {"spot": True, "area": "200 ft2", "tank": "1 gal", "output": "3 gal/1000 ft2"}
    found = mix(base, product, weed="ground-ivy", **words)
    heavy = next(note for note in found.notes if note.id == "note-spot-heavy")
    assert heavy.figures["put_on"].low == 3  # type: ignore[union-attr]
    assert heavy.figures["times"].low == 2  # type: ignore[union-attr]


def test_a_granule_is_weighed(base: KnowledgeBase) -> None:
    """A granule at 4 lb per 1,000 ft2 on 3,500 ft2 is 14 lb, in no tank and with no filling."""
    found = mix(base, "stonecroft-preventer", area="3500 ft2")
    (load,) = found.loads
    assert (load.spray, load.area, load.doses[0].amount, found.steps) == (
        None,
        F(7, 2),
        14 * 16,
        (),
    )


# ---- surfactant by volume --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("percent", "fl_oz", "per_100_gal"),
    [("0.25 %", "0.32", "1 qt"), ("0.5 %", "0.64", "2 qt"), ("1 %", "1.28", "1 gal")],
)
def test_percent_by_volume(percent: str, fl_oz: str, per_100_gal: str) -> None:
    """0.25 % is 0.32 fl oz a gallon or 1 qt in 100 gal, and so on; exact arithmetic."""
    low, _ = both(parse_amount(percent, "volume-per-volume"), "fl oz/gal")
    assert low == F(fl_oz)
    assert low * 100 == parse_amount(per_100_gal).exact("fl oz")[0]


def test_an_ounce_is_no_percent() -> None:
    """0.25 fl oz a gallon is 0.195 % by volume, not 0.25 %."""
    low, _ = parse_amount("0.25 fl oz per gal").exact("%")
    assert round(float(low), 3) == 0.195


def test_surfactant_goes_by_the_whole_spray(base: KnowledgeBase) -> None:
    """0.25 % of 2 gal and of 1.5 gal of spray is 0.64 and 0.48 fl oz."""
    found = mix(base, "reedholm-sedge", **LAWN)
    assert [load.wetters[0].amount for load in found.loads] == [F("0.64"), F("0.48")]


def test_one_surfactant_for_two_labels(base: KnowledgeBase) -> None:
    """Two labels that ask for the same surfactant get it once, at the higher of their shares."""
    palewater = base.products["palewater-white"]
    more = Surfactant(True, "non-ionic surfactant", parse_amount("0.5 %", "volume-per-volume"))
    ask = asked(base, "reedholm-sedge", partners=("palewater-white",), **LAWN)
    ask = replace(
        ask, partners=(replace(ask.partners[0], product=replace(palewater, surfactant=more)),)
    )
    found = make(ask, base)
    assert [[w.amount for w in load.wetters] for load in found.loads] == [[F("1.28")], [F("0.96")]]


# ---- acid equivalent -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("active", "form", "share"),
    [
        ("2,4-D", "dimethylamine salt", 0.831),
        ("2,4-D", "2-ethylhexyl ester", 0.663),
        ("2,4-D", "isooctyl ester", 0.663),
        ("2,4-D", "choline salt", 0.682),
        ("dicamba", "dimethylamine salt", 0.831),
        ("dicamba", "isopropylamine salt", 0.789),
        ("dicamba", "diglycolamine salt", 0.678),
        ("mecoprop-P", "dimethylamine salt", 0.826),
        ("mecoprop-P", "potassium salt", 0.849),
        ("triclopyr", "triethylamine salt", 0.717),
        ("triclopyr", "butoxyethyl ester", 0.719),
        ("triclopyr", "choline salt", 0.713),
        ("fluroxypyr", "1-methylheptyl ester", 0.694),
        ("clopyralid", "monoethanolamine salt", 0.759),
        ("quinclorac", "dimethylamine salt", 0.843),
        ("glyphosate", "isopropylamine salt", 0.741),
        ("glyphosate", "potassium salt", 0.816),
        ("triclopyr", "acid", 1),
    ],
)
def test_acid_share_of_a_form(active: str, form: str, share: float) -> None:
    """The share of a salt or ester that is acid is that of its formula masses.

    A chemical-data page prints 0.831 and 0.789 for the two dicamba salts.
    """
    found = acids.fraction(active, form)
    assert found is not None
    assert round(float(found), 3) == share


@pytest.mark.parametrize(
    ("active", "form"), [("prodiamine", "acid"), ("2,4-D", "unheard-of salt"), ("2,4-D", "salt")]
)
def test_no_share_is_guessed(active: str, form: str) -> None:
    """An acid or a form that is not in the tables has no share."""
    assert acids.fraction(active, form) is None


@pytest.mark.parametrize(
    ("acid", "mass"),
    [("2,4-D", 221.03), ("mecoprop-P", 214.65), ("triclopyr", 256.46), ("fluroxypyr", 255.03),
     ("clopyralid", 191.99), ("quinclorac", 242.06), ("glyphosate", 169.07)],
)  # fmt: skip
def test_formula_masses(acid: str, mass: float) -> None:
    """The formula masses of the acids, from the standard atomic weights, to a hundredth or so."""
    assert float(acids.mass(acids.ACIDS[acid])) == pytest.approx(mass, abs=0.006)


def test_glyphosate_four_pounds_of_salt() -> None:
    """4 lb a gallon of isopropylamine glyphosate is 2.96 lb of acid, sold as 3."""
    share = acids.fraction("glyphosate", "isopropylamine salt")
    assert share is not None
    assert round(float(4 * share), 2) == 2.96


def test_an_amine_by_weight() -> None:
    """47.3 to 47.5 % of 2,4-D dimethylamine by weight is 39.3 to 39.5 % acid."""
    share = acids.fraction("2,4-D", "dimethylamine salt")
    assert share is not None
    assert [round(float(percent * share), 1) for percent in (F("47.3"), F("47.5"))] == [39.3, 39.5]


@pytest.mark.parametrize(
    ("content", "rate", "pounds"),
    [("3.8 lb/gal", "33.7 fl oz per acre", 1.0), ("3.8 lb/gal", "0.773 fl oz per 1000 ft2", 1.0),
     ("4 lb/gal", "0.531 fl oz per 1000 ft2", 0.723)],
)  # fmt: skip
def test_acid_per_acre(content: str, rate: str, pounds: float) -> None:
    """1 lb of 2,4-D acid an acre is 33.7 fl oz of a 3.8 lb amine; 0.81 kg/ha of triclopyr is
    0.531 fl oz per 1,000 ft2 of a 4 lb ester (a violet trial, Weed Technology 2020).
    """
    active = Active("2,4-D", 4, parse_amount(content, "mass-per-volume"), "ae", "")
    found = per_area(active, amount(rate), "volume")
    assert found is not None
    assert float(found / 16 * ACRE) == pytest.approx(pounds, rel=1e-3)


def test_what_a_mix_delivers(base: KnowledgeBase) -> None:
    """Larkmoor at 1.5 fl oz delivers what the comment in its file says, by pint's arithmetic."""
    found = mix(base, weed="ground-ivy", **LAWN)
    rate = 1.5 * HAND.fluid_ounce / (1000 * HAND.foot**2)
    for each, content in zip(found.delivered, (2.4, 0.63, 0.21), strict=True):
        by_hand = (rate * content * HAND.pound / HAND.gallon).to("pound/foot**2").magnitude * 43560
        assert float(each.acid or 0) == pytest.approx(by_hand, rel=1e-12)
        share = acids.fraction(each.name, "dimethylamine salt")
        assert share is not None
        assert each.whole == (each.acid or 0) / share


def test_a_dry_product_delivers_its_percent(base: KnowledgeBase) -> None:
    """0.031 oz per 1,000 ft2 of 75 % halosulfuron is 0.063 lb an acre; no acid is counted."""
    (each,) = mix(base, "reedholm-sedge", **LAWN).delivered
    assert round(float(each.whole or 0), 3) == 0.063
    assert each.acid is None


# ---- exact numbers ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "square_feet"),
    [("3500 ft2", 3500), ("50 x 70 ft", 3500), ("50ft by 70ft", 3500),
     ("18.5 × 18.5 ft", F("342.25")), ("1/128 acre", F("340.3125")), ("1 1/2 x 2 yd", 27)],
)  # fmt: skip
def test_areas(text: str, square_feet: Fraction) -> None:
    """An area is written whole or as two sides; a side without a unit has the other's."""
    assert parse_area(text) * 1000 == square_feet


@pytest.mark.parametrize(
    "text", ["3500", "50 x 70", "0 ft2", "about 3500 ft2", "2 gal", "x", "5 x 2 gal"]
)
def test_areas_that_are_none(text: str) -> None:
    """What gives no single area is refused in words."""
    with pytest.raises(UnitError) as caught:
        parse_area(text)
    assert caught.value.message


def test_a_figure_rounded_by_a_label_meets_it() -> None:
    """A rate beyond a limit by up to one percent is taken as the limit; one beyond that is not."""
    limits = (F("0.37"), F("0.55"))
    assert inside(amount("16 fl oz per acre"), limits) == (0, F("0.37"))
    assert inside(F("0.55") * (1 + PRINTED), limits) == (0, F("0.55"))
    assert inside(F("0.56"), limits) == (1, F("0.56"))
    assert inside(F("0.36"), limits) == (-1, F("0.36"))
    assert inside(F("0.4"), limits) == (0, F("0.4"))


# ---- properties of mixes ---------------------------------------------------------------------

sizes = st.fractions(F(1, 100), 100, max_denominator=100)
SPRAYED = ("larkmoor-broadleaf", "fellmark-ester", "kettlebrook-quinclorac", "reedholm-sedge")


@st.composite
def asks(draw: st.DrawFn) -> tuple[str, dict[str, Fraction]]:
    """A product with an area, a tank and an output that its label allows."""
    output = draw(st.fractions(1, 2, max_denominator=20))
    return draw(st.sampled_from(SPRAYED)), {
        "area": draw(sizes),
        "tank": draw(st.fractions(F(1, 4), 30, max_denominator=8)),
        "output": output,
    }


def made(base: KnowledgeBase, product: str, numbers: dict[str, Fraction]) -> Mix:
    """The mix for exact numbers."""
    return make(replace(asked(base, product, **LAWN), **numbers), base)  # type: ignore[arg-type]


@given(asks(), st.fractions(F(1, 10), 20, max_denominator=10))
def test_product_scales_with_area(
    base: KnowledgeBase, ask: tuple[str, dict[str, Fraction]], times: Fraction
) -> None:
    """So many times the area takes so many times the product and the spray."""
    name, numbers = ask
    one = made(base, name, numbers)
    other = made(base, name, {**numbers, "area": numbers["area"] * times})
    product = base.products[name]
    assert other.total(product) == one.total(product) * times
    assert other.spray == (one.spray or 0) * times


@given(asks())
def test_the_loads_cover_the_area_exactly(
    base: KnowledgeBase, ask: tuple[str, dict[str, Fraction]]
) -> None:
    """Full tanks and the part tank cover the area exactly; a part tank is less than a tank."""
    name, numbers = ask
    loads = made(base, name, numbers).loads
    assert sum(load.count * (load.area or 0) for load in loads) == numbers["area"]
    assert all(load.spray == numbers["tank"] for load in loads[:-1])
    assert 0 < (loads[-1].spray or 0) <= numbers["tank"]
    assert len(loads) <= 2


@given(asks())
def test_a_mix_worked_backwards_is_its_rate(
    base: KnowledgeBase, ask: tuple[str, dict[str, Fraction]]
) -> None:
    """What went into any load over what it covered is the rate, within the label."""
    name, numbers = ask
    found = made(base, name, numbers)
    (part,) = found.parts
    for load in found.loads:
        poured, reach = load.doses[0].amount, load.area or F(0)
        assert delivered.over((poured, poured), (reach, reach)) == (part.rate, part.rate)
    assert inside(part.rate, part.limits) == (0, part.rate)


WRITTEN = {
    "area": ("ft2", "m2", "acre", "yd2"),
    "tank": ("gal", "L", "qt", "mL"),
    "output": ("gal per 1000 ft2", "L per ha", "gal per acre", "mL per m2"),
    "rate": ("fl oz per 1000 ft2", "L per ha", "qt per acre", "mL per 100 m2"),
    "cup": ("fl oz", "mL", "tsp", "cup"),
}
PLAIN = {"area": F(3500), "tank": F(2), "output": F(1), "rate": F(13, 10), "cup": F(1, 4)}


@given(st.fixed_dictionaries({key: st.integers(0, 3) for key in WRITTEN}))
def test_units_never_change_a_mix(base: KnowledgeBase, which: dict[str, int]) -> None:
    """The same question in other units has the same answer, to the last digit."""
    words = {}
    for key, number in which.items():
        units = WRITTEN[key]
        words[key] = f"{PLAIN[key] * scale(units[0], units[number])} {units[number]}"
        if len(words[key].split()[0]) > 20:  # more digits than a person would write
            words[key] = f"{PLAIN[key]} {units[0]}"
    plain = {key: f"{PLAIN[key]} {WRITTEN[key][0]}" for key in WRITTEN}
    assert mix(base, weed="dandelion", **words).loads == mix(base, weed="dandelion", **plain).loads


@pytest.mark.parametrize("text", ["3500 ft2", "325 m2", "0.08 acre", "400 yd2"])
def test_product_by_another_hand(base: KnowledgeBase, text: str) -> None:
    """pint finds the same product for an area in any unit (its acre is a survey acre, by 4 ppm)."""
    number, unit = text.split()
    area = float(number) * HAND({"ft2": "foot**2", "m2": "m**2", "yd2": "yard**2"}.get(unit, unit))
    by_hand = (1.5 * HAND.fluid_ounce / (1000 * HAND.foot**2) * area).to("mL").magnitude
    words = {**LAWN, "area": text}
    found = mix(base, weed="ground-ivy", **words)
    product = base.products["larkmoor-broadleaf"]
    in_ml = float(found.total(product) * scale("fl oz", "mL"))
    assert in_ml == pytest.approx(by_hand, rel=5e-6)


# ---- cups ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "limits", "mark", "marks", "verdict", "error"),
    [
        ("3", ("2.2", "3"), "1", 3, WITHIN, "0"),
        ("2.25", ("1.65", "2.25"), "1", 2, WITHIN, "-1/9"),  # the nearest is also the most
        ("2.25", ("2.25", "2.25"), "1", 2, TOO_LITTLE, "-1/9"),
        ("2.25", ("2.25", "2.25"), "0.5", 4, TOO_LITTLE, "-1/9"),
        ("2.25", ("2.25", "2.25"), "0.25", 9, WITHIN, "0"),
        ("2.05", ("2.05", "2.05"), "0.5", 4, SHORT, "-1/41"),
        ("2.6", ("2", "2.9"), "1", 2, WITHIN, "-3/13"),  # 3 marks are nearer and over the label
        ("1.4", ("1.2", "3"), "1", 2, WITHIN, "3/7"),  # 1 mark is nearer and under it
        ("0.06", ("0.05", "0.06"), "1", 0, NO_MARK, "-1"),
    ],
)
def test_a_cup(
    wanted: str, limits: tuple[str, str], mark: str, marks: int, verdict: str, error: str
) -> None:
    """An amount is measured in the marks nearest to it that the label allows, never over it."""
    read_off = reading(F(wanted), (F(limits[0]), F(limits[1])), F(mark), TENTH)
    assert (read_off.marks, read_off.verdict, read_off.error) == (marks, verdict, F(error))


@given(
    st.fractions(F(1, 1000), 100, max_denominator=1000),
    st.fractions(0, 1, max_denominator=50),
    st.fractions(0, 1, max_denominator=50),
    st.fractions(F(1, 1000), 10, max_denominator=1000),
)
def test_a_cup_never_goes_over_the_label(
    wanted: Fraction, below: Fraction, above: Fraction, mark: Fraction
) -> None:
    """Whole marks hold no more than the label's most; `within` holds both its ends, and is found
    whenever some number of marks lies there; no such number is nearer to the amount wanted.
    """
    limits = (wanted * (1 - below * F(9, 10)), wanted * (1 + above))
    found = reading(wanted, limits, mark, TENTH)
    assert found.measured <= limits[1]
    allowed = [n for n in range(found.marks - 2, found.marks + 3)
               if n >= 1 and limits[0] <= n * mark <= limits[1]]  # fmt: skip
    assert (found.verdict == WITHIN) == bool(allowed)
    if allowed:
        assert found.marks in allowed
        assert min(abs(n * mark - wanted) for n in allowed) == abs(found.measured - wanted)
    elif found.verdict == SHORT:
        assert limits[0] * (1 - TENTH) <= found.measured < limits[0]
    elif found.verdict == TOO_LITTLE:
        assert 0 < found.measured < limits[0] * (1 - TENTH)
    else:
        assert (found.verdict, found.marks) == (NO_MARK, 0)
        assert mark > limits[1]
    assert found.error == found.measured / wanted - 1
    assert found.short == max(0, (limits[0] - found.measured) / limits[0])


def test_a_finer_cup_is_named(base: KnowledgeBase) -> None:
    """Where the cup at hand will not do, the cups named measure every load within the label."""
    found = mix(base, weed="ground-ivy", cup="1 oz", **LAWN)
    assert [c.said.text for c in found.finer] == ["1 tsp", "0.1 fl oz", "1 mL", "0.1 mL"]
    exact = mix(base, weed="ground-ivy", cup="1/4 oz", **LAWN)
    assert exact.finer == ()
    assert [load.doses[0].reading.marks for load in exact.loads] == [12, 9]  # type: ignore[union-attr]


def test_ounces_on_a_cup(base: KnowledgeBase) -> None:
    """Ounces are fluid ounces on a cup for a liquid, ounces of weight on a scale for a dry one."""
    liquid, dry = asked(base, cup="1 oz", **LAWN), asked(base, "reedholm-sedge", cup="1 oz", **LAWN)
    assert liquid.cup is not None
    assert (liquid.cup.mark, liquid.cup.matter) == (1, "volume")
    assert dry.cup is not None
    assert (dry.cup.mark, dry.cup.matter) == (1, "mass")
    with pytest.raises(AskError, match="is measured by weight"):
        asked(base, "reedholm-sedge", cup="5 mL", **LAWN)


# ---- filling ---------------------------------------------------------------------------------

ORDER = [
    "reedholm-sedge",
    "palewater-white",
    "fellmark-ester",
    "larkmoor-broadleaf",
    "cinderwick-total",
]
"""Water-dispersible granule, suspension, emulsifiable concentrate, amine, salt."""


@pytest.mark.parametrize("names", list(itertools.permutations(ORDER, 3)))
def test_the_order_is_by_formulation(base: KnowledgeBase, names: tuple[str, ...]) -> None:
    """Dry forms, then suspensions, then emulsifiable concentrates, then solutions, in whatever
    order they are named (tank-mixing order column; solutions last from memory).
    """
    products = [base.products[name] for name in names]
    steps = filling.filling_order(products, [], base.sprayers.order, conditioner=False)
    poured = [step.product for step in steps if step.what == filling.PRODUCT]
    assert poured == [name for name in ORDER if name in names]


def test_water_first_and_oil_last(base: KnowledgeBase) -> None:
    """Half the water, the conditioner (Canola Council of Canada: before the herbicide), the dry
    product as a slurry, surfactant and then oil, the rest of the water, and the label's own order.
    """
    kinds = ["methylated seed oil", "non-ionic surfactant", "methylated seed oil"]
    steps = filling.filling_order(
        [base.products["kettlebrook-quinclorac"]], kinds, base.sprayers.order, conditioner=True
    )
    assert [(s.what, s.product or s.kind, s.how) for s in steps] == [
        ("half", None, None),
        ("conditioner", None, None),
        ("product", "kettlebrook-quinclorac", "slurry"),
        ("surfactant", "non-ionic surfactant", None),
        ("surfactant", "methylated seed oil", None),
        ("top-up", None, None),
        ("label-order", None, None),
    ]


@pytest.mark.parametrize(
    ("hardness", "product", "treated"),
    [("300 ppm", "larkmoor-broadleaf", True), ("199 ppm", "larkmoor-broadleaf", False),
     ("200 ppm", "larkmoor-broadleaf", True), ("100 to 250 ppm", "larkmoor-broadleaf", True),
     ("300 ppm", "fellmark-ester", False), (None, "larkmoor-broadleaf", False),
     ("12 gpg", "larkmoor-broadleaf", True)],
)  # fmt: skip
def test_hard_water_is_treated(
    base: KnowledgeBase, hardness: str | None, product: str, treated: bool
) -> None:
    """Ammonium sulfate goes in for a product that minerals tie up, from 200 ppm on (USGA 2018)."""
    found = mix(base, product, hardness=hardness, **LAWN)
    assert ("conditioner" in [step.what for step in found.steps]) == treated
    unknown = "note-hard-water-unknown" in [note.id for note in found.notes]
    assert unknown == (hardness is None)


# ---- what the label forbids ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("product", "words", "refused"),
    [
        ("larkmoor-broadleaf", {"weed": "yellow-nutsedge"}, ["weed-not-listed"]),
        ("larkmoor-broadleaf", {"turf": "st-augustinegrass"}, ["turf-injured"]),
        ("kettlebrook-quinclorac", {"turf": "cool-season"}, ["turf-some"]),
        ("larkmoor-broadleaf", {"rate": "1.6 fl oz/1000 ft2"}, ["rate-above"]),
        ("larkmoor-broadleaf", {"rate": "1 fl oz/1000 ft2"}, ["rate-below"]),
        (
            "larkmoor-broadleaf",
            {"rate": "1.2 fl oz/1000 ft2", "weed": "ground-ivy"},
            ["rate-below"],
        ),
        ("larkmoor-broadleaf", {"rate": "1.2 fl oz/1000 ft2"}, []),
        ("larkmoor-broadleaf", {"output": "2.5 gal/1000 ft2"}, ["too-much-water"]),
        ("reedholm-sedge", {"output": "0.5 gal/1000 ft2"}, ["too-little-water"]),
        ("oatmere-grass", {"partners": ("larkmoor-broadleaf",)}, ["tank-conflict"]),
        ("larkmoor-broadleaf", {"partners": ("oatmere-grass",)}, ["tank-conflict"]),
        ("larkmoor-broadleaf", {"partners": ("stonecroft-preventer",)}, ["granule-in-tank"]),
        ("larkmoor-broadleaf", {"partners": ("tallowdene-ester",)}, ["same-active"]),
        (
            "larkmoor-broadleaf",
            {"partners": ("tallowdene-ester=1.1 fl oz/1000 ft2",), "rate": "1.1 fl oz/1000 ft2"},
            ["same-active"],
        ),
        ("larkmoor-broadleaf", {"partners": ("fellmark-ester",)}, []),
        ("larkmoor-broadleaf", {"partners": ("fellmark-ester=1 fl oz/1000 ft2",)}, ["rate-above"]),
        ("larkmoor-broadleaf", {"used": "2"}, ["year-count", "year-amount"]),
        ("quickfell-spot", {"used": "3", "rate": "0.3 fl oz/1000 ft2"}, ["year-count"]),
        ("larkmoor-broadleaf", {"used": "1"}, []),
        ("larkmoor-broadleaf", {"used": "1.6 fl oz per 1000 ft2"}, ["year-count", "year-amount"]),
        ("larkmoor-broadleaf", {"used": "5.25 fl oz"}, []),
        ("palewater-white", {"used": "2"}, ["year-amount"]),
        ("palewater-white", {"used": "2", "rate": "0.12 fl oz/1000 ft2"}, []),
        ("cinderwick-total", {"turf": "tall-fescue"}, ["turf-injured"]),
    ],
)
def test_refusals(
    base: KnowledgeBase, product: str, words: dict[str, object], refused: list[str]
) -> None:
    """A mix outside the label is refused for just these reasons, and then there is no load."""
    found = mix(base, product, **{**LAWN, **words})
    assert [r.id for r in found.refused] == [f"refuse-{name}" for name in refused]
    assert bool(found.loads) == (not refused)


def test_spots_of_a_non_selective_product(base: KnowledgeBase) -> None:
    """A product that kills grass may go on spots in it, and says that it kills the grass."""
    found = mix(base, "cinderwick-total", turf="tall-fescue", spot=True, tank="1 gal")
    assert found.refused == ()
    assert "note-kills-grass" in [note.id for note in found.notes]


def test_a_label_without_a_spot_mix(base: KnowledgeBase) -> None:
    """Where the label has no mix for spots, or no rate at all, the mix is refused for that."""
    no_spot = replace(base.products["larkmoor-broadleaf"], spot=None)
    assert [r.id for r in mix(base, no_spot, spot=True, tank="1 gal").refused] == ["refuse-no-spot"]
    only_ivy = replace(no_spot, rates=base.products["larkmoor-broadleaf"].rates[:1])
    assert [r.id for r in mix(base, only_ivy, weed="dandelion", **LAWN).refused] == [
        "refuse-no-rate"
    ]


def test_a_grass_the_label_does_not_name(base: KnowledgeBase) -> None:
    """A grass that the label neither tolerates nor injures is not on it."""
    product = base.products["larkmoor-broadleaf"]
    product = replace(product, turf_injured=tuple(t for t in product.turf_injured if t[0] != "b"))
    found = mix(base, product, turf="bentgrass-turf", **LAWN)
    assert [r.id for r in found.refused] == ["refuse-turf-not-listed"]


@pytest.mark.parametrize(
    ("product", "turf", "verdict"),
    [("larkmoor-broadleaf", "tall-fescue", "yes"), ("larkmoor-broadleaf", "cool-season", "yes"),
     ("larkmoor-broadleaf", "warm-season", None), ("larkmoor-broadleaf", "bentgrass-turf", "no"),
     ("fellmark-ester", "warm-season", "no"), ("stonecroft-preventer", "warm-season", "yes")],
)  # fmt: skip
def test_a_group_stands_for_its_grasses(
    base: KnowledgeBase, product: str, turf: str, verdict: str | None
) -> None:
    """A group of grasses stands a product where all of it does, and not where none of it does."""
    assert tolerates(base.products[product], turf, base) == verdict


def test_conflicts_hold_both_ways(base: KnowledgeBase) -> None:
    """Two products conflict in whichever order they are named, and none conflicts with itself."""
    products = list(base.products.values())
    found = {(a.id, b.id) for a in products for b in products if conflicts(a, b)}
    assert found == {(b, a) for a, b in found}
    assert ("oatmere-grass", "larkmoor-broadleaf") in found
    assert all(a != b for a, b in found)


def test_suppression_is_said(base: KnowledgeBase) -> None:
    """A weed that the label only suppresses is mixed for, and that is said."""
    found = mix(base, weed="ground-ivy", **LAWN)
    assert [n.id for n in found.notes if n.id == "note-suppresses"] == ["note-suppresses"]
    assert "note-suppresses" not in [n.id for n in mix(base, weed="dandelion", **LAWN).notes]


def test_a_weed_with_a_rate_of_its_own(base: KnowledgeBase) -> None:
    """A weed with a rate of its own gets it; others get the general one, at its highest."""

    def rates(weed: str | None) -> tuple[Fraction, Fraction, Fraction, bool]:
        (part,) = mix(base, "fellmark-ester", weed=weed, **LAWN).parts
        return *part.limits, part.rate, part.for_weed

    assert rates("wild-violet") == (F("0.55"), F("0.73"), F("0.73"), True)
    assert rates("dandelion") == rates(None) == (F("0.37"), F("0.55"), F("0.55"), False)


def test_licensed_only_is_said(base: KnowledgeBase) -> None:
    """A product for licensed applicators says so in its mix."""
    assert "note-licensed" in [n.id for n in mix(base, "tallowdene-ester", **LAWN).notes]


# ---- the year --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("used", "times", "before"),
    [
        (None, (0, 0), ("0", "0")),
        ("1", (1, 1), ("1.1", "1.5")),
        ("1.5 fl oz per 1000 ft2", (1, 1), ("1.5", "1.5")),
        ("1.2 fl oz per 1000 ft2", (1, 1), ("1.2", "1.2")),
        ("5.25 fl oz", (1, 1), ("1.5", "1.5")),
        ("0 fl oz", (0, 0), ("0", "0")),
    ],
)
def test_the_year_so_far(
    base: KnowledgeBase, used: str | None, times: tuple[int, int], before: tuple[str, str]
) -> None:
    """A count bounds the amount by the label's rates, an amount the count; 5.25 on 3.5 is 1.5."""
    year = mix(base, weed="dandelion", used=used, **LAWN).year
    assert year is not None
    assert (year.times, year.before) == (times, (F(before[0]), F(before[1])))
    assert year.after == (F(before[0]) + F("1.5"), F(before[1]) + F("1.5"))


def test_what_is_not_certain_is_said_and_not_refused(base: KnowledgeBase) -> None:
    """Two of three sprayings at 0.12 to 0.18 fl oz leave room for a third at 0.12, or do not."""
    found = mix(base, "palewater-white", rate="0.12 fl oz/1000 ft2", used="2", **LAWN)
    assert found.refused == ()
    assert "note-year-amount-unsure" in [n.id for n in found.notes]


def test_spots_count_where_the_output_is_known(base: KnowledgeBase) -> None:
    """A spot mix counts towards the year by what is sprayed on, where that is known."""
    heavy = {"spot": True, "area": "200 ft2", "tank": "1 gal", "output": "3 gal/1000 ft2"}
    assert [r.id for r in mix(base, **heavy).refused] == ["refuse-year-amount"]
    unknown = mix(base, spot=True, tank="1 gal")
    assert unknown.year is not None
    assert (unknown.refused, unknown.year.now, unknown.year.after) == ((), None, None)


# ---- words that make no question -------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({"product": "larkmor-broadleaf"}, "there is no product `larkmor-broadleaf`"),
        ({"weed": "dandylion"}, "there is no weed `dandylion`"),
        ({"turf": "fescue"}, "there is no lawn grass `fescue`"),
        ({"partners": ("nothing",)}, "there is no product `nothing`"),
        ({"area": None}, "--area must be given"),
        ({"tank": None, "output": None}, "--tank and --output must be given"),
        ({"area": "3500"}, "--area: `3500` has no unit"),
        ({"area": "3000 to 4000 ft2"}, "--area: `3000 to 4000 ft2` is not one number"),
        ({"tank": "0 gal"}, "--tank: `0 gal` is nothing"),
        ({"output": "2 gal"}, "--output: `2 gal` is a volume"),
        ({"rate": "1.5 oz/1000 ft2"}, "--rate: `1.5 oz/1000 ft2` is a weight per area"),
        ({"cup": "one"}, "--cup: `one` has no unit"),
        ({"used": "1.5"}, "not a whole number of sprayings"),
        ({"partners": ("larkmoor-broadleaf",)}, "the same product is named twice"),
        ({"product": "stonecroft-preventer"}, "--tank is of no use"),
        ({"spot": True, "tank": None, "area": None, "output": None}, "--tank must be given"),
        ({"spot": True, "output": None}, "--output must be given"),
        ({"spot": True, "area": None, "used": "2 fl oz"}, "needs the area it went on"),
    ],
)
def test_words_that_make_no_question(
    base: KnowledgeBase, words: dict[str, object], says: str
) -> None:
    """What is missing or cannot be read is said, with the option that it was given for."""
    with pytest.raises(AskError) as caught:
        read(Words(**{"product": "larkmoor-broadleaf", **LAWN, **words}), base)  # type: ignore[arg-type]
    assert says in caught.value.message


# ---- worked backwards, in a call -------------------------------------------------------------

CALL = """
reported: 2026-10-06
weed: {weed}
product: {product}
treatment:
  - {{sprayed: 2026-09-13 10:00, {told}}}
"""


def facts_of(
    base: KnowledgeBase, told: str, product: str = "larkmoor-broadleaf", weed: str = "ground-ivy"
) -> dict[str, tuple[object, str]]:
    """The facts of one application with their origins in words."""
    text = CALL.format(told=told, product=product, weed=weed)
    (found,) = gather(parse_call(text, "call.yaml", base), base).of_applications
    return {name: (fact.value, str(fact.origin)) for name, fact in found.items()}


@pytest.mark.parametrize(
    ("told", "low", "high"),
    [
        ("amount: 2 tbsp, area: 1000 ft2", 2 / 3, 2 / 3),
        ("amount: 2 tbsp, area: 800 to 1000 ft2", 2 / 3, 5 / 6),
        ("amount: 2 oz, area: 1000 ft2", 4 / 3, 4 / 3),  # of a liquid: fluid ounces
        ("amount: 1.5 fl oz per 1000 ft2", 1, 1),
        ("amount: 1 qt per acre", 32 / 43.56 / 1.5, 32 / 43.56 / 1.5),
        ("amount: 1.5 fl oz per gal, water: 2 gal, area: 1000 ft2", 2, 2),
        ("amount: 1.5 fl oz per gal, output: 0.5 gal per 1000 ft2", 0.5, 0.5),
        ("amount: 3 fl oz, water: 2 gal, output: 1 to 2 gal per 1000 ft2", 1, 2),
        ("amount: 1 %, output: 1 gal per 1000 ft2", 1.28 / 1.5, 1.28 / 1.5),
        ("amount: 1.5 fl oz, water: 1 gal, answers: {spray_volume: 2 gal/1000 ft2}", 2, 2),
        ("amount: 1.5 fl oz, water: 1 gal", 0.5, 5),  # by hand: 0.5 to 5 gal per 1,000 ft2
        ("amount: 1.5 fl oz per gal", 0.5, 5),
        ("amount: 0.75 fl oz, water: 1 gal, coverage: leaves-wet", 0.5, 0.5),  # as for spots
        ("amount: 0.75 fl oz, water: 1 gal, coverage: thin", 0.25, 2.5),
    ],
)
def test_the_rate_of_a_call(base: KnowledgeBase, told: str, low: float, high: float) -> None:
    """What was put in, how much water, how far it went: the rate against the label's 1.5 fl oz."""
    found, _ = facts_of(base, told)["rate_of_min"]
    assert isinstance(found, Span)
    assert (found.low, found.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    "told", ["amount: 1.5 fl oz", "water: 1 gal, area: 1000 ft2", "amount: 1.5 fl oz, pace: 3 mph"]
)
def test_a_rate_that_cannot_be_known(base: KnowledgeBase, told: str) -> None:
    """Without water and area, or without the amount, the rate stays open."""
    found = facts_of(base, told)
    assert found["rate_of_min"] == (base.facts["rate_of_min"].range, "not told")


def test_both_readings_are_named(base: KnowledgeBase) -> None:
    """Where nobody knows how far it went, the origin says both ways the mix can be read."""
    _, origin = facts_of(base, "amount: 2 tbsp, water: 1 gal")["rate_of_min"]
    assert origin == (
        "worked out: 2 tbsp in 1 gal, for spots; label 1.5 fl oz per gal; or 2 tbsp in 1 gal, "
        "over a lawn by hand at 0.5 to 5 gal per 1000 ft2; label 1.5 fl oz per 1000 ft2 (line 6)"
    )


def test_a_weight_is_no_volume(base: KnowledgeBase) -> None:
    """Grams of a liquid say nothing of its rate, and fluid ounces of a dry product neither."""
    assert facts_of(base, "amount: 20 g, area: 1000 ft2")["rate_of_min"][1] == "not told"
    found = facts_of(base, "amount: 1 tsp, area: 1000 ft2", "reedholm-sedge", "yellow-nutsedge")
    assert found["rate_of_min"][1] == "not told"


def test_a_nozzle_gives_the_spray(base: KnowledgeBase) -> None:
    """0.4 gal a minute at 40 psi, run at 10 psi, 3 mph and 20 in: 5,940 x 0.2 / (3 x 20) gal an
    acre, so 0.4545 gal per 1,000 ft2, which is 0.909 of the least water the label asks.
    """
    told = "nozzle: 0.4 gal/min, pressure: 10 psi, pace: 3 mph, swath: 20 in"
    found = facts_of(base, told)
    volume, least = found["spray_volume"][0], found["volume_of_min"][0]
    assert isinstance(volume, Span)
    assert isinstance(least, Span)
    assert volume.low == volume.high == pytest.approx(5940 * 0.2 / 60 / 43.56)
    assert least.low == pytest.approx(2 * volume.low)
    wider = facts_of(base, told.replace("3 mph", "2 to 4 mph"))["spray_volume"][0]
    assert isinstance(wider, Span)
    assert (wider.low, wider.high) == (
        pytest.approx(volume.low * 3 / 4),
        pytest.approx(volume.low * 3 / 2),
    )


def test_a_nozzle_chart_gives_the_drops(base: KnowledgeBase) -> None:
    """The class of a nozzle chart is the size of the drops; another told size is a conflict."""
    found = facts_of(base, "drops: VC")
    assert found["droplets"] == (
        Options.of("coarse"),
        "worked out: nozzle chart: very coarse (VC) (line 6)",
    )
    text = CALL.format(
        told="drops: VF, droplets: coarse", product="larkmoor-broadleaf", weed="dandelion"
    )
    facts = gather(parse_call(text, "call.yaml", base), base)
    assert [c.fact for c in facts.conflicts] == ["droplets"]


@given(asks())
def test_a_mix_told_in_a_call_gives_its_rate(
    base: KnowledgeBase, ask: tuple[str, dict[str, Fraction]]
) -> None:
    """A customer who pours and sprays what the mix says is found at the rate of the mix."""
    name, numbers = ask
    found = made(base, name, {**numbers, "area": max(numbers["area"], F(1, 10))})
    (part,) = found.parts
    load = found.loads[0]
    told = ", ".join([
        f"amount: {float(load.doses[0].amount):.12f} {load.doses[0].unit}",
        f"water: {float(load.spray or 0):.12f} gal",
        f"area: {float(load.area or 0) * 1000:.9f} ft2",
    ])  # fmt: skip
    weed = base.products[name].controls[0]
    own = base.products[name].rate_for(weed)
    assert own is not None
    value, _ = facts_of(base, told, name, weed)["rate_of_min"]
    assert isinstance(value, Span)
    assert value.low == pytest.approx(float(part.rate / both(own.amount)[0]), rel=1e-5)
