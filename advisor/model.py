"""What the knowledge base holds, as frozen dataclasses: weeds, products, causes, rules, facts.

`knowledge.py` builds these from the YAML files and every later module reads them. They hold what
was written, with amounts parsed and names kept as ids, and answer the small questions that need
nothing else (which rate is for this weed, which season is this day). They never read files and
never decide anything about a call.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from advisor.equipment import Sprayers
from advisor.heat import NO_HEAT, Heat
from advisor.speech import ENGLISH, Speech
from advisor.terms import Clause, Condition, Options, Span, Truth, Value
from advisor.units import Amount

CREEPING = "creeping"
HABIT_CLASSES = ("taproot", "creeping", "seed-only")
ALL_CLASSES = "all"


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in a file: 1-based line and column."""

    path: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a figure comes from: a source, common practice, memory or the demo."""

    kind: str
    source: str | None = None
    note: str | None = None


# ---- facts ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice: how it reads, how often it is true, its habit class if any."""

    says: str
    how_often: float
    habit_class: str | None = None


@dataclass(frozen=True, slots=True)
class FactDef:
    """A fact the rules may read: its type, plausible range, question and base rates."""

    id: str
    says: str
    scope: str
    comes: str
    ask: str
    unit: str = ""
    range: Span | None = None
    bands: tuple[tuple[float, float, float], ...] = ()
    options: Mapping[str, Option] = field(default_factory=dict)

    @property
    def is_number(self) -> bool:
        """Whether the fact is a number, else a choice."""
        return self.range is not None

    @property
    def unknown(self) -> Value:
        """The value when nothing was told: the whole range, or all options."""
        return self.range if self.range is not None else Options(frozenset(self.options))

    def chance(self, condition: Condition, value: Value) -> float:
        """How likely the condition holds, given what is known of the fact.

        The base rates of facts.yaml are narrowed to the value: number bands are taken as uniform
        inside, options are weighed by how often each is true.
        """
        truth = condition.truth(value)
        if truth is not Truth.OPEN:
            return 1.0 if truth is Truth.SHOWN else 0.0
        if isinstance(value, Options):
            weights = {o: self.options[o].how_often for o in value.possible}
            whole = sum(weights.values())
            hit = sum(w for o, w in weights.items() if o in condition.options)
            return hit / whole if whole > 0 else len(condition.options) / len(weights)
        low = value.low if condition.low is None else max(condition.low, value.low)
        high = value.high if condition.high is None else min(condition.high, value.high)
        whole = self.mass(value.low, value.high)
        if whole <= 0:
            return (high - low) / (value.high - value.low)
        return min(1.0, self.mass(low, high) / whole)

    def mass(self, low: float, high: float) -> float:
        """How often the fact lies between two numbers."""
        total = 0.0
        for start, end, share in self.bands:
            inside = min(high, end) - max(low, start)
            if inside > 0:
                total += share * inside / (end - start)
        return total


# ---- rules ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Example:
    """Facts set by hand beside a rule: it must fire, or be held back by the facts named."""

    name: str
    given: Mapping[str, Value]
    held_by: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a kind, cause or stop."""

    id: str
    owner: str
    clauses: tuple[Clause, ...]
    because: str
    basis: Basis
    fires: tuple[Example, ...]
    quiet: tuple[Example, ...]
    place: Place
    loss: Mapping[str, float] = field(default_factory=dict)
    loss_from: str | None = None
    weight: Mapping[str, float] = field(default_factory=dict)

    @property
    def facts(self) -> frozenset[str]:
        """The facts the rule reads."""
        return frozenset(f for clause in self.clauses for f in clause.facts)


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to change: for the technician and for the homeowner."""

    do: str
    customer: str


@dataclass(frozen=True, slots=True)
class Cause:
    """A reason for a failure, the kinds of comeback it can explain and the rules that show it."""

    id: str
    group: str
    title: str
    explains: tuple[str, ...]
    what: str
    customer: str
    remedies: tuple[Remedy, ...]
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of comeback and the evidence for it."""

    id: str
    title: str
    what: str
    customer: str
    how_often: float
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that must not be done now, and what lifts it."""

    id: str
    title: str
    what: str
    customer: str
    until: str
    rules: tuple[Rule, ...]


# ---- weeds ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DayOfYear:
    """A month and day of any year; 29 February counts as 28 February."""

    month: int
    day: int

    @classmethod
    def of(cls, date: dt.date) -> DayOfYear:
        """The day of the year of a date."""
        return cls(date.month, min(date.day, 28) if date.month == 2 else date.day)

    @property
    def ordinal(self) -> int:
        """1 to 365, counted in a common year."""
        return dt.date(2023, self.month, self.day).timetuple().tm_yday

    def in_year(self, year: int) -> dt.date:
        """This day in a year."""
        return dt.date(year, self.month, self.day)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the year, from a day to a day, both included; it may run over new year."""

    first: DayOfYear
    last: DayOfYear

    def holds(self, day: DayOfYear) -> bool:
        """Whether the day lies in it."""
        start, end, here = self.first.ordinal, self.last.ordinal, day.ordinal
        return start <= here <= end if start <= end else here >= start or here <= end

    @property
    def days(self) -> int:
        """Its length in a common year."""
        return (self.last.ordinal - self.first.ordinal) % 365 + 1


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


# ---- products ------------------------------------------------------------------------------


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


# ---- the rest ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Site:
    """A feature of a lawn that matters to weeds or to spraying."""

    id: str
    name: str
    says: str
    near_water: bool
    ask: str
    how_often: float


@dataclass(frozen=True, slots=True)
class Turf:
    """A lawn grass, or a group of them."""

    id: str
    name: str
    season: str
    mowing_height_in: Span
    members: tuple[str, ...]
    seeding: tuple[Stretch, ...] = ()


@dataclass(frozen=True, slots=True)
class Month:
    """A month as it usually is: high and low (F), spread of the daily high, rain."""

    high: float
    low: float
    spread: float
    rain_days: float
    rain_in: float


@dataclass(frozen=True, slots=True)
class Region:
    """An invented region: its hemisphere, its frosts, its months, how its weeds' year shifts."""

    id: str
    name: str
    says: str
    hemisphere: str
    latitude: float
    longitude: float
    shift_days: int
    last_spring_frost: DayOfYear
    first_fall_frost: DayOfYear
    months: tuple[Month, ...]

    def weed_day(self, date: dt.date) -> DayOfYear:
        """The day of the north-temperate calendar that a date here corresponds to."""
        days = -self.shift_days + (182 if self.hemisphere == "south" else 0)
        return DayOfYear.of(date + dt.timedelta(days=days))


@dataclass(frozen=True, slots=True)
class Source:
    """A published source."""

    id: str
    type: str
    title: str
    publisher: str
    year: int | None
    locator: str | None
    seen: bool


@dataclass(frozen=True, slots=True)
class Retired:
    """An id that was given up, and what took its place."""

    successor: str
    on: str
    why: str


@dataclass(frozen=True, slots=True)
class Addition:
    """A sentence of an answer that is said only where every test holds."""

    tests: Mapping[str, tuple[str, ...]]
    say: str


@dataclass(frozen=True, slots=True)
class Topic:
    """A question homeowners ask, the ways they put it, and the curated answer."""

    id: str
    title: str
    safety: bool
    lead: str | None
    ask: tuple[str, ...]
    keywords: tuple[str, ...]
    answer: str
    short: str
    add: tuple[Addition, ...]
    technician: str
    related: tuple[str, ...]
    basis: Basis
    place: Place


@dataclass(frozen=True, slots=True)
class Settings:
    """The figures of the model itself."""

    target_survivors: float
    dose_slope: float
    kind_shown_within: float
    kind_ruled_out_beyond: float


@dataclass(frozen=True, slots=True)
class KnowledgeBase:
    """Everything under one knowledge folder, validated."""

    folder: str
    digest: str
    facts: Mapping[str, FactDef]
    weeds: Mapping[str, Weed]
    products: Mapping[str, Product]
    causes: Mapping[str, Cause]
    kinds: Mapping[str, Kind]
    stops: Mapping[str, Stop]
    answers: Mapping[str, Topic]
    sites: Mapping[str, Site]
    turf: Mapping[str, Turf]
    regions: Mapping[str, Region]
    sources: Mapping[str, Source]
    retired: Mapping[str, Retired]
    phrases: Mapping[str, str]
    settings: Settings
    sprayers: Sprayers
    speech: Speech = ENGLISH
    heat: Heat = NO_HEAT

    def rules(self) -> Iterator[Rule]:
        """All rules, tier by tier."""
        for owners in (self.kinds, self.causes, self.stops):
            for owner in owners.values():
                yield from owner.rules

    def habit_class(self, habit: str) -> str:
        """The class of a habit: taproot, creeping or seed-only."""
        return self.facts["habit"].options[habit].habit_class or ALL_CLASSES
