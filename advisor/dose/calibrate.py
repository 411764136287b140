"""What a sprayer or spreader puts out, from what was caught, refilled, timed or paced.

The methods are plain arithmetic on exact numbers; `collected` runs them on what somebody wrote
down, and `calibration` sets the result against a label and a tank. What should be wanted where no
label says so is not decided here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.asking import GRANULE, matter_of
from advisor.dose.exact import AREA, OUTPUT, UNITS, Measure, Pair, both, measure
from advisor.dose.limits import ACRE, label_limits
from advisor.dose.remark import Remark, remark
from advisor.dose.sprayer import Adjust, adjust, carrier, leaves
from advisor.equipment import Drops, Sprayers
from advisor.model import Product, Weed

COURSE = ACRE / 128
"""1/128 acre, in 1,000 ft2: the fluid ounces caught on it are the gallons per acre."""

BOOM = 5940
"""43,560 ft2 an acre x 12 in a foot / 88 ft a minute at 1 mph."""

SPREAD = "lb/1000 ft2"
SPRAYER, SPREADER = "sprayer", "spreader"


def mean(runs: Sequence[Fraction]) -> Fraction:
    """The mean of several runs."""
    return sum(runs, Fraction(0)) / len(runs)


def caught_over(caught: Fraction, area: Fraction) -> Fraction:
    """Output from what was caught, refilled or spread over an area."""
    return caught / area


def caught_in_time(
    caught: Fraction, caught_s: Fraction, cover_s: Fraction, area: Fraction
) -> Fraction:
    """Output from a jar filled for some seconds and the seconds it takes to cover a plot."""
    return caught * cover_s / caught_s / area


def boom(gal_per_min: Fraction, mph: Fraction, spacing_in: Fraction) -> Fraction:
    """Gallons per acre of a boom: 5,940 x flow of one nozzle / (speed x nozzle spacing)."""
    return BOOM * gal_per_min / (mph * spacing_in)


def course_length(swath_ft: Fraction, area: Fraction = COURSE) -> Fraction:
    """How long a course of an area is for a swath, in feet."""
    return area * 1000 / swath_ft


def plants(each: Fraction, count: int) -> Fraction:
    """Spray for a number of plants that take as much each."""
    return each * count


def per_acre(output: Fraction) -> Fraction:
    """Gallons per acre from gallons per 1,000 ft2; pounds likewise."""
    return output * ACRE


def per_thousand(output: Fraction) -> Fraction:
    """Gallons per 1,000 ft2 from gallons per acre; pounds likewise."""
    return output / ACRE


@dataclass(frozen=True, slots=True)
class Found:
    """What a method found: gal (a spreader: lb) per 1,000 ft2, and how.

    What else was learned on the way stands beside it: `cover` seconds for the plot, `pace` in mph,
    `flow` of one nozzle in gal a minute, the class of its `drops`.
    """

    method: str
    output: Fraction
    how: Remark
    of: str = SPRAYER
    cover: Fraction | None = None
    pace: Fraction | None = None
    flow: Fraction | None = None
    drops: Drops | None = None

    @property
    def unit(self) -> str:
        """The unit of the output."""
        return OUTPUT if self.of == SPRAYER else SPREAD

    @property
    def per_acre(self) -> Measure:
        """The output per acre."""
        return measure(per_acre(self.output), self.unit.replace(AREA, "acre"))


@dataclass(frozen=True, slots=True)
class Against:
    """What a calibration is set against; all of it may be missing. `wanted` is an output."""

    product: Product | None = None
    weed: Weed | None = None
    tank: Fraction | None = None
    wanted: Pair | None = None


@dataclass(frozen=True, slots=True)
class Calibration:
    """What was found, and what it means: `in_a_gallon` and `in_a_tank` are product."""

    found: Found
    against: Against
    wanted: Pair | None = None
    adjust: Adjust | None = None
    tank_covers: Fraction | None = None
    in_a_gallon: Measure | None = None
    in_a_tank: Measure | None = None
    leaves: str | None = None
    notes: tuple[Remark, ...] = ()


def calibration(found: Found, against: Against, sprayers: Sprayers) -> Calibration:
    """What was found, set against the label's water (a spreader: its rate) and a tank."""
    product, tank = against.product, against.tank
    wanted = against.wanted or _wanted(found, against)
    change = None if wanted is None else adjust(found.output, wanted, sprayers)
    if found.of == SPREADER:
        return Calibration(found, against, wanted, change)
    gallon = _in_a_gallon(against, found.output)
    in_tank = None
    if gallon is not None and tank is not None:
        matter = gallon.unit.partition("/")[0]
        in_tank = Measure(gallon.low * tank, gallon.high * tank, matter)
    return Calibration(
        found,
        against,
        wanted,
        change,
        tank_covers=None if tank is None else tank / found.output,
        in_a_gallon=gallon,
        in_a_tank=in_tank,
        leaves=leaves(found.output, sprayers),
        notes=tuple(_notes(product, found.output, sprayers)),
    )


def _wanted(found: Found, against: Against) -> Pair | None:
    """The label's water, or for a spreader its rate."""
    product = against.product
    if product is None:
        return None
    if found.of == SPREADER:
        limits = _limits(against)
        return None if limits is None else (limits[0] / 16, limits[1] / 16)
    return None if product.water is None else both(product.water, OUTPUT)


def _limits(against: Against) -> Pair | None:
    if against.product is None:
        return None
    weed = against.weed.id if against.weed else None
    found = label_limits(against.product, weed, spot=False)
    return None if found is None else found[0]


def _in_a_gallon(against: Against, output: Fraction) -> Measure | None:
    """Product in each gallon, so that the spray put out carries the label's rate."""
    limits, product = _limits(against), against.product
    if limits is None or product is None or product.formulation == GRANULE:
        return None
    unit = UNITS[f"{matter_of(product)}-per-volume"]
    return Measure(limits[0] / output, limits[1] / output, unit)


def _notes(product: Product | None, output: Fraction, sprayers: Sprayers) -> list[Remark]:
    if product is None:
        return []
    suits = carrier(product, sprayers)
    if suits[0] <= output <= suits[1]:
        return []
    kind = "contact" if product.moves_in_plant == "no" else "moves"
    usual = Measure(*suits, OUTPUT)
    return [remark(f"note-usual-{kind}", product=product.name, usual=usual)]
