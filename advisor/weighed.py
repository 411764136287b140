"""What weighing gives: control as a range, causes with their part in what was lost.

`weighing` makes these, `diagnosis` keeps them and `render` prints them.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.model import Cause
from advisor.terms import Truth
from advisor.tiers import Finding

LEAST_GAP = 1e-9
"""Less control lost than this is none, and has no shares."""


@dataclass(frozen=True, slots=True)
class Range:
    """A share with its honest range."""

    low: float
    expected: float
    high: float


@dataclass(frozen=True, slots=True)
class CauseFinding:
    """A cause: what it is, whether it can explain the comeback, and what it cost.

    `lost` is its part of the control lost, `won` the control that the change which puts it right
    wins back, alone or with other causes that the same change puts right, `chance` how likely it is
    to have happened.
    """

    cause: Cause
    truth: Truth
    explains: Truth
    chance: float
    findings: tuple[Finding, ...]
    lost: float = 0.0
    won: float = 0.0


@dataclass(frozen=True, slots=True)
class Weighing:
    """The control of a program, and each cause's part in what it fell short."""

    done: Range
    possible: Range
    causes: tuple[CauseFinding, ...]
    repeats: int | None

    @property
    def gap(self) -> float:
        """Control lost in all."""
        return self.possible.expected - self.done.expected

    def share(self, finding: CauseFinding) -> float:
        """A cause's share of the control lost."""
        return finding.lost / self.gap if self.gap > LEAST_GAP else 0.0
