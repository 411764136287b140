"""The warmth that brings weeds to a stage, and the weather that suits a spraying, as written.

Built from heat.yaml and kept in the knowledge base; `growth` dates events with it, the weather page
judges days by it. Everything is in F, with what was written beside it; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.degree_days import Recipe
from advisor.terms import Span

AIR, SOIL = "air", "soil"
RISING, FALLING = "rising", "falling"
GERMINATION, FLUSH = "germination-start", "germination-main"
BLOOM, PAST_BLOOM = "bloom-start", "bloom-end"


@dataclass(frozen=True, slots=True)
class Threshold:
    """A stage of a weed by accumulated warmth: total (F-days), how it is counted, from which day.

    `written` is the total as its source has it; `start` a month and day of the northern year.
    """

    id: str
    weed: str
    event: str
    says: str
    heat: Span
    written: str
    recipe: Recipe
    measured: str
    depth: str | None
    start: tuple[int, int]
    then_days: tuple[int, int]
    basis: str
    source: str | None


@dataclass(frozen=True, slots=True)
class SoilMean:
    """A stage of a weed by the daily mean of the soil (F), rising or falling to it."""

    id: str
    weed: str
    event: str
    says: str
    mean: Span
    way: str
    depth: str | None
    basis: str
    source: str | None


@dataclass(frozen=True, slots=True)
class Suits:
    """Weather that suits a spraying where no label says otherwise."""

    temperature: Span = field(default_factory=lambda: Span(50, 85))
    delta_t: Span = field(default_factory=lambda: Span(3.6, 14.4))
    delta_t_never: float = 18.0


@dataclass(frozen=True, slots=True)
class Heat:
    """Everything in heat.yaml."""

    thresholds: Mapping[str, Threshold] = field(default_factory=dict)
    soil: Mapping[str, SoilMean] = field(default_factory=dict)
    suits: Suits = field(default_factory=Suits)

    def of_weed(self, weed: str) -> tuple[Threshold, ...]:
        """The thresholds of a weed, in the order they are written."""
        return tuple(t for t in self.thresholds.values() if t.weed == weed)

    def soil_of_weed(self, weed: str) -> tuple[SoilMean, ...]:
        """The means of the soil that concern a weed."""
        return tuple(s for s in self.soil.values() if s.weed == weed)


NO_HEAT = Heat()
"""What a knowledge base holds that says nothing of warmth."""
