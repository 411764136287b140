"""Something to be said about a mix or a sprayer: the id of a sentence and what fills it.

The modules of `dose` make remarks, and `render` finds their sentences in phrases.yaml and shows the
quantities in the units wanted. A remark holds no words of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from advisor.dose.exact import Measure

Figure: TypeAlias = Measure | str


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence by its id, with its figures."""

    id: str
    figures: Mapping[str, Figure] = field(default_factory=dict)


def remark(id_: str, **figures: Figure) -> Remark:
    """A sentence by its id, with its figures by name."""
    return Remark(id_, figures)
