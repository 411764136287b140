"""The kill model: what an application kills, what survives several, who lost how much of it.

Diagnosis and planning both stand on this module; it works on plain numbers and names, so that
every result can be checked by hand. It knows nothing of weeds, rules or calls.

An application kills a share k = base * product over present causes of (1 - loss) of the living
units, and what survives one meets the next on its own: causes act independently of each other
and of chance from one application to the next. Shares of a loss are Shapley values (Shapley
1953), computed exactly through the multilinear extension (Owen 1972): the survivors are a sum of
products over the causes, and the Shapley value of a product game is the integral of a polynomial,
which Gauss-Legendre quadrature of sufficient order gives without error but rounding.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

TOO_FEW = "too-few-applications"
MISSING = -1
"""The key under which an outcome holds its loss at each application that was never made."""
MOST_REPEATS = 20


@dataclass(frozen=True, slots=True)
class Base:
    """What a well-made application does: the expected share killed and its honest spread."""

    share: float
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse a spread that does not hold the share."""
        if not 0 <= self.low <= self.share <= self.high <= 1:
            raise ValueError("a base needs 0 <= low <= share <= high <= 1")


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way a chance event can fall: how likely, and the loss it means at each application."""

    chance: float
    losses: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Draw:
    """One chance event; what is left of the chance means no loss.

    A shown cause is a draw with a single outcome of chance 1. A cause that is the same at every
    application (a resistant plant, hard water) is one draw that names all of them.
    """

    outcomes: tuple[Outcome, ...]

    def __post_init__(self) -> None:
        """Refuse chances that cannot be."""
        if sum(o.chance for o in self.outcomes) > 1 + 1e-9:
            raise ValueError("the chances of a draw add up to more than 1")

    @property
    def can_be_absent(self) -> bool:
        """Whether the event may not have happened at all."""
        return sum(o.chance for o in self.outcomes) < 1 - 1e-9

    def factor(self, applications: Collection[int], missing: int = 0) -> float:
        """Expected product of (1 - loss) over the applications and `missing` that were not made."""
        left = 1.0
        total = 0.0
        for outcome in self.outcomes:
            left -= outcome.chance
            kept = outcome.chance
            for application in applications:
                kept *= 1 - outcome.losses.get(application, 0.0)
            if missing:
                kept *= (1 - outcome.losses.get(MISSING, 0.0)) ** missing
            total += kept
        return total + max(left, 0.0)


@dataclass(frozen=True, slots=True)
class Account:
    """What a program did and what each cause cost it.

    `done` is control with all causes, `undone` with none; `lost` holds the Shapley values, which
    add up to undone - done, and `without` the control with one cause put right.
    """

    done: float
    undone: float
    lost: Mapping[str, float]
    without: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Program:
    """A set of applications, the causes that act on them, and what was left undone.

    `causes` maps a cause to its independent draws. `missing` further applications of base
    `missing_base` belong to the program as it could have been; a draw that would act on them too
    holds its loss under the key MISSING. Leaving them out is itself a cause, called
    too-few-applications.
    """

    bases: tuple[Base, ...]
    causes: Mapping[str, tuple[Draw, ...]] = field(default_factory=dict)
    missing: int = 0
    missing_base: Base | None = None

    @property
    def players(self) -> tuple[str, ...]:
        """The causes that can have cost control, in a fixed order."""
        names = sorted(self.causes)
        return (*names, TOO_FEW) if self.missing else tuple(names)

    def control(self, present: Collection[str] | None = None) -> float:
        """Expected control with just these causes present (all of them by default)."""
        names = self.players if present is None else present
        survivors = 0.0
        for term in _terms(self):
            survivors += term.weight * math.prod(_factor(self, term, name) for name in names)
        return _share(1 - survivors)

    def shapley(self) -> dict[str, float]:
        """Control lost to each cause; the losses add up to control undone less control done.

        References:
            Shapley, A value for n-person games, 1953. Owen, Multilinear extensions of games, 1972.
        """
        players = self.players
        nodes = _gauss_legendre(len(players) // 2 + 1)
        lost = [0.0] * len(players)
        for term in _terms(self):
            if term.applications or term.missing:
                factors = [_factor(self, term, name) for name in players]
                _add_losses(lost, term.weight, factors, nodes)
        return dict(zip(players, lost, strict=True))

    def account(self) -> Account:
        """Control as done and undone, each cause's Shapley value, and control without each."""
        players = self.players
        nodes = _gauss_legendre(len(players) // 2 + 1)
        lost = [0.0] * len(players)
        without = [0.0] * len(players)
        done = undone = 0.0
        for term in _terms(self):
            factors = [_factor(self, term, name) for name in players]
            undone += term.weight
            done += term.weight * math.prod(factors)
            for i, rest in enumerate(_leave_one_out(factors)):
                without[i] += term.weight * rest
            _add_losses(lost, term.weight, factors, nodes)
        return Account(
            _share(1 - done),
            _share(1 - undone),
            dict(zip(players, lost, strict=True)),
            {name: _share(1 - s) for name, s in zip(players, without, strict=True)},
        )

    def extremes(self) -> tuple[float, float]:
        """Control at the worst and at the best reading of everything that is open."""
        return self._extreme(worst=True), self._extreme(worst=False)

    def _extreme(self, *, worst: bool) -> float:
        survivors = 1.0
        for number, base in enumerate(self.bases):
            kill = base.low if worst else base.high
            for draws in self.causes.values():
                for draw in draws:
                    losses = [o.losses.get(number, 0.0) for o in draw.outcomes]
                    if draw.can_be_absent:
                        losses.append(0.0)
                    kill *= 1 - (max(losses) if worst else min(losses))
            survivors *= 1 - kill
        return 1 - survivors


@dataclass(frozen=True, slots=True)
class _Term:
    """One product in the expansion of the survivors: the applications in it and its weight."""

    applications: tuple[int, ...]
    missing: int
    weight: float


def _terms(program: Program) -> Iterator[_Term]:
    """Expand the survivors, product of (1 - k), into products over subsets of applications."""
    done = range(len(program.bases))
    for size in range(len(program.bases) + 1):
        for chosen in combinations(done, size):
            weight = math.prod(-program.bases[i].share for i in chosen)
            yield _Term(chosen, 0, weight)
            if program.missing_base is None:
                continue
            for extra in range(1, program.missing + 1):
                many = math.comb(program.missing, extra) * (-program.missing_base.share) ** extra
                yield _Term(chosen, extra, weight * many)


def _factor(program: Program, term: _Term, name: str) -> float:
    if name == TOO_FEW:
        return 0.0 if term.missing else 1.0
    return math.prod(draw.factor(term.applications, term.missing) for draw in program.causes[name])


def _add_losses(
    lost: list[float],
    weight: float,
    factors: Sequence[float],
    nodes: Sequence[tuple[float, float]],
) -> None:
    """Add each player's part of one product term: the integral of the term's multilinear form."""
    gaps = [(i, 1 - factor) for i, factor in enumerate(factors) if factor != 1]
    if not gaps:
        return
    for node, share in nodes:
        product = weight * share
        for _, gap in gaps:
            product *= 1 - node * gap
        for i, gap in gaps:
            # survivors change by factor - 1 = -gap, so the loss of control by -gap too
            lost[i] -= gap * product / (1 - node * gap)


def _share(value: float) -> float:
    return min(1.0, max(0.0, value))


def _leave_one_out(factors: Sequence[float]) -> list[float]:
    """For each factor the product of all the others."""
    result = [1.0] * len(factors)
    before = after = 1.0
    last = len(factors) - 1
    for i in range(len(factors)):
        result[i] *= before
        before *= factors[i]
        result[last - i] *= after
        after *= factors[last - i]
    return result


@functools.lru_cache(maxsize=64)
def _gauss_legendre(order: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on [0, 1], exact for polynomials up to degree 2 * order - 1."""
    points = []
    for i in range(order):
        x = math.cos(math.pi * (i + 0.75) / (order + 0.5))
        for _ in range(100):
            before, here = 0.0, 1.0
            for j in range(order):
                before, here = here, ((2 * j + 1) * x * here - j * before) / (j + 1)
            slope = order * (x * here - before) / (x * x - 1)
            step = here / slope
            x -= step
            if abs(step) < 1e-15:
                break
        points.append(((x + 1) / 2, 1 / ((1 - x * x) * slope * slope)))
    return tuple(points)


def shown(loss_by_application: Mapping[int, float]) -> Draw:
    """A loss that is certain to have happened."""
    return Draw((Outcome(1.0, dict(loss_by_application)),))


def strongest_of(alternatives: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Chances of the strongest loss among independent alternatives.

    Args:
        alternatives: pairs of (chance that it holds, loss if it holds).

    Returns:
        Pairs of (chance that this is the strongest that holds, loss), strongest first.
    """
    left = 1.0
    result = []
    for chance, loss in sorted(alternatives, key=lambda pair: (-pair[1], -pair[0])):
        if left * chance > 0:
            result.append((left * chance, loss))
        left *= 1 - chance
    return tuple(result)


def retreatments(kill: float, target: float) -> int | None:
    """The smallest number of like applications that leaves at most `target` of the weed alive.

    Returns:
        The number, or None where more than 20 would be needed.
    """
    survivors = 1.0
    for number in range(1, MOST_REPEATS + 1):
        survivors *= 1 - kill
        if survivors <= target + 1e-12:
            return number
    return None


def log_logistic(dose: float, *, lower: float, upper: float, ed50: float, slope: float) -> float:
    """Four-parameter log-logistic response, falling for a positive slope.

    References:
        Log-logistic analysis of herbicide dose-response relationships, Weed Technology 9, 1995.
    """
    if dose <= 0:
        return upper if slope > 0 else lower
    return lower + (upper - lower) / (1 + math.exp(slope * (math.log(dose) - math.log(ed50))))


def dose_loss(base: float, rate: float, slope: float) -> float:
    """Share of the kill lost at `rate` times the full rate, which by itself kills `base`.

    The survivors follow a log-logistic curve from 1 at no dose to 0, through 1 - base at rate 1.
    """
    if rate >= 1 or base <= 0:
        return 0.0
    if base >= 1:
        return 0.0 if rate > 0 else 1.0
    ed50 = ((1 - base) / base) ** (1 / slope)
    kill = 1 - log_logistic(rate, lower=0, upper=1, ed50=ed50, slope=slope)
    return min(1.0, max(0.0, 1 - kill / base))


def together(shares: Sequence[float]) -> float:
    """Control by independent applications, one after the other."""
    return 1 - math.prod(1 - s for s in shares)
