"""A weed: how it lives, what kills it, when, how often, where it cannot be beaten.

Built from `weeds/` and read by everything that judges or plans. It holds what was written; the
kill model stands in `advisor.control`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.model.base import Basis, Exemption, Place
from advisor.model.calendar import DayOfYear, Stretch
from advisor.terms import Span


@dataclass(frozen=True, slots=True)
class Season:
    """How well a part of the year suits treating this weed."""

    stretch: Stretch
    fit: str
    share: float
    why: str


@dataclass(frozen=True, slots=True)
class Control:
    """Share of the weed's living units that one well-made application of an active kills."""

    share: float
    low: float
    high: float
    basis: Basis


@dataclass(frozen=True, slots=True)
class Retreatments:
    """How many applications the trade expects, how far apart, over how many seasons."""

    applications: tuple[int, int]
    interval_days: tuple[int, int]
    seasons: int
    note: str | None
    basis: Basis


@dataclass(frozen=True, slots=True)
class Resistance:
    """Plants reported that an active no longer kills."""

    actives: tuple[str, ...]
    note: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class SiteLimit:
    """What can be had of this weed on a site with this feature."""

    feature: str
    outlook: str
    because: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Lookalike:
    """A plant it is taken for, and the character that decides."""

    weed: str
    decide: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Saying:
    """A sentence of a professional, with its origin."""

    say: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Weed:
    """A weed species: how it lives, what kills it, when, how often, where it cannot be beaten."""

    id: str
    name: str
    also: tuple[str, ...]
    latin: str
    family: str
    plant_group: str
    life_cycle: str
    life_cycle_basis: Basis
    habit: str
    habit_basis: Basis
    unit: str
    growth_form: str
    leaf_surface: str
    regrows_from_pieces: str
    regrows_basis: Basis
    seed_life_years: Span
    seed_life_basis: Basis
    likes_wet_soil: str
    likes_thin_turf: str
    favoured_by: tuple[str, ...]
    kept_out_by: tuple[Saying, ...]
    control: Mapping[str, Control]
    seasons: tuple[Season, ...]
    seasons_basis: Basis
    calendar: Mapping[str, Stretch]
    germinates: Stretch | None
    retreatments: Retreatments
    resistance: tuple[Resistance, ...]
    sites: tuple[SiteLimit, ...]
    traits: Mapping[str, str]
    lookalikes: tuple[Lookalike, ...]
    specials: tuple[Saying, ...]
    place: Place
    exempt: tuple[Exemption, ...] = ()
    calendar_bases: Mapping[str, Basis] = field(default_factory=dict)
    germinates_basis: Basis | None = None

    def season_on(self, day: DayOfYear) -> Season:
        """The season of a day of the weed's own (north-temperate) calendar."""
        for season in self.seasons:
            if season.stretch.holds(day):
                return season
        raise LookupError(f"{self.id} has no season for {day.month:02}-{day.day:02}")

    @property
    def names(self) -> tuple[str, ...]:
        """All names it goes by."""
        return (self.name, *self.also, self.latin)
