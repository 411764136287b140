"""A product and what its label says.

Built from `products/` and read wherever a label counts. It answers what the label itself answers
and leaves doses to `advisor.dose`.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.model.base import Basis, Place
from advisor.terms import Span
from advisor.units import Amount


@dataclass(frozen=True, slots=True)
class Active:
    """An active ingredient in a product, by ISO common name."""

    name: str
    group: int
    content: Amount
    basis: str
    form: str


@dataclass(frozen=True, slots=True)
class Rate:
    """An amount of product per area, for the weeds named or for all others."""

    weeds: tuple[str, ...]
    amount: Amount


@dataclass(frozen=True, slots=True)
class Surfactant:
    """What the label says of surfactants."""

    called_for: bool
    kind: str | None
    amount: Amount | None


@dataclass(frozen=True, slots=True)
class Price:
    """What a pack of a product costs, in US dollars."""

    pack: Amount
    cost: float
    basis: Basis


@dataclass(frozen=True, slots=True)
class Product:
    """An invented product and its label."""

    id: str
    name: str
    kind: str
    summary: str
    basis: Basis
    actives: tuple[Active, ...]
    formulation: str
    acts_through: str
    moves_in_plant: str
    rates: tuple[Rate, ...]
    spot: Amount | None
    spot_wet: str | None
    water: Amount | None
    surfactant: Surfactant
    controls: tuple[str, ...]
    suppresses: tuple[str, ...]
    turf_tolerant: tuple[str, ...]
    turf_injured: tuple[str, ...]
    temperature: Span | None
    rainfast_h: float | None
    water_in_amount: Amount | None
    water_in_days: float | None
    dry_leaf: str
    interval_days: float
    per_year: int
    yearly_amount: Amount | None
    seed_after_days: float
    new_grass_days: float
    mow_before_h: float
    mow_after_h: float
    first_days: Span
    full_days: Span
    residual_days: Span | None
    hard_water_sensitive: str
    conflict_groups: tuple[int, ...]
    conflict_why: str | None
    homeowner: str
    near_water: str
    signal_word: str
    protective: tuple[str, ...]
    reentry: str
    storage: str
    keeps_years: float
    stage_limit: tuple[str, ...]
    stage_limit_says: str | None
    place: Place
    price: Price | None = None

    def rate_for(self, weed: str | None) -> Rate | None:
        """The rate for a weed: its own if the label has one, else the general one."""
        general = None
        for rate in self.rates:
            if weed is not None and weed in rate.weeds:
                return rate
            if not rate.weeds and general is None:
                general = rate
        return general

    def lists(self, weed: str) -> str:
        """What the label says of a weed: controls, suppresses or not-listed."""
        if weed in self.controls:
            return "controls"
        return "suppresses" if weed in self.suppresses else "not-listed"
