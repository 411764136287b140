"""The knowledge base agrees with the published figures it cites.

Each check names its source (an id of sources.yaml) and gives the published figure, restated from an
abstract, an extension page or a data table. A control figure or a season that cites a source and is
checked nowhere fails the walk at the end of its section.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pytest

from advisor.control import dose_loss, log_logistic, together
from advisor.model import Basis, Control, DayOfYear, KnowledgeBase, Product, Rule, Weed
from advisor.terms import Condition, Span

LITTLE = 0.3
"""What "little effect", "poor" or "weak" may mean at most, as a share."""


def applied(control: Control, times: int) -> Span:
    """What the figures let one expect of so many applications, at the worst and at the best."""
    return Span(together([control.low] * times), together([control.high] * times))


def expected(control: Control, times: int) -> float:
    """What is expected of so many applications."""
    return together([control.share] * times)


def from_source(basis: Basis | None, source: str) -> bool:
    """Whether a figure cites the source."""
    return basis is not None and basis.kind == "source" and basis.source == source


def kg_per_ha(product: Product, amount: float) -> float:
    """Active in kg/ha that so many fl oz of a liquid product per 1000 ft2 bring."""
    lb_per_acre = amount * 43.56 / 128 * product.actives[0].content.to("lb/gal").low
    return lb_per_acre * 1.120851


# ---- control -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Trial:
    """What a source says of an active on a weed: the control after so many applications."""

    weed: str
    active: str
    source: str
    low: float
    high: float
    times: int = 1


IN_RANGE = [
    # triclopyr at the 0.56 kg ae/ha of most turf labels stays under the 75 % of 0.81 kg
    Trial("wild-violet", "triclopyr", "weed-technol-2020-blue-violet", 0.0, 0.75),
    # every other auxin 28 % epinasty or less at 21 days
    Trial("wild-violet", "2,4-D", "weed-technol-2020-blue-violet", 0.0, 0.28),
    Trial("wild-violet", "MCPA", "weed-technol-2020-blue-violet", 0.0, 0.28),
    Trial("wild-violet", "mecoprop-P", "weed-technol-2020-blue-violet", 0.0, 0.28),
    Trial("wild-violet", "quinclorac", "weed-technol-2020-blue-violet", 0.0, 0.28),
    # over 53 % for 2,4-D, fluroxypyr and triclopyr, fall or spring, at three sites
    Trial("ground-ivy", "2,4-D", "turf-research-2017-ground-ivy", 0.53, 1.0),
    Trial("ground-ivy", "fluroxypyr", "turf-research-2017-ground-ivy", 0.53, 1.0),
    # superior control the next May at the highest label rate in October
    Trial("ground-ivy", "triclopyr", "hortech-2004-ground-ivy", 0.53, 1.0),
    # spread cut by 34 % at 26 weeks
    Trial("ground-ivy", "isoxaben", "hortech-2004-ground-ivy", 0.0, 0.34),
    # little effect
    Trial("ground-ivy", "dicamba", "purdue-ground-ivy", 0.0, LITTLE),
    Trial("ground-ivy", "quinclorac", "purdue-ground-ivy", 0.0, LITTLE),
    Trial("ground-ivy", "clopyralid", "purdue-ground-ivy", 0.0, LITTLE),
    # over 90 % the next spring after a fall spray
    Trial("dandelion", "2,4-D", "kansas-fall-dandelion", 0.9, 1.0),
    # 35 to 57 % and 23 % one year later
    Trial("canada-thistle", "glyphosate", "ndsu-canada-thistle", 0.35, 0.57),
    Trial("canada-thistle", "dicamba", "ndsu-canada-thistle", 0.23, 0.23),
    # weak, poor alone
    Trial("white-clover", "2,4-D", "idaho-white-clover", 0.0, LITTLE),
    Trial("common-chickweed", "2,4-D", "illinois-winter-annuals", 0.0, LITTLE),
    # two applications 39 to 88 %
    Trial(
        "creeping-bentgrass", "mesotrione", "weed-technol-2007-mesotrione-bentgrass", 0.39, 0.88, 2
    ),
    # 87 % and more in dormant bermudagrass, in December as in February
    Trial("annual-bluegrass", "glufosinate", "hortscience-2007-dormant-bermudagrass", 0.87, 1.0),
    # in a straight line with the rate to 85 % at 16.8 kg/ha: 6 % at the 1.1 of a label
    Trial("rough-bluegrass", "ethofumesate", "weed-technol-ethofumesate-four-grasses", 0.04, 0.08),
    # 4 % at most from any rate
    Trial(
        "creeping-bentgrass", "ethofumesate", "weed-technol-ethofumesate-four-grasses", 0.0, 0.04
    ),
    # highly effective; 2,4-D alone largely ineffective, with dicamba moderate to good
    Trial("field-bindweed", "dicamba", "colorado-bindweed-lawns", 0.3, 0.7),
    Trial("field-bindweed", "quinclorac", "colorado-bindweed-lawns", 0.5, 1.0),
    Trial("field-bindweed", "2,4-D", "colorado-bindweed-lawns", 0.0, LITTLE),
    # half or less, in the year of the spray and the next
    Trial("canada-thistle", "2,4-D", "weed-sci-thistle-roadsides", 0.0, 0.5),
    # preemergence and postemergence, 37 to 64 %
    Trial(
        "annual-bluegrass", "mesotrione", "agronomy-meeting-2011-annual-bluegrass", 0.37, 0.64, 2
    ),
    # 75 to 80 % gone the next June after a summer of treatment
    Trial("nimblewill", "mesotrione", "iowa-nimblewill", 0.75, 0.8, 2),
    # 80 % and more at one to three leaves and a tiller
    Trial("smooth-crabgrass", "quinclorac", "hortscience-2003-quinclorac-crabgrass", 0.8, 1.0),
    # twice, three weeks apart, more than 95 %
    Trial("yellow-nutsedge", "halosulfuron", "weed-technol-2021-yellow-nutsedge", 0.95, 1.0, 2),
    # 70 % and more on plants that stand 2,4-D
    Trial(
        "buckhorn-plantain", "halauxifen-methyl", "weed-technol-2021-buckhorn-resistance", 0.7, 1.0
    ),
    # less than 75 % at four weeks
    Trial("star-of-bethlehem", "carfentrazone", "kent-county-star-of-bethlehem-2008", 0.0, 0.75),
    # 35 % or less at 35 days
    Trial("star-of-bethlehem", "halosulfuron", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    Trial("star-of-bethlehem", "imazaquin", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    Trial("star-of-bethlehem", "metsulfuron", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    Trial("star-of-bethlehem", "2,4-D", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    Trial("star-of-bethlehem", "mecoprop-P", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    Trial("star-of-bethlehem", "dicamba", "weed-technol-2004-star-of-bethlehem", 0.0, 0.35),
    # 23.8 % for the ester
    Trial("star-of-bethlehem", "triclopyr", "kansas-wild-garlic", 0.0, 0.238),
    # twice in fall, 35 and 48 % at 10 and 37 weeks
    Trial("dallisgrass", "foramsulfuron", "hortscience-2016-dallisgrass", 0.35, 0.48, 2),
    # in sequence, 80 % of the shoots and more; 85 % of the tubers, 89 % of the live ones; 68 %
    Trial("purple-nutsedge", "halosulfuron", "pak-j-weed-sci-2010-purple-nutsedge", 0.8, 1.0, 2),
    Trial("purple-nutsedge", "sulfentrazone", "pak-j-weed-sci-2010-purple-nutsedge", 0.8, 0.89, 2),
    Trial("purple-nutsedge", "imazaquin", "pak-j-weed-sci-2010-purple-nutsedge", 0.6, 0.75, 2),
    # does not control it
    Trial("purple-nutsedge", "bentazon", "pnw-turf-nutsedge", 0.0, LITTLE),
    # without seed 62 and 28 % cover the next July after one spray in late summer
    Trial("false-green-kyllinga", "halosulfuron", "weed-technol-2022-kyllinga", 0.3, 0.5),
    Trial("false-green-kyllinga", "imazosulfuron", "weed-technol-2022-kyllinga", 0.6, 0.8),
    # over 2.2 kg/ha for 80 %, and a lawn label gives 0.84
    Trial("torpedograss", "quinclorac", "weed-technol-1994-torpedograss", 0.0, 0.5),
    # three sprays three weeks apart: topramezone with triclopyr 27 to 50 % a year later, either
    # alone less; fenoxaprop with triclopyr 27 %
    Trial(
        "wild-bermudagrass", "topramezone", "weed-technol-2013-topramezone-bermudagrass", 0, 0.5, 3
    ),
    Trial(
        "wild-bermudagrass", "triclopyr", "weed-technol-2013-topramezone-bermudagrass", 0, 0.27, 3
    ),
    Trial(
        "wild-bermudagrass", "fenoxaprop", "weed-technol-2013-topramezone-bermudagrass", 0, 0.27, 3
    ),
    # 90 % of grown plants and more; 85 % and more before they come up
    Trial("chamberbitter", "glyphosate", "weed-technol-1990-leafflower", 0.9, 1.0),
    Trial("chamberbitter", "oxadiazon", "weed-technol-1990-leafflower", 0.85, 1.0),
    # 80 to 90 % before they come up
    Trial("chamberbitter", "isoxaben", "chamberbitter-timing", 0.8, 0.9),
    Trial("chamberbitter", "atrazine", "chamberbitter-timing", 0.8, 0.9),
]
"""Figures that what is expected must lie between."""

REACHED = [
    # more than 95 % of the tops at four weeks; the bulbs come back
    Trial("star-of-bethlehem", "sulfentrazone", "star-of-bethlehem-cool-season", 0.95, 1.0),
    # 80 % and more of the tops
    Trial("star-of-bethlehem", "bromoxynil", "weed-technol-2004-star-of-bethlehem", 0.8, 1.0),
    # 96 % and more in the field
    Trial("buckhorn-plantain", "clopyralid", "agronomy-meeting-2015-buckhorn", 0.96, 1.0),
]
"""Figures that must lie within what can be had at best, because they count tops or one field."""


def name(trial: Trial) -> str:
    """The name of a check."""
    return f"{trial.weed}-{trial.active}-{trial.times}x"


@pytest.mark.parametrize("trial", IN_RANGE, ids=name)
def test_control_as_published(base: KnowledgeBase, trial: Trial) -> None:
    """What is expected of the active lies within the figure of the source that it cites; where the
    figure is a single one, it lies within the stated spread.
    """
    control = base.weeds[trial.weed].control[trial.active]
    assert from_source(control.basis, trial.source)
    if trial.low == trial.high:
        assert control.low <= trial.low <= control.high
        assert control.share == pytest.approx(trial.low, abs=0.01)
    else:
        assert trial.low <= expected(control, trial.times) <= trial.high


@pytest.mark.parametrize("trial", REACHED, ids=name)
def test_control_that_can_be_reached(base: KnowledgeBase, trial: Trial) -> None:
    """The figure of the source that it cites lies within what the active does at best."""
    control = base.weeds[trial.weed].control[trial.active]
    assert from_source(control.basis, trial.source)
    best = applied(control, trial.times).high
    assert best + 0.005 >= trial.low
    assert expected(control, trial.times) <= trial.high


def test_every_cited_control_figure_is_checked(base: KnowledgeBase) -> None:
    """Each control figure that cites a source is held against it above, and none in vain."""
    cited = {
        (w.id, active)
        for w in base.weeds.values()
        for active, control in w.control.items()
        if control.basis.kind == "source"
    }
    assert cited == {(t.weed, t.active) for t in (*IN_RANGE, *REACHED)}


def test_violet_takes_more_triclopyr_than_most_labels_give(base: KnowledgeBase) -> None:
    """weed-technol-2020-blue-violet: 0.81 kg/ha for 75 %, labels mostly 0.56. On the dose curve of
    the model through 75 % at 0.81 kg the 0.56 kg give what is expected of triclopyr.
    """
    slope = base.settings.dose_slope
    half = 0.81 / 3 ** (1 / slope)  # 75 % is three to one
    killed = 1 - log_logistic(0.56, lower=0, upper=1, ed50=half, slope=slope)
    triclopyr = base.weeds["wild-violet"].control["triclopyr"]
    assert triclopyr.share == pytest.approx(killed, abs=0.05)


def test_the_violet_rate_of_the_demo_label(base: KnowledgeBase) -> None:
    """weed-technol-2020-blue-violet: 0.81 kg ae/ha is what it takes; the demo label's rate for
    violets, 0.55 fl oz per 1000 ft2 of 4 lb/gal, brings 0.84.
    """
    product = base.products["fellmark-ester"]
    rate = product.rate_for("wild-violet")
    assert rate is not None
    assert kg_per_ha(product, rate.amount.to("fl oz/1000 ft2").low) == pytest.approx(
        0.84, abs=0.005
    )


def test_triclopyr_beats_all_else_on_violet(base: KnowledgeBase) -> None:
    """weed-technol-2020-blue-violet and kentucky-1986-wild-violets: 80 to 99 % epinasty against 28
    or less, so no other selective active does half as much.
    """
    control = base.weeds["wild-violet"].control
    others = [c.share for a, c in control.items() if a not in ("triclopyr", "glyphosate")]
    assert max(others) <= control["triclopyr"].share / 2


def test_bentgrass_takes_three(base: KnowledgeBase) -> None:
    """hortscience-2008-bentgrass and ohio-bentgrass: three sprays of mesotrione 92 to 100 %; that
    lies within the spread of three, and two fall short of it.
    """
    control = base.weeds["creeping-bentgrass"].control["mesotrione"]
    assert applied(control, 3).high >= 0.92
    assert expected(control, 3) == pytest.approx(0.92, abs=0.02)
    assert applied(control, 2).high < 0.92


@pytest.mark.xfail(
    reason="three close sprays did more than three alone would; the model takes them as"
    " independent, and 0.55 makes two and three agree",
    strict=True,
)
def test_bentgrass_after_one(base: KnowledgeBase) -> None:
    """weed-technol-2007-mesotrione-bentgrass: one spray of mesotrione 7 to 43 %."""
    control = base.weeds["creeping-bentgrass"].control["mesotrione"]
    assert 0.07 <= control.share <= 0.43


def test_bentgrass_in_small_doses(base: KnowledgeBase) -> None:
    """hortscience-2018-mesotrione-bentgrass: two years of programs cut cover by 49 to 94 % and
    never ended it, so two seasons are to be expected.
    """
    bentgrass = base.weeds["creeping-bentgrass"]
    assert bentgrass.retreatments.seasons >= 2
    assert applied(bentgrass.control["mesotrione"], 4).high < 1


def test_annual_bluegrass_takes_many_small_doses(base: KnowledgeBase) -> None:
    """hortscience-2012-annual-bluegrass: seven to ten small doses of mesotrione were dependable."""
    weed = base.weeds["annual-bluegrass"]
    assert weed.retreatments.applications == (3, 10)
    assert expected(weed.control["mesotrione"], 7) > 0.9
    assert expected(weed.control["mesotrione"], 3) < 0.7


def test_thistle_is_worse_after_a_year(base: KnowledgeBase) -> None:
    """ndsu-canada-thistle: 90 % at eight weeks was 57 % at best after a year; it takes years."""
    thistle = base.weeds["canada-thistle"]
    assert thistle.control["glyphosate"].high <= 0.57
    assert thistle.retreatments.seasons >= 2


def test_resistant_plantain(base: KnowledgeBase) -> None:
    """weed-technol-2021-buckhorn-resistance: phenoxies 30 % or less in the field on resistant
    plants; weed-technol-2018-buckhorn-resistance: triclopyr kills them all the same.
    """
    plantain = base.weeds["buckhorn-plantain"]
    phenoxies = {a for r in plantain.resistance for a in r.actives}
    assert phenoxies == {"2,4-D", "MCPA", "mecoprop-P"}
    unmarked = rule(base, "resistant-no-symptom")
    assert plantain.control["2,4-D"].share * (1 - unmarked.loss["taproot"]) <= 0.3
    assert {r.basis.source for r in plantain.resistance} == {
        "weed-technol-2018-buckhorn-resistance",
        "weed-technol-2021-buckhorn-resistance",
    }


def test_speedwell_wants_quinclorac(base: KnowledgeBase) -> None:
    """psu-creeping-speedwell: quinclorac clears it, a three-way mix alone suppresses it."""
    weed = base.weeds["creeping-speedwell"]
    best = max(weed.control, key=lambda a: weed.control[a].share)
    assert best in ("quinclorac", "glyphosate")
    assert weed.control["quinclorac"].share > 2 * weed.control["2,4-D"].share
    assert base.products["kettlebrook-quinclorac"].lists("creeping-speedwell") == "controls"
    assert base.products["larkmoor-broadleaf"].lists("creeping-speedwell") == "suppresses"


def test_bindweed_wants_quinclorac(base: KnowledgeBase) -> None:
    """colorado-bindweed-lawns: quinclorac is the one that works, mixes with dicamba do moderately,
    preventers nothing; kansas-field-bindweed: quinclorac does better than glyphosate.
    """
    weed = base.weeds["field-bindweed"]
    best = max(weed.control, key=lambda a: weed.control[a].share)
    assert best == "quinclorac"
    assert weed.control["quinclorac"].share > weed.control["glyphosate"].share
    alone, mixed = weed.control["2,4-D"].share, weed.control["dicamba"].share
    assert alone < mixed < weed.control["quinclorac"].share
    preventers = [a.name for p in base.products.values() if p.acts_through == "soil"
                  for a in p.actives]  # fmt: skip
    assert max(weed.control[a].share for a in preventers) <= 0.05
    assert base.products["kettlebrook-quinclorac"].lists("field-bindweed") == "controls"
    assert base.products["larkmoor-broadleaf"].lists("field-bindweed") == "suppresses"


@pytest.mark.parametrize(
    ("weed", "actives"),
    [
        ("dandelion", {"2,4-D"}),
        ("canada-thistle", {"clopyralid"}),
        ("white-clover", {"triclopyr", "clopyralid", "dicamba", "quinclorac"}),
    ],
)
def test_best_in_fall_as_published(base: KnowledgeBase, weed: str, actives: set[str]) -> None:
    """sdsu-fall-perennial-weeds: the auxins named as best for a weed in early fall kill two thirds
    of it or more at their best here, and 10 to 30 September lie in a best or fair season.
    """
    control = base.weeds[weed].control
    assert min(control[a].share for a in actives) >= 0.66
    assert {on(base.weeds[weed], day)[0] for day in days("09-10", "09-30")} <= {"best", "fair"}


def test_thistle_wants_clopyralid(base: KnowledgeBase) -> None:
    """sdsu-fall-perennial-weeds: clopyralid is named for thistle, in early fall."""
    weed = base.weeds["canada-thistle"]
    assert max(weed.control, key=lambda a: weed.control[a].share) == "clopyralid"
    assert {on(weed, day)[0] for day in days("09-01", "10-15")} == {"best"}


def test_quackgrass_has_no_selective(base: KnowledgeBase) -> None:
    """illinois-perennial-grasses: nothing takes quackgrass or tall fescue out of a cool-season lawn
    but glyphosate on the spot.
    """
    for weed in ("quackgrass", "tall-fescue-clump"):
        listing = {p.id for p in base.products.values() if p.lists(weed) == "controls"}
        assert listing == {"cinderwick-total"}
        control = base.weeds[weed].control
        others = [c.share for a, c in control.items() if a not in ("glyphosate", "chlorsulfuron")]
        assert max(others) < 0.5


# ---- seasons -----------------------------------------------------------------------------------


def on(weed: Weed, day: str) -> tuple[str, float]:
    """How well a day suits a weed, and its share."""
    month, number = map(int, day.split("-"))
    season = weed.season_on(DayOfYear(month, number))
    return season.fit, season.share


def days(first: str, last: str) -> list[str]:
    """The days from one to another of a common year, as MM-DD."""
    start, end = (dt.date.fromisoformat(f"2023-{day}") for day in (first, last))
    return [f"{start + dt.timedelta(n):%m-%d}" for n in range((end - start).days + 1)]


@dataclass(frozen=True)
class Window:
    """What a source says of a part of the year."""

    weed: str
    source: str
    first: str
    last: str
    fits: frozenset[str]


BEST, FAIR, POOR = frozenset({"best"}), frozenset({"fair"}), frozenset({"poor"})
WINDOWS = [
    # middle of September to early November
    Window("dandelion", "kansas-fall-dandelion", "09-15", "11-05", BEST),
    # a single spring or summer spray half at most; after bloom beats peak bloom
    Window("dandelion", "kansas-fall-dandelion", "04-01", "08-14", FAIR | POOR),
    # weaker actives 1 October to 1 November, triclopyr and fluroxypyr to the middle of November
    Window("ground-ivy", "purdue-how-late", "10-01", "11-01", BEST),
    Window("ground-ivy", "purdue-how-late", "11-02", "11-15", FAIR),
    # spring bloom does nearly as well
    Window("ground-ivy", "purdue-how-late", "04-20", "05-25", FAIR),
    # late October to early November; spraying it in spring bloom is not worthwhile
    Window("henbit", "kansas-henbit-chickweed", "10-25", "11-10", BEST),
    Window("henbit", "kansas-henbit-chickweed", "04-01", "05-15", POOR),
    Window("purple-deadnettle", "kansas-henbit-chickweed", "10-25", "11-10", BEST),
    Window("purple-deadnettle", "kansas-henbit-chickweed", "04-01", "05-15", POOR),
    # fall is best for perennials
    Window("field-bindweed", "kansas-fall-dandelion", "09-01", "10-05", BEST),
    # early to middle postemergence; small plants
    Window("smooth-crabgrass", "hortscience-2003-quinclorac-crabgrass", "05-15", "06-30", BEST),
    Window("smooth-crabgrass", "hortscience-2003-quinclorac-crabgrass", "08-01", "09-15", POOR),
    # before nutlets form: June
    Window("yellow-nutsedge", "psu-yellow-nutsedge", "06-01", "06-30", BEST),
    # started from 3 June to 5 August it worked every time
    Window("yellow-nutsedge", "psu-yellow-nutsedge", "06-03", "08-05", BEST | FAIR),
    # leaves from January to June, in flower in early May, asleep by early June
    Window("star-of-bethlehem", "kent-county-star-of-bethlehem-2007", "03-15", "04-25", BEST),
    Window("star-of-bethlehem", "kent-county-star-of-bethlehem-2007", "06-16", "12-31", POOR),
    # programs begun in spring did better than in fall
    Window("creeping-bentgrass", "hortscience-2018-mesotrione-bentgrass", "05-01", "06-25", BEST),
    Window("creeping-bentgrass", "hortscience-2018-mesotrione-bentgrass", "09-01", "10-05", FAIR),
    # begun in September; single October sprays 55 % or less
    Window("dallisgrass", "hortscience-2016-dallisgrass", "09-01", "09-30", BEST),
    Window("dallisgrass", "hortscience-2016-dallisgrass", "10-01", "10-31", POOR),
    # few nutlets made before the last half of summer; the leaf fades as fall begins
    Window("purple-nutsedge", "arizona-purple-nutsedge", "06-01", "07-10", BEST),
    Window("purple-nutsedge", "arizona-purple-nutsedge", "09-22", "10-31", POOR),
    # up in late spring or early summer, growing fast all summer, asleep after the first frost
    Window("false-green-kyllinga", "rutgers-kyllinga", "06-21", "08-10", BEST),
    Window("false-green-kyllinga", "rutgers-kyllinga", "11-01", "12-31", POOR),
    # early spring, before the heat puts it half to sleep; growing again in fall
    Window("rough-bluegrass", "rutgers-roughstalk", "04-01", "05-15", BEST),
    Window("rough-bluegrass", "rutgers-roughstalk", "07-01", "08-25", POOR),
    Window("rough-bluegrass", "rutgers-roughstalk", "09-05", "10-20", FAIR),
    # December to February; from March to May the burs are there
    Window("lawn-burweed", "clemson-burweed-column", "12-10", "12-31", BEST),
    Window("lawn-burweed", "clemson-burweed-column", "01-01", "02-28", BEST),
    Window("lawn-burweed", "clemson-burweed-column", "03-06", "05-31", FAIR | POOR),
    # young plants in fall
    Window("catsear", "clemson-catsear", "09-22", "11-05", BEST),
]


@pytest.mark.parametrize("window", WINDOWS, ids=lambda w: f"{w.weed}-{w.first}")
def test_season_as_published(base: KnowledgeBase, window: Window) -> None:
    """Every day of a published window has a season that fits it, by the source that it cites."""
    weed = base.weeds[window.weed]
    assert from_source(weed.seasons_basis, window.source)
    fits = {on(weed, day)[0] for day in days(window.first, window.last)}
    assert fits <= window.fits


def test_every_cited_season_is_checked(base: KnowledgeBase) -> None:
    """The seasons of each weed that cite a source are held against it above."""
    cited = {w.id for w in base.weeds.values() if w.seasons_basis.kind == "source"}
    assert cited == {w.weed for w in WINDOWS}


def test_dandelion_in_spring_and_in_fall(base: KnowledgeBase) -> None:
    """kansas-fall-dandelion: one 2,4-D spray over 90 % in fall, half at most at other times."""
    dandelion = base.weeds["dandelion"]
    share = dandelion.control["2,4-D"].share
    fall = [on(dandelion, day)[1] * share for day in days("09-15", "11-05")]
    spring_and_summer = [on(dandelion, day)[1] * share for day in days("03-21", "08-14")]
    assert min(fall) > 0.9
    assert max(spring_and_summer) <= 0.5


def test_dandelion_after_bloom_beats_bloom(base: KnowledgeBase) -> None:
    """hortscience-2014-dandelion: every mix did better after bloom than some did at peak bloom."""
    dandelion = base.weeds["dandelion"]
    assert on(dandelion, "05-25")[1] > on(dandelion, "05-05")[1]
    bloom = rule(base, "taproot-in-full-bloom")
    assert from_source(bloom.basis, "hortscience-2014-dandelion")
    assert 1 - bloom.loss["taproot"] >= 0.8


def test_dandelion_by_the_first_week_of_november(base: KnowledgeBase) -> None:
    """iowa-frost-pasture: 90 to 95 % on 5 November, 34 to 50 % from 10 to 23 November."""
    dandelion = base.weeds["dandelion"]
    share = dandelion.control["2,4-D"].share
    assert 0.9 <= on(dandelion, "11-05")[1] * share <= 0.95
    for day in days("11-10", "11-23"):
        assert 0.34 <= on(dandelion, day)[1] * share <= 0.5


def test_ground_ivy_cares_more_for_the_active_than_for_the_season(base: KnowledgeBase) -> None:
    """turf-research-2017-ground-ivy: over 53 % in spring as in fall for 2,4-D, fluroxypyr and
    triclopyr, so the season matters less than the active.
    """
    ivy = base.weeds["ground-ivy"]
    for active in ("2,4-D", "fluroxypyr", "triclopyr"):
        for day in ("05-01", "10-15"):
            assert ivy.control[active].share * on(ivy, day)[1] > 0.53
    by_season = 1 - on(ivy, "05-01")[1] / on(ivy, "10-15")[1]
    by_active = 1 - ivy.control["quinclorac"].share / ivy.control["triclopyr"].share
    assert by_season < by_active / 2


def test_nutsedge_begun_up_to_august(base: KnowledgeBase) -> None:
    """weed-technol-2021-yellow-nutsedge: more than 95 % from two sprays three weeks apart, begun
    from 3 June to 5 August; psu-yellow-nutsedge: June is better still, before nutlets form.
    """
    nutsedge = base.weeds["yellow-nutsedge"]
    halosulfuron = nutsedge.control["halosulfuron"].share
    summer = days("06-03", "08-26")
    pairs = {
        day: together([halosulfuron * on(nutsedge, d)[1] for d in (day, again)])
        for day, again in zip(summer[:-21], summer[21:], strict=True)
    }
    assert summer[len(pairs) - 1] == "08-05"
    assert min(pairs.values()) > 0.95
    assert max(pairs, key=lambda day: pairs[day]) <= "06-14"


# ---- the weed's year ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weed", "first", "last"),
    [
        ("wild-violet", "04-10", "05-20"),  # psu-wild-violet: April and May
        ("creeping-speedwell", "04-20", "05-25"),  # psu-creeping-speedwell: April and May
        ("field-bindweed", "06-15", "09-15"),  # utah-field-bindweed: most of the season
        ("wild-garlic", "05-01", "06-10"),  # kansas-clumpy-weeds: April to June
        ("star-of-bethlehem", "04-28", "05-20"),  # purdue-spring-beauty: late April and May
    ],
)
def test_flowering_as_published(base: KnowledgeBase, weed: str, first: str, last: str) -> None:
    """The weed is in flower on every day of the months that its source names."""
    flowers = base.weeds[weed].calendar["flowers"]
    for day in days(first, last):
        month, number = map(int, day.split("-"))
        assert flowers.holds(DayOfYear(month, number))


def test_crabgrass_before_goosegrass(base: KnowledgeBase) -> None:
    """pennsylvania-turfgrass-2020-grasses: goosegrass is up three to four weeks after crabgrass."""
    starts = [base.weeds[w].germinates for w in ("smooth-crabgrass", "goosegrass")]
    first, second = (s.first.ordinal for s in starts if s is not None)
    assert 21 <= second - first <= 28


def test_knotweed_before_crabgrass(base: KnowledgeBase) -> None:
    """california-prostrate-knotweed: among the first summer annuals, from late winter on."""
    knotweed = base.weeds["prostrate-knotweed"].germinates
    crabgrass = base.weeds["smooth-crabgrass"].germinates
    assert knotweed is not None
    assert crabgrass is not None
    assert knotweed.first.month in (2, 3)
    assert crabgrass.first.ordinal - knotweed.first.ordinal >= 30


@pytest.mark.parametrize(
    ("weed", "source", "heat"),
    [
        ("smooth-crabgrass", "kent-county-crabgrass-2008", Span(70, 140)),
        ("smooth-crabgrass", "ohio-degree-day-almanac", Span(155, 155)),
        ("smooth-crabgrass", "wvu-germination-degree-days", Span(150, 150)),
        ("smooth-crabgrass", "purdue-crabgrass-germination", Span(200, 200)),
        ("large-crabgrass", "ohio-degree-day-almanac", Span(211, 211)),
        # 150 to 200 after smooth crabgrass
        ("large-crabgrass", "wvu-germination-degree-days", Span(300, 350)),
    ],
)
def test_heat_to_germination_as_published(
    base: KnowledgeBase, weed: str, source: str, heat: Span
) -> None:
    """The degree days at which crabgrass comes up are those of the source that the entry cites:
    simple average of the air over 50 F, counted from the first of January.
    """
    (entry,) = (t for t in base.heat.of_weed(weed) if t.source == source)
    assert (entry.event, entry.heat, entry.measured) == ("germination-start", heat, "air")
    assert (entry.recipe.method, entry.recipe.base, entry.start) == ("average", 50, (1, 1))


@pytest.mark.parametrize(
    ("weed", "source", "mean", "way"),
    [
        ("smooth-crabgrass", "purdue-crabgrass-germination", Span(57, 64), "rising"),
        # summer annual grasses in the top two inches
        ("goosegrass", "wisconsin-crabgrass-timer", Span(60, 70), "rising"),
        # once the soil drops below 70 F
        ("annual-bluegrass", "georgia-annual-bluegrass", Span(70, 70), "falling"),
        # 12 C, the least at which tubers sprouted
        ("yellow-nutsedge", "weed-sci-1973-yellow-nutsedge", Span(54, 54), "rising"),
    ],
)
def test_soil_warmth_as_published(
    base: KnowledgeBase, weed: str, source: str, mean: Span, way: str
) -> None:
    """The warmth of the soil at which a plant comes up is that of the source that it cites."""
    found = [m for m in base.heat.soil_of_weed(weed) if m.event == "germination-start"]
    (entry,) = (m for m in found if m.source == source)
    assert (entry.mean, entry.way) == (mean, way)


def test_goosegrass_comes_up_in_the_middle_of_may(base: KnowledgeBase) -> None:
    """maryland-annual-grasses: generally after 15 May in central Maryland, and all summer long."""
    germinates = base.weeds["goosegrass"].germinates
    assert germinates is not None
    assert (germinates.first.month, germinates.first.day) == (5, 15)
    assert from_source(base.weeds["goosegrass"].germinates_basis, "maryland-annual-grasses")
    assert germinates.last.month == 8


def test_crabgrass_goes_on_emerging(base: KnowledgeBase) -> None:
    """crop-sci-1996-crabgrass-abstract: from 42 to 78 degree days C (base 12) at the first plant to
    140 to 230 in the main flush, which is weeks, not days: a month of germination at least.
    """
    germinates = base.weeds["smooth-crabgrass"].germinates
    assert germinates is not None
    assert germinates.days > 60
    late = rule(base, "into-the-main-flush")
    assert from_source(late.basis, "crop-sci-1996-crabgrass-abstract")
    assert late.loss["seed-only"] > rule(base, "after-the-first-came-up").loss["seed-only"]


def test_a_preventer_for_henbit_goes_down_in_september(base: KnowledgeBase) -> None:
    """kansas-henbit-chickweed: a preventer early to middle September, so it comes up then."""
    for weed in ("henbit", "purple-deadnettle"):
        germinates = base.weeds[weed].germinates
        assert germinates is not None
        assert (9, 1) <= (germinates.first.month, germinates.first.day) <= (9, 20)


def test_nutsedge_tops_die_at_hard_frost(base: KnowledgeBase) -> None:
    """psu-yellow-nutsedge: the tops die at hard frost, so they are gone by November."""
    gone = base.weeds["yellow-nutsedge"].calendar["dies_back"]
    assert gone.last.month == 10


# ---- seed and pieces ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weed", "source", "years"),
    [
        ("annual-bluegrass", "oregon-seed-survival", Span(0, 5)),  # up to about five years
        ("quackgrass", "oregon-seed-survival", Span(0, 4)),  # up to four, all dead by 3.7
        ("field-bindweed", "wsu-field-bindweed", Span(0, 50)),  # up to fifty
        ("common-chickweed", "weed-sci-2006-alaska-seed", Span(9.7, 20)),  # 2 to 5 % at 9.7
        ("prostrate-knotweed", "weed-sci-2006-alaska-seed", Span(9.7, 20)),  # under 1 % at 9.7
        ("yellow-nutsedge", "psu-yellow-nutsedge", Span(1, 5)),  # tubers sleep one to several
        ("creeping-speedwell", "psu-creeping-speedwell", Span(0, 0)),  # no live seed
    ],
)
def test_seed_life_as_published(base: KnowledgeBase, weed: str, source: str, years: Span) -> None:
    """The longest life of a seed (or nutlet) is what its source says, in years."""
    entry = base.weeds[weed]
    assert from_source(entry.seed_life_basis, source)
    assert years.low <= entry.seed_life_years.high <= years.high


def test_thistle_seed_lasts_over_twenty_years(base: KnowledgeBase) -> None:
    """ndsu-pest-report-2000: Canada thistle seed lives more than 20 years in the soil."""
    assert base.weeds["canada-thistle"].seed_life_years.high > 20


def test_annual_grasses_lose_their_seed_sooner(base: KnowledgeBase) -> None:
    """weed-sci-nebraska-seed, 41 species for 17 years: annual grasses 28 % in years 1 to 4 and
    4 % after 9, annual broadleaves 26 and 11 %; a grass outlives no broadleaf annual by far.
    """
    for weed in ("smooth-crabgrass", "goosegrass"):
        life = base.weeds[weed].seed_life_years
        assert life.high >= 4
        assert life.high < base.weeds["henbit"].seed_life_years.high


@pytest.mark.parametrize(
    ("weed", "source"),
    [
        ("dandelion", "ohio-dandelion-fall"),  # pieces an inch long
        ("canada-thistle", "ndsu-pest-report-2000"),  # bits under an inch
        ("field-bindweed", "wsu-field-bindweed"),
        ("quackgrass", "maryland-perennial-grasses"),  # any joint; tilling spreads it
        ("wild-bermudagrass", "tennessee-bermudagrass"),  # shoots from rhizomes
        ("wild-garlic", "missouri-wild-garlic"),  # bulblets stay when pulled
    ],
)
def test_regrows_from_pieces_as_published(base: KnowledgeBase, weed: str, source: str) -> None:
    """Weeds that their source says grow again from pieces do so here."""
    entry = base.weeds[weed]
    assert entry.regrows_from_pieces == "yes"
    assert from_source(entry.regrows_basis, source)


# ---- habit and looks ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weed", "source", "cycle"),
    [
        ("dandelion", "can-j-plant-sci-2002-dandelion", "perennial"),
        ("ground-ivy", "hortech-2004-ground-ivy", "perennial"),
        ("wild-violet", "psu-wild-violet", "perennial"),
        ("buckhorn-plantain", "illinois-buckhorn-plantain", "perennial"),
        ("black-medic", "illinois-leaflets-of-three", "summer-annual"),
        ("yellow-woodsorrel", "msu-yellow-woodsorrel", "perennial"),
        ("henbit", "kentucky-henbit-deadnettle", "winter-annual"),
        ("purple-deadnettle", "kentucky-henbit-deadnettle", "winter-annual"),
        ("prostrate-knotweed", "california-prostrate-knotweed", "summer-annual"),
        ("spotted-spurge", "extension-spurge-answer", "summer-annual"),
        ("creeping-speedwell", "psu-creeping-speedwell", "perennial"),
        ("english-daisy", "wsu-english-daisy", "perennial"),
        ("smooth-crabgrass", "colorado-annual-grasses", "summer-annual"),
        ("annual-bluegrass", "maryland-perennial-grasses", "winter-annual"),
        ("quackgrass", "illinois-perennial-grasses", "perennial"),
        ("tall-fescue-clump", "illinois-perennial-grasses", "perennial"),
        ("nimblewill", "maryland-perennial-grasses", "perennial"),
        ("creeping-bentgrass", "illinois-perennial-grasses", "perennial"),
        ("yellow-nutsedge", "psu-yellow-nutsedge", "perennial"),
        ("star-of-bethlehem", "kent-county-star-of-bethlehem-2007", "perennial"),
    ],
)
def test_life_cycle_as_published(base: KnowledgeBase, weed: str, source: str, cycle: str) -> None:
    """How long a plant lives is what the source it cites says."""
    assert base.weeds[weed].life_cycle == cycle
    assert from_source(base.weeds[weed].life_cycle_basis, source)


@pytest.mark.parametrize(
    ("weed", "source", "habit"),
    [
        ("dandelion", "can-j-plant-sci-2002-dandelion", "taproot"),
        ("white-clover", "purdue-white-clover", "stolons"),
        ("ground-ivy", "psu-turf-weed-descriptions", "stolons"),
        ("buckhorn-plantain", "illinois-buckhorn-plantain", "fibrous-crown"),
        ("black-medic", "illinois-leaflets-of-three", "seed-only"),
        ("yellow-woodsorrel", "msu-yellow-woodsorrel", "rhizomes"),
        ("henbit", "kentucky-henbit-deadnettle", "seed-only"),
        ("purple-deadnettle", "kentucky-henbit-deadnettle", "seed-only"),
        ("prostrate-knotweed", "california-prostrate-knotweed", "seed-only"),
        ("spotted-spurge", "extension-spurge-answer", "seed-only"),
        ("creeping-speedwell", "psu-creeping-speedwell", "stolons"),
        ("field-bindweed", "wsu-field-bindweed", "creeping-roots"),
        ("quackgrass", "illinois-perennial-grasses", "rhizomes"),
        ("tall-fescue-clump", "illinois-perennial-grasses", "fibrous-crown"),
        ("nimblewill", "psu-turf-weed-descriptions", "stolons"),
        ("creeping-bentgrass", "illinois-perennial-grasses", "stolons"),
        ("yellow-nutsedge", "psu-yellow-nutsedge", "tubers"),
        ("wild-garlic", "missouri-wild-garlic", "bulbs"),
        ("star-of-bethlehem", "kent-county-star-of-bethlehem-2008", "bulbs"),
        ("wild-bermudagrass", "tennessee-bermudagrass", "rhizomes"),
    ],
)
def test_habit_as_published(base: KnowledgeBase, weed: str, source: str, habit: str) -> None:
    """How a plant spreads and lives over is what the source it cites says."""
    assert base.weeds[weed].habit == habit
    assert from_source(base.weeds[weed].habit_basis, source)


@pytest.mark.parametrize(
    ("weed", "traits"),
    [
        # psu-turf-weed-descriptions
        ("ground-ivy", {"stem": "square", "leaves": "opposite", "leaf_shape": "round-scalloped"}),
        ("ground-ivy", {"smell": "mint", "flower": "blue-purple", "flower_form": "trumpet"}),
        ("nimblewill", {"ligule": "membrane", "auricles": "none", "winter": "brown"}),
        # psu-wild-violet
        ("wild-violet", {"leaves": "basal", "leaf_shape": "heart", "flower_form": "five-petal"}),
        # illinois-leaflets-of-three
        ("white-clover", {"leaf_shape": "trifoliate-oval", "flower": "white"}),
        ("black-medic", {"leaf_shape": "trifoliate-oval", "flower": "yellow"}),
        ("yellow-woodsorrel", {"leaf_shape": "trifoliate-heart", "flower_form": "five-petal"}),
        # kentucky-henbit-deadnettle
        ("henbit", {"stem": "square"}),
        ("purple-deadnettle", {"stem": "square"}),
        # california-prostrate-knotweed, extension-spurge-answer
        ("prostrate-knotweed", {"leaves": "alternate", "sap": "clear"}),
        ("spotted-spurge", {"leaves": "opposite", "sap": "milky"}),
        # psu-creeping-speedwell
        ("creeping-speedwell", {"leaf_shape": "round-scalloped", "flower_form": "four-petal"}),
        # utah-field-bindweed
        ("field-bindweed", {"leaf_shape": "arrowhead", "flower_form": "trumpet"}),
        # illinois-perennial-grasses
        ("quackgrass", {"auricles": "clasping", "root": "rhizomes"}),
        # psu-yellow-nutsedge
        ("yellow-nutsedge", {"stem": "triangular", "root": "nutlets"}),
        # kansas-clumpy-weeds and missouri-wild-garlic
        ("wild-garlic", {"smell": "onion", "root": "bulbs"}),
        ("star-of-bethlehem", {"smell": "none", "flower": "white"}),
        # vegetative-key-turfgrasses
        ("wild-bermudagrass", {"ligule": "hairs", "winter": "brown"}),
        ("annual-bluegrass", {"bud": "folded", "ligule": "membrane"}),
    ],
)
def test_looks_as_published(base: KnowledgeBase, weed: str, traits: dict[str, str]) -> None:
    """The characters that the sources name for a plant are those it is known by here."""
    assert traits.items() <= base.weeds[weed].traits.items()


# ---- how often and how far apart ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("weed", "source", "applications", "soonest"),
    [
        # a second spray 28 days after the first
        ("ground-ivy", "purdue-ground-ivy", 2, 28),
        # twice, three weeks apart
        ("yellow-nutsedge", "weed-technol-2021-yellow-nutsedge", 2, 21),
        # three, two weeks apart in bluegrass and three in ryegrass
        ("creeping-bentgrass", "ohio-bentgrass", 3, 14),
        # once at moderate pressure, three times at severe, two to three weeks apart
        ("smooth-crabgrass", "hortscience-2003-quinclorac-crabgrass", 1, 14),
        # twice, three weeks apart
        ("star-of-bethlehem", "kent-county-star-of-bethlehem-2008", 2, 21),
    ],
)
def test_retreatments_as_published(
    base: KnowledgeBase, weed: str, source: str, applications: int, soonest: int
) -> None:
    """At least how many sprayings a weed takes, and how soon the next may follow."""
    entry = base.weeds[weed].retreatments
    assert from_source(entry.basis, source)
    assert (entry.applications[0], entry.interval_days[0]) == (applications, soonest)


def test_crabgrass_takes_up_to_three(base: KnowledgeBase) -> None:
    """hortscience-2003-quinclorac-crabgrass: severe pressure needed three sprays."""
    assert base.weeds["smooth-crabgrass"].retreatments.applications[1] == 3
    assert base.weeds["smooth-crabgrass"].retreatments.interval_days == (14, 21)


def test_garlic_takes_three_years(base: KnowledgeBase) -> None:
    """missouri-wild-garlic: complete control may need three years."""
    assert base.weeds["wild-garlic"].retreatments.seasons == 3


@pytest.mark.parametrize(
    ("product", "weed", "interval"),
    [
        ("rustfield-iron", "dandelion", 28),  # maryland-iron: after four weeks
        ("fellmark-ester", "ground-ivy", 28),  # purdue-ground-ivy
        ("larkmoor-broadleaf", "ground-ivy", 28),
        ("reedholm-sedge", "yellow-nutsedge", 21),  # weed-technol-2021-yellow-nutsedge
        ("palewater-white", "creeping-bentgrass", 14),  # ohio-bentgrass
        ("quickfell-spot", "star-of-bethlehem", 21),  # kent-county-star-of-bethlehem-2008
    ],
)
def test_labels_allow_the_published_repeat(
    base: KnowledgeBase, product: str, weed: str, interval: int
) -> None:
    """The demo label lets the weed be sprayed again as soon as the trials did."""
    assert base.products[product].interval_days == interval
    assert base.weeds[weed].retreatments.interval_days[0] >= interval


def test_regrowth_shows_after_three_weeks(base: KnowledgeBase) -> None:
    """purdue-ground-ivy: regrowth about 24 days after spraying; grown leaves from 21 days tell."""
    for name in ("creeper-back-in-its-place", "shoots-where-the-old-plants-stood"):
        found = rule(base, name)
        assert from_source(found.basis, "purdue-ground-ivy")
        assert condition(found, "days_watched").low == 21


# ---- rules -------------------------------------------------------------------------------------


def rule(base: KnowledgeBase, name: str) -> Rule:
    """A rule by its id."""
    return next(r for r in base.rules() if r.id == name)


def forms(found: Rule) -> frozenset[str]:
    """The formulations that a rule is about; none where it is about any."""
    asked = [c.options for k in found.clauses for c in k.conditions if c.fact == "formulation"]
    return asked[0] if asked else frozenset()


def condition(found: Rule, fact: str) -> Condition:
    """The condition of a rule on a fact."""
    return next(c for clause in found.clauses for c in clause.conditions if c.fact == fact)


def test_hard_water_as_published(base: KnowledgeBase) -> None:
    """usga-hard-water: treat above 200 ppm; weed-technol-2020-water-hardness: 2,4-D amine loses
    from 390 to 422 ppm; weed-technol-hardness-choline: 20 % and more lost at 1000 ppm.
    """
    bounds = {
        "hard-water-some": (200, "usga-hard-water"),
        "hard-water-much": (400, "weed-technol-2020-water-hardness"),
        "hard-water-extreme": (1000, "weed-technol-hardness-choline"),
    }
    losses = []
    for name, (bound, source) in bounds.items():
        found = rule(base, name)
        assert condition(found, "water_hardness").low == bound
        assert from_source(found.basis, source)
        losses.append(found.loss["taproot"])
    assert 390 <= bounds["hard-water-much"][0] <= 422
    assert losses == sorted(losses)
    assert losses[-1] == pytest.approx(0.2)


def test_drought_as_published(base: KnowledgeBase) -> None:
    """drought-wild-oat-dose: drought raised the dose for half the effect 1.5 times. On the dose
    curve that costs a good spray (90 %) less and a middling one (60 %) more than the rule does.
    """
    found = rule(base, "dry-ground")
    assert from_source(found.basis, "drought-wild-oat-dose")
    slope = base.settings.dose_slope
    good, middling = (dose_loss(kill, 1 / 1.5, slope) for kill in (0.9, 0.6))
    for loss in found.loss.values():
        assert good <= loss <= middling


def test_rain_as_published(base: KnowledgeBase) -> None:
    """weed-sci-1981-rain: rain within a minute cut an amine far more than an ester, and 24 hours
    were enough for all but the slowest.
    """
    amine = rule(base, "amine-rinsed-at-once")
    assert from_source(amine.basis, "weed-sci-1981-rain")
    assert forms(amine) == {"amine"}
    an_ester_meets = [r for r in base.causes["washed-off"].rules if forms(r) != {"amine"}]
    assert an_ester_meets
    assert all(r.loss["taproot"] < amine.loss["taproot"] for r in an_ester_meets)
    asked = [p.rainfast_h for p in base.products.values() if p.rainfast_h is not None]
    assert all(0 < hours <= 24 for hours in asked)
    ester, salt = base.products["fellmark-ester"], base.products["larkmoor-broadleaf"]
    assert ester.rainfast_h is not None
    assert salt.rainfast_h is not None
    assert ester.rainfast_h < salt.rainfast_h


def test_a_dry_day_after_as_published(base: KnowledgeBase) -> None:
    """iowa-broadleaf-lawn: no rain or irrigation for 24 hours."""
    found = rule(base, "no-dry-day-ahead")
    assert from_source(found.basis, "iowa-broadleaf-lawn")
    assert condition(found, "dry_hours_ahead").high == 24


def test_mowing_as_published(base: KnowledgeBase) -> None:
    """iowa-broadleaf-lawn: no mowing 2 to 3 days before and 3 to 4 after;
    clemson-safe-applications: 3 to 4 before and 2 to 3 after. Inside two days it costs by both.
    """
    assert condition(rule(base, "mown-two-days-after"), "mowed_after").high == 48
    assert condition(rule(base, "mown-two-days-before"), "mowed_before").high == 48
    for product in base.products.values():
        if product.acts_through == "leaf":
            assert 48 <= product.mow_before_h <= 96
            assert 48 <= product.mow_after_h <= 96


def test_heat_as_published(base: KnowledgeBase) -> None:
    """iowa-broadleaf-lawn: broadleaf sprays not above 85 F; clemson-safe-applications: 90 F. No
    demo label of an auxin allows more than 85, of other leaf sprays only the sedge label over 90.
    """
    for product in base.products.values():
        if product.temperature is None:
            continue
        groups = {a.name for a in product.actives}
        if groups & {"2,4-D", "triclopyr", "dicamba", "mecoprop-P"}:
            assert product.temperature.high <= 85
        elif product.id != "reedholm-sedge":
            assert product.temperature.high <= 90


def test_cold_as_published(base: KnowledgeBase) -> None:
    """spring-dandelion-options: amines are unreliable in the cold and esters steadier, so the demo
    ester may go on in colder weather, and cold costs an amine.
    """
    found = rule(base, "amine-in-the-cold")
    assert from_source(found.basis, "spring-dandelion-options")
    assert condition(found, "formulation").options == {"amine", "salt"}
    ester, amine = base.products["fellmark-ester"], base.products["larkmoor-broadleaf"]
    assert ester.temperature is not None
    assert amine.temperature is not None
    assert ester.temperature.low < amine.temperature.low


def test_wind_as_published(base: KnowledgeBase) -> None:
    """stewardship-weather: at most 8 mph where the label is silent, away from sensitive areas."""
    for name in ("wind-beside-vegetables", "wind-beside-ornamentals"):
        found = rule(base, name)
        assert from_source(found.basis, "stewardship-weather")
        assert condition(found, "wind_now").low == 8


def test_watering_in_as_published(base: KnowledgeBase) -> None:
    """virginia-turf-why-fail: a quarter to a half inch of water within a few days."""
    for product in base.products.values():
        if product.kind == "pre-emergent":
            assert product.water_in_amount is not None
            assert product.water_in_days is not None
            assert 0.25 <= product.water_in_amount.to("in").low <= 0.5
            assert product.water_in_days <= 7
    assert from_source(rule(base, "dry-for-a-week").basis, "virginia-turf-why-fail")


def test_little_water_as_published(base: KnowledgeBase) -> None:
    """kentucky-1986-wild-violets: in a tenth of the water the amine fell far behind, the ester
    hardly; so only the amine has a rule of its own.
    """
    found = rule(base, "amine-in-little-water")
    assert from_source(found.basis, "kentucky-1986-wild-violets")
    assert condition(found, "formulation").options == {"amine"}
    assert condition(found, "volume_of_min").high == 0.5


def test_mowing_height_as_published(base: KnowledgeBase) -> None:
    """ncsu-mowing-height: tall fescue at 2 in 48 % crabgrass, at 3 in 13 %: the least height for
    tall fescue lies between.
    """
    found = rule(base, "cut-below-the-turfs-height")
    assert from_source(found.basis, "ncsu-mowing-height")
    assert 2 < base.turf["tall-fescue"].mowing_height_in.low <= 3


def test_dithiopyr_takes_young_plants(base: KnowledgeBase) -> None:
    """purdue-crabgrass-germination: dithiopyr to one tiller, prodiamine nothing that is up."""
    assert base.products["harrowgate-early"].acts_through == "both"
    assert base.products["stonecroft-preventer"].acts_through == "soil"
    found = rule(base, "early-product-on-grown-plants")
    assert from_source(found.basis, "purdue-crabgrass-germination")
    assert "seedling" not in condition(found, "stage").options


# ---- labels ------------------------------------------------------------------------------------


def test_seeding_after_preventers_as_published(base: KnowledgeBase) -> None:
    """weed-technol-2005-preemergence-seeding: Kentucky bluegrass broadcast 6 weeks after dithiopyr
    and 14 after prodiamine, slit-seeded 11 and 16; the demo labels wait as long.
    """
    assert base.products["harrowgate-early"].seed_after_days >= 11 * 7
    assert base.products["stonecroft-preventer"].seed_after_days >= 16 * 7


def test_seeding_and_quinclorac_as_published(base: KnowledgeBase) -> None:
    """purdue-seed-now: quinclorac 7 days before seeding or 28 days after."""
    product = base.products["kettlebrook-quinclorac"]
    assert (product.seed_after_days, product.new_grass_days) == (7, 28)


def test_seeding_and_mesotrione_as_published(base: KnowledgeBase) -> None:
    """purdue-seed-now: mesotrione may go on at seeding."""
    assert base.products["palewater-white"].seed_after_days == 0


def test_mesotrione_in_a_year_as_published(base: KnowledgeBase) -> None:
    """hortscience-2018-mesotrione-bentgrass: 560 g/ha in a year; the demo label stays within it."""
    product = base.products["palewater-white"]
    assert product.yearly_amount is not None
    yearly = product.yearly_amount.to("fl oz/1000 ft2").high
    assert 0.5 <= kg_per_ha(product, yearly) <= 0.56


def test_ethofumesate_as_published(base: KnowledgeBase) -> None:
    """ncsu-annual-bluegrass-cool-season: 1 lb an acre at a time; hortscience-ethofumesate-ryegrass:
    1.1 + 1.1 kg/ha is the most that Kentucky bluegrass stands, so that is the demo label's year.
    The second follows after 21 to 28 days.
    """
    product = base.products["dellbrook-wintergrass"]
    rate = product.rate_for("annual-bluegrass")
    assert rate is not None
    dose = kg_per_ha(product, rate.amount.to("fl oz/1000 ft2").low)
    assert dose == pytest.approx(1.12, abs=0.01)
    assert product.yearly_amount is not None
    year = kg_per_ha(product, product.yearly_amount.to("fl oz/1000 ft2").high)
    assert year == pytest.approx(2.2, abs=0.05)
    assert {"perennial-ryegrass", "kentucky-bluegrass", "tall-fescue"} <= {*product.turf_tolerant}
    assert 21 <= product.interval_days <= 28


def test_iron_as_published(base: KnowledgeBase) -> None:
    """maryland-iron: dead within hours, again after four weeks, four times a year at most, grass
    unharmed.
    """
    product = base.products["rustfield-iron"]
    assert product.first_days.high <= 1
    assert (product.interval_days, product.per_year) == (28, 4)
    assert product.turf_injured == ()


def test_pelargonic_acid_as_published(base: KnowledgeBase) -> None:
    """ncsu-pelargonic-acid: 3 to 10 % of the spray on spots; seedlings die, weaker on grasses,
    perennials lose their tops only.
    """
    product = base.products["sharpcombe-burn"]
    assert product.spot is not None
    assert 3 <= product.spot.to("fl oz/gal").low / 128 * 100 <= 10
    young = {w.id: w for w in base.weeds.values() if w.life_cycle.endswith("-annual")}
    acid = {w: base.weeds[w].control["pelargonic acid"].share for w in base.weeds}
    broad = [acid[w] for w in young if young[w].plant_group == "broadleaf"]
    grasses = [acid[w] for w in young if young[w].plant_group == "grass"]
    assert max(grasses) < sum(broad) / len(broad)
    assert max(share for w, share in acid.items() if w not in young) < LITTLE


def test_surfactants_as_published(base: KnowledgeBase) -> None:
    """agronomy-meeting-2011-annual-bluegrass: mesotrione with non-ionic surfactant;
    weed-technol-quinclorac-bentgrass: quinclorac with methylated seed oil. Their demo labels call
    for one.
    """
    for product in ("palewater-white", "kettlebrook-quinclorac"):
        assert base.products[product].surfactant.called_for


def test_sources_are_listed(base: KnowledgeBase) -> None:
    """Every source named by a check above is listed in sources.yaml."""
    named = {t.source for t in (*IN_RANGE, *REACHED)} | {w.source for w in WINDOWS}
    assert named <= base.sources.keys()
