"""What the knowledge base holds, as frozen dataclasses: weeds, products, causes, rules, facts.

`knowledge.py` builds these from the YAML files and every later module reads them. They hold what
was written, with amounts parsed and names kept as ids, and answer the small questions that need
nothing else (which rate is for this weed, which season is this day). They never read files and
never decide anything about a call.
"""

from advisor.model.base import Basis, Exemption, Origins, Place, Retired, Source
from advisor.model.calendar import DayOfYear, Stretch
from advisor.model.facts import Bound, FactDef, Implication, Margin, Option, Relation
from advisor.model.languages import Language, TopicWording, Wording
from advisor.model.places import Month, Region, Site, Turf
from advisor.model.products import Active, Price, Product, Rate, Surfactant
from advisor.model.rules import (
    ALL_CLASSES,
    CREEPING,
    HABIT_CLASSES,
    Cause,
    Example,
    Instead,
    Kind,
    Remedy,
    Rule,
    Stop,
    Trial,
)
from advisor.model.topics import NO_ASKING, Addition, Asking, Topic
from advisor.model.trials import FieldTrial
from advisor.model.weeds import (
    Control,
    Lookalike,
    Resistance,
    Retreatments,
    Saying,
    Season,
    SiteLimit,
    Weed,
)
from advisor.model.whole import KnowledgeBase, Settings

__all__ = [
    "ALL_CLASSES",
    "CREEPING",
    "HABIT_CLASSES",
    "NO_ASKING",
    "Active",
    "Addition",
    "Asking",
    "Basis",
    "Bound",
    "Cause",
    "Control",
    "DayOfYear",
    "Example",
    "Exemption",
    "FactDef",
    "FieldTrial",
    "Implication",
    "Instead",
    "Kind",
    "KnowledgeBase",
    "Language",
    "Lookalike",
    "Margin",
    "Month",
    "Option",
    "Origins",
    "Place",
    "Price",
    "Product",
    "Rate",
    "Region",
    "Relation",
    "Remedy",
    "Resistance",
    "Retired",
    "Retreatments",
    "Rule",
    "Saying",
    "Season",
    "Settings",
    "Site",
    "SiteLimit",
    "Source",
    "Stop",
    "Stretch",
    "Surfactant",
    "Topic",
    "TopicWording",
    "Trial",
    "Turf",
    "Weed",
    "Wording",
]
