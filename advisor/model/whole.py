"""The knowledge base as one thing, with the figures of the model itself.

What `knowledge.load` gives and all the program passes on. It gathers the other modules of this
package and adds only what needs several of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from advisor.equipment import Sprayers
from advisor.heat import NO_HEAT, Heat
from advisor.model.base import Origins, Retired, Source
from advisor.model.facts import FactDef, Relation
from advisor.model.languages import Language
from advisor.model.places import Region, Site, Turf
from advisor.model.products import Product
from advisor.model.rules import ALL_CLASSES, Cause, Kind, Rule, Stop
from advisor.model.topics import NO_ASKING, Asking, Topic
from advisor.model.trials import FieldTrial
from advisor.model.weeds import Weed
from advisor.speech import ENGLISH, Speech


@dataclass(frozen=True, slots=True)
class Settings:
    """The figures of the model itself."""

    target_survivors: float
    dose_slope: float
    kind_shown_within: float
    kind_ruled_out_beyond: float


@dataclass(frozen=True, slots=True)
class KnowledgeBase:
    """Everything under one knowledge folder, validated.

    `original` is the English one, where this one is in another language.
    """

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
    asking: Asking = NO_ASKING
    languages: Mapping[str, Language] = field(default_factory=dict)
    heat: Heat = NO_HEAT
    trials: Mapping[str, FieldTrial] = field(default_factory=dict)
    origins: Origins = field(default_factory=dict)
    relations: tuple[Relation, ...] = ()
    original: KnowledgeBase | None = None

    def rules(self) -> Iterator[Rule]:
        """All rules, tier by tier."""
        for owners in (self.kinds, self.causes, self.stops):
            for owner in owners.values():
                yield from owner.rules

    def habit_class(self, habit: str) -> str:
        """The class of a habit: taproot, creeping or seed-only."""
        return self.facts["habit"].options[habit].habit_class or ALL_CLASSES
