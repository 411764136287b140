"""Facts of sprayers: flow and pressure, pace, swath, drops, how wet leaves get, what to change.

`calibrate` and `derive` build on it. Everything is geometry or proportion on exact numbers; the
figures that are no such thing stand in sprayers.yaml.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.exact import OUTPUT, Pair, both, inside
from advisor.equipment import Drops, Sprayers
from advisor.model import Product

FEET_A_MINUTE = 88
"""One mile an hour."""


def pace(feet: Fraction, seconds: Fraction) -> Fraction:
    """Walking speed in mph over a course."""
    return feet / seconds * 60 / FEET_A_MINUTE


def flow(rated: Fraction, rated_at: Fraction, pressure: Fraction) -> Fraction:
    """Flow of a nozzle at a pressure, in the unit it is rated in.

    It goes with the square root of the pressure, so that twice the flow takes four times the
    pressure. The root is taken to twelve digits.
    """
    return rated * Fraction(math.sqrt(pressure / rated_at)).limit_denominator(10**12)


def pressure_for(factor: Fraction) -> Fraction:
    """How many times the pressure it takes for so many times the flow."""
    return factor**2


def swath(height: Fraction, degrees: Fraction) -> Fraction:
    """Width that a fan nozzle held straight down covers, in the unit of its height."""
    half = math.tan(math.radians(float(degrees) / 2))
    return 2 * height * Fraction(half).limit_denominator(10**12)


def output(gal_per_min: Fraction, mph: Fraction, swath_ft: Fraction) -> Fraction:
    """Spray per area in gal per 1,000 ft2, from flow, walking speed and width covered."""
    return gal_per_min / (mph * FEET_A_MINUTE * swath_ft) * 1000


def drops_of(microns: float, sprayers: Sprayers) -> Drops:
    """The class of a spray by its volume median diameter. The bounds are a rough guide."""
    reached = [each for each in sprayers.drops if microns >= each.microns]
    return reached[-1] if reached else sprayers.drops[0]


def drops_named(name: str, sprayers: Sprayers) -> Drops | None:
    """The class of a name or of the letters of a nozzle chart: `very coarse`, `VC`."""
    key = name.strip().lower().replace(" ", "-")
    return next((d for d in sprayers.drops if key in (d.name, d.letters.lower())), None)


# ---- what to change --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Adjust:
    """How to get from an output into the range wanted.

    `factor` is by how much the output has to go up; the pace goes down by as much, a nozzle is
    larger by as much, and the pressure goes up with its square.
    """

    target: Fraction
    factor: Fraction
    by_pressure: bool

    @property
    def pace(self) -> Fraction:
        """What to walk, as a share of the pace now."""
        return 1 / self.factor

    @property
    def pressure(self) -> Fraction:
        """What pressure it takes, as a multiple of the pressure now."""
        return pressure_for(self.factor)


def adjust(put_out: Fraction, wanted: Pair, sprayers: Sprayers) -> Adjust | None:
    """What brings an output to the nearest end of the range wanted; None where it is in it."""
    side, _ = inside(put_out, wanted)
    if side == 0:
        return None
    target = wanted[0] if side < 0 else wanted[1]
    factor = target / put_out
    low, high = both(sprayers.pressure_corrects, "x")
    return Adjust(target, factor, low <= factor <= high)


SPOTTED, WET, DRIPPING = "spotted", "wet", "dripping"


def leaves(put_out: Fraction, sprayers: Sprayers) -> str:
    """How wet the leaves of a lawn get: spotted, wet or dripping."""
    if put_out < both(sprayers.spotted_below, OUTPUT)[0]:
        return SPOTTED
    return DRIPPING if put_out >= both(sprayers.dripping_from, OUTPUT)[1] else WET


def carrier(product: Product, sprayers: Sprayers) -> Pair:
    """The spray per area that suits how a product works, for labels that leave a wide choice."""
    contact = product.moves_in_plant == "no"
    return both(sprayers.carrier_contact if contact else sprayers.carrier_moves, OUTPUT)
