"""The kill model set against published field trials.

Takes the trials of the knowledge base and says of each what the model would have expected and how
far that is off. The handbook and docs/trials.md show it; no figure of the model is fitted here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from advisor.control import Base, together
from advisor.derive.plant import base_of
from advisor.model import DayOfYear, FieldTrial, KnowledgeBase, Stretch, Weed
from advisor.terms import Span

YEAR = 365
ROUNDING = 0.005
"""Control is published in whole percent."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """What the model expects of a trial, and the published result beside it.

    `off` is how far the expected control lies above the published range (below it where negative),
    0 inside; `meets` whether the two ranges have a point in common; `set_from_it` whether the
    weed's figure for an active, or its seasons, cite the same source, so that agreement proves
    little.
    """

    trial: FieldTrial
    expected: Base
    off: float
    meets: bool
    set_from_it: bool

    @property
    def agrees(self) -> bool:
        """Whether the expected control lies in the published range, in whole percent."""
        return abs(self.off) < ROUNDING


def compare(trial: FieldTrial, base: KnowledgeBase) -> Comparison:
    """Set the model against one trial."""
    weed = base.weeds[trial.weed]
    expected = expect(trial, base)
    published = trial.control
    off = max(0.0, expected.share - published.high) - max(0.0, published.low - expected.share)
    cited = {weed.control[name].basis.source for name in trial.actives if name in weed.control}
    cited.add(weed.seasons_basis.source)
    return Comparison(
        trial,
        expected,
        off,
        expected.low <= published.high + ROUNDING and published.low <= expected.high + ROUNDING,
        trial.basis.source in cited,
    )


def compare_all(base: KnowledgeBase) -> tuple[Comparison, ...]:
    """Set the model against all trials, in the order they are written."""
    return tuple(compare(trial, base) for trial in base.trials.values())


def of_weed(weed: str, base: KnowledgeBase) -> tuple[Comparison, ...]:
    """The comparisons of one weed."""
    return tuple(compare(t, base) for t in base.trials.values() if t.weed == weed)


def expect(trial: FieldTrial, base: KnowledgeBase) -> Base:
    """Control as the model has it: what survives one application meets the next.

    Each application kills its base control, times the share of the season it falls in, times what
    the rules named leave. Ends take the worst and the best of all that is open.
    """
    weed = base.weeds[trial.weed]
    made = base_of(weed, tuple(trial.actives.items()))
    kept = math.prod(1 - loss for loss in _losses(trial, weed, base))
    fewest, most = trial.applications
    shares = [_season(trial, weed, n) for n in range(most)]
    middle = (fewest + most + 1) // 2
    return Base(
        together([made.share * kept * fmean(days) for days in shares[:middle]]),
        together([made.low * kept * min(days) for days in shares[:fewest]]),
        together([made.high * kept * max(days) for days in shares]),
    )


def _losses(trial: FieldTrial, weed: Weed, base: KnowledgeBase) -> list[float]:
    group = base.habit_class(weed.habit)
    rules = {rule.id: rule for cause in base.causes.values() for rule in cause.rules}
    return [rules[name].loss.get(group, 0.0) for name in trial.rules]


def _season(trial: FieldTrial, weed: Weed, number: int) -> Sequence[float]:
    """The shares of the season on the days that an application may have fallen on."""
    if trial.season is None:
        return [max(season.share for season in weed.seasons)]
    days = trial.interval_days or (0, 0)
    later = Span(*days) if number else Span(0, 0)
    return [
        weed.season_on(_moved(day, round(gap * number))).share
        for day in _days(trial.season)
        for gap in {later.low, later.high}
    ]


def _days(stretch: Stretch) -> list[DayOfYear]:
    return [_moved(stretch.first, n) for n in range(stretch.days)]


def _moved(day: DayOfYear, days: int) -> DayOfYear:
    return _ALL[(day.ordinal - 1 + days) % YEAR]


_ALL = sorted(
    (
        DayOfYear(month, day)
        for month, length in enumerate((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), 1)
        for day in range(1, length + 1)
    ),
    key=lambda day: day.ordinal,
)
