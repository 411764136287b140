"""What the seed in the soil still brings: the share of seedlings to expect in the years to come.

Used by `beyond`. A stock of seed to which nothing is added is taken to fall by the same share every
year, so that a twentieth is left at the end of the life that the knowledge base gives it; seedlings
fall with the stock. That is about how annual grasses fell in a burial trial of 17 years; seed of
broadleaf weeds has a longer tail than this says.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.model import Weed
from advisor.terms import Span

LEFT_AT_END = 0.05
"""Share of the seed alive at the end of its life: an assumption of ours."""
YEARS_AHEAD = 5


@dataclass(frozen=True)
class SeedYear:
    """Seedlings in a later year as a share of this year's, if no plant seeds: a range."""

    year: int
    low: float
    high: float


def left_after(life_years: float, years: float) -> float:
    """The share of a stock of seed that is alive after some years."""
    return float(LEFT_AT_END ** (years / life_years))


def seed_years(weed: Weed, years: int = YEARS_AHEAD) -> list[SeedYear]:
    """The years to come for a weed that lawns get from seed; nothing for others."""
    if weed.germinates is None:
        return []
    life: Span = weed.seed_life_years
    return [
        SeedYear(year, left_after(life.low, year), left_after(life.high, year))
        for year in range(1, years + 1)
    ]
