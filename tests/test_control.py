"""The kill model against brute force, worked arithmetic and published dose-response figures."""

from __future__ import annotations

import math
from itertools import chain, combinations, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor import control as c

CAUSES = ["washed-off", "too-cold", "hard-water", "resistant-biotype"]


def survivors_by_hand(program: c.Program, present: frozenset[str]) -> float:
    """Enumerate every outcome of every draw of the causes present."""
    draws = [d for name in sorted(present - {c.TOO_FEW}) for d in program.causes[name]]
    bases = [b.share for b in program.bases]
    if program.missing and c.TOO_FEW not in present and program.missing_base:
        bases += [program.missing_base.share] * program.missing
    total = 0.0
    for world in product(*[[*d.outcomes, None] for d in draws]):
        chance = 1.0
        for draw, outcome in zip(draws, world, strict=True):
            chance *= outcome.chance if outcome else 1 - sum(o.chance for o in draw.outcomes)
        alive = 1.0
        for number, base in enumerate(bases):
            kill = base
            for outcome in world:
                if outcome:
                    at = number if number < len(program.bases) else c.MISSING
                    kill *= 1 - outcome.losses.get(at, 0.0)
            alive *= 1 - kill
        total += chance * alive
    return total


def shapley_by_hand(program: c.Program) -> dict[str, float]:
    """Average the marginal loss over all orders."""
    players = program.players
    lost = dict.fromkeys(players, 0.0)
    orders = list(permutations(players))
    for order in orders:
        present: frozenset[str] = frozenset()
        for name in order:
            with_it = present | {name}
            lost[name] += survivors_by_hand(program, with_it) - survivors_by_hand(program, present)
            present = with_it
    return {name: loss / len(orders) for name, loss in lost.items()}


share = st.floats(0, 1).map(lambda x: round(x, 3))


@st.composite
def programs(draw: st.DrawFn) -> c.Program:
    count = draw(st.integers(1, 3))
    missing = draw(st.integers(0, 2))
    bases = tuple(c.Base(b, b, b) for b in draw(st.lists(share, min_size=count, max_size=count)))
    causes: dict[str, tuple[c.Draw, ...]] = {}
    for name in draw(st.lists(st.sampled_from(CAUSES), max_size=3, unique=True)):
        draws = []
        if draw(st.booleans()):  # one event for all applications
            losses = {i: draw(share) for i in [*range(count), c.MISSING]}
            draws.append(c.Draw((c.Outcome(draw(share), losses),)))
        else:
            for i in range(count):
                first, second = draw(share) / 2, draw(share) / 2
                outcomes = (c.Outcome(first, {i: draw(share)}), c.Outcome(second, {i: draw(share)}))
                draws.append(c.Draw(outcomes))
        causes[name] = tuple(draws)
    b = draw(share)
    return c.Program(bases, causes, missing, c.Base(b, b, b) if missing else None)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_control_equals_enumeration_of_all_worlds(program: c.Program) -> None:
    """Control with any set of causes present equals the sum over every outcome of every draw."""
    names = program.players
    for present in chain.from_iterable(combinations(names, n) for n in range(len(names) + 1)):
        expected = 1 - survivors_by_hand(program, frozenset(present))
        assert program.control(present) == pytest.approx(expected, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_shapley_equals_the_average_over_all_orders(program: c.Program) -> None:
    """The quadrature gives the definition of Shapley (1953): the mean marginal over all orders."""
    expected = shapley_by_hand(program)
    assert program.shapley() == pytest.approx(expected, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_shares_add_up_to_the_whole_gap(program: c.Program) -> None:
    """Efficiency: the losses add up to control as it could have been less control as done."""
    gap = program.control(()) - program.control()
    assert sum(program.shapley().values()) == pytest.approx(gap, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(programs(), share)
def test_equal_causes_get_equal_shares(program: c.Program, loss: float) -> None:
    """Symmetry: two causes that do the same at every application lose the same."""
    twin = (c.shown(dict.fromkeys(range(len(program.bases)), loss)),)
    both = c.Program(
        program.bases,
        {**program.causes, "a-twin": twin, "b-twin": twin},
        program.missing,
        program.missing_base,
    )
    values = both.shapley()
    assert values["a-twin"] == pytest.approx(values["b-twin"], abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(programs())
def test_a_cause_that_changes_nothing_gets_nothing(program: c.Program) -> None:
    """Dummy: a cause without loss gets 0 and leaves the others' shares alone."""
    idle = c.Program(
        program.bases,
        {**program.causes, "idle": (c.shown({0: 0.0}),)},
        program.missing,
        program.missing_base,
    )
    values = dict(idle.shapley())
    assert values.pop("idle") == 0
    assert values == pytest.approx(program.shapley(), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_control_without_each_cause(program: c.Program) -> None:
    """Leaving one cause out of the account equals computing control without it."""
    account = program.account()
    assert account.done == pytest.approx(program.control(), abs=1e-9)
    assert account.undone == pytest.approx(program.control(()), abs=1e-9)
    for name in program.players:
        others = [p for p in program.players if p != name]
        assert account.without[name] == pytest.approx(program.control(others), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_the_expected_control_lies_between_the_extremes(program: c.Program) -> None:
    """No figure looks more certain than it is: the range holds the expected control."""
    worst, best = program.extremes()
    assert worst - 1e-9 <= program.control() <= best + 1e-9


def test_a_worked_call_by_hand() -> None:
    """Base 0.8, washed off 0.5, cold 0.25, once where two are needed: 0.3 done, 0.96 possible."""
    base = c.Base(0.8, 0.8, 0.8)
    program = c.Program(
        (base,),
        {"washed-off": (c.shown({0: 0.5}),), "too-cold": (c.shown({0: 0.25}),)},
        missing=1,
        missing_base=base,
    )
    assert program.control() == pytest.approx(0.8 * 0.5 * 0.75)
    assert program.control(()) == pytest.approx(1 - 0.2 * 0.2)
    assert sum(program.shapley().values()) == pytest.approx(0.96 - 0.3)


@pytest.mark.parametrize(
    ("kill", "target", "count"),
    [
        (0.9, 0.1, 1),
        (0.5, 0.1, 4),
        (0.7, 0.1, 2),
        (0.69, 0.05, 3),
        (0.0, 0.1, None),
        (0.05, 0.1, None),
    ],
)
def test_expected_retreatments(kill: float, target: float, count: int | None) -> None:
    """The count is the smallest n with (1 - k)^n <= target: logarithms by hand."""
    assert c.retreatments(kill, target) == count
    if count:
        assert (1 - kill) ** count <= target + 1e-12
        assert count == 1 or (1 - kill) ** (count - 1) > target


def test_strongest_of_two_alternatives() -> None:
    """P(strong) = 0.3, P(weak and not strong) = 0.7 * 0.5."""
    assert c.strongest_of([(0.5, 0.2), (0.3, 0.8)]) == ((0.3, 0.8), (0.35, 0.2))


def test_the_dose_curve_reproduces_the_published_ryegrass_fit() -> None:
    """LL.4 on ryegrass roots and ferulic acid: ED10 1.46, ED50 3.06 mM.

    Source: Bioassay analysis using R, Journal of Statistical Software 12(5), 2005; the ED10 is
    cited from memory, the residuals are from the public data set of that paper.
    """
    fit = {"lower": 0.48141, "upper": 7.79296, "ed50": 3.05795, "slope": 2.98222}
    middle = (0.48141 + 7.79296) / 2
    assert c.log_logistic(3.05795, **fit) == pytest.approx(middle)
    ten_percent_effect = 7.79296 - 0.1 * (7.79296 - 0.48141)
    assert c.log_logistic(1.4637, **fit) == pytest.approx(ten_percent_effect, abs=1e-3)
    data = {
        0.0: [7.58, 8.0, 8.328571429, 7.25, 7.375, 7.9625],
        0.94: [8.355555556, 6.914285714, 7.75],
        1.88: [6.871428571, 6.45, 5.922222222],
        3.75: [1.925, 2.885714286, 4.233333333],
        7.5: [1.1875, 0.857142857, 1.057142857],
        15.0: [0.6875, 0.525, 0.825],
        30.0: [0.25, 0.22, 0.44],
    }
    squares = sum((y - c.log_logistic(x, **fit)) ** 2 for x, ys in data.items() for y in ys)
    assert math.sqrt(squares / 20) == pytest.approx(0.51962, abs=1e-4)


@given(st.floats(0.01, 0.99), st.floats(0.05, 0.95), st.floats(0.5, 6))
def test_a_lower_rate_never_kills_more(base: float, rate: float, slope: float) -> None:
    """The loss falls as the rate rises, from all of it at none to nothing at the full rate."""
    loss = c.dose_loss(base, rate, slope)
    assert 0 <= loss <= 1
    assert c.dose_loss(base, rate + 0.05, slope) <= loss + 1e-12
    assert c.dose_loss(base, 1.0, slope) == 0
    assert c.dose_loss(base, 0.0, slope) == pytest.approx(1)


def test_half_the_rate_is_not_half_the_control() -> None:
    """At base 0.9 and slope 2, half the rate keeps 0.692 / 0.9 of the kill: by the formula."""
    kill = 1 / (1 + (0.1 / 0.9) * 4)
    assert c.dose_loss(0.9, 0.5, 2) == pytest.approx(1 - kill / 0.9)
