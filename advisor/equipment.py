"""What the knowledge base holds of sprayers, nozzles, drops and measures, as frozen dataclasses.

`build_sprayers` makes them of sprayers.yaml; `dose` reads them, and so does `derive` where a caller
did not measure. They hold what was written and work nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from advisor.units import Amount


@dataclass(frozen=True, slots=True)
class Drops:
    """One class of drops of ASABE S572: from how many microns up, and how much of it drifts."""

    name: str
    letters: str
    microns: float
    droplets: str
    fines: Amount | None


@dataclass(frozen=True, slots=True)
class Sprayers:
    """The figures that belong to no product: see sprayers.yaml for what each means."""

    by_hand: Amount
    carrier_moves: Amount
    carrier_contact: Amount
    spotted_below: Amount
    dripping_from: Amount
    drops: tuple[Drops, ...]
    rated_at: Amount
    pressure_corrects: Amount
    short_at_most: Fraction
    marks: tuple[Amount, ...]
    order: tuple[str, ...]
    most_products: int
    hard_water: Amount
