"""A published field trial: what was sprayed on which weed, when, how often, and what it did.

Built from `trials.yaml`; `advisor.published` sets the kill model against it. It holds what the
source says and nothing that the model makes of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.model.base import Basis, Place
from advisor.model.calendar import Stretch
from advisor.terms import Span


@dataclass(frozen=True, slots=True)
class FieldTrial:
    """One result of a trial.

    `actives` maps a name to its site-of-action group, `season` is the time of the first
    application (None where the source does not say), `rules` are rules of causes whose loss acted,
    `measured` says what was counted.
    """

    id: str
    weed: str
    actives: Mapping[str, int]
    season: Stretch | None
    stage: str | None
    applications: tuple[int, int]
    interval_days: tuple[int, int] | None
    rules: tuple[str, ...]
    measured: str
    control: Span
    says: str
    note: str | None
    basis: Basis
    place: Place
