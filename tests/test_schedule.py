"""The optimiser of application days against brute force over every schedule."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.planning.schedule import (
    FORBIDDEN,
    Choice,
    Problem,
    Schedule,
    Solver,
    Step,
    best_schedules,
    gain_of,
)

gain = st.one_of(st.just(FORBIDDEN), st.integers(0, 6).map(float), st.floats(0, 3))


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    days = draw(st.integers(1, 9))
    turn = draw(st.integers(0, days))
    years = [2026] * turn + [2027] * (days - turn)
    names = ["a", "b", "c"][: draw(st.integers(1, 3))]
    choices = tuple(
        Choice(
            name,
            draw(st.lists(gain, min_size=days, max_size=days)),
            draw(st.integers(0, 3)),
            {2026: draw(st.integers(0, 2))},
        )
        for name in names
    )
    own = {name: draw(st.integers(1, 5)) for name in names}
    gaps = {
        (p, q): own[p] if p == q else max(1, -(-max(own[p], own[q]) // 2)) + draw(st.integers(0, 2))
        for p in names
        for q in names
    }
    first = {name: draw(st.integers(0, days)) for name in names if draw(st.booleans())}
    penalties = {(p, q): draw(st.floats(0, 1)) for p in names for q in names if draw(st.booleans())}
    return Problem(choices, years, gaps, first, penalties)


def brute_force(problem: Problem, most: int) -> float:
    """The best gain over every sequence of up to `most` steps."""
    names = [c.name for c in problem.choices]
    best = 0.0
    for number in range(1, most + 1):
        for days in itertools.combinations(range(problem.days), number):
            for chosen in itertools.product(names, repeat=number):
                steps = [Step(d, n) for d, n in zip(days, chosen, strict=True)]
                best = max(best, gain_of(problem, steps))
    return best


@settings(max_examples=150, deadline=None)
@given(problems(), st.integers(0, 3))
def test_no_schedule_is_better(problem: Problem, most: int) -> None:
    """The schedule found gains as much as the best of all schedules, for every length."""
    found = best_schedules(problem, most)
    assert len(found) == most + 1
    for number, schedule in enumerate(found):
        assert len(schedule.steps) <= number
        assert schedule.gain == pytest.approx(brute_force(problem, number), abs=1e-9)


@settings(max_examples=150, deadline=None)
@given(problems(), st.integers(1, 4))
def test_the_schedule_keeps_every_limit_and_gains_what_it_says(problem: Problem, most: int) -> None:
    """Gaps, yearly uses and first days hold, and the gain is the sum over the steps."""
    for schedule in best_schedules(problem, most):
        assert gain_of(problem, schedule.steps) == pytest.approx(schedule.gain, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(problems(), st.integers(1, 4))
def test_an_application_more_is_only_made_if_it_gains(problem: Problem, most: int) -> None:
    """Among equals the fewest applications: a longer schedule gains strictly more."""
    found = best_schedules(problem, most)
    for shorter, longer in itertools.pairwise(found):
        assert longer.gain >= shorter.gain
        if len(longer.steps) > len(shorter.steps):
            assert longer.gain > shorter.gain


@settings(max_examples=80, deadline=None)
@given(problems(), st.integers(1, 3), st.data())
def test_moving_a_step_gives_the_best_that_can_follow(
    problem: Problem, most: int, data: st.DataObject
) -> None:
    """For each day of a moved step: its gain and the best continuation, by brute force."""
    solver = Solver(problem, most)
    schedule: Schedule = solver.schedules()[-1]
    if not schedule.steps:
        return
    number = data.draw(st.integers(0, len(schedule.steps) - 1))
    kept, step = schedule.steps[:number], schedule.steps[number]
    left = len(schedule.steps) - number - 1
    before = gain_of(problem, kept)
    for day, value in enumerate(solver.moved(schedule, number)):
        best = FORBIDDEN
        for days in _later(day, left, problem.days):
            for chosen in itertools.product([c.name for c in problem.choices], repeat=len(days)):
                after = [Step(d, n) for d, n in zip(days, chosen, strict=True)]
                best = max(best, gain_of(problem, [*kept, Step(day, step.choice), *after]))
        if kept and best > FORBIDDEN:
            best += problem.penalties.get((kept[-1].choice, step.choice), 0.0)
        assert value == pytest.approx(best - before if best > FORBIDDEN else FORBIDDEN, abs=1e-9)


def _later(day: int, most: int, end: int) -> list[tuple[int, ...]]:
    """Every choice of up to `most` days after a day."""
    return [
        days
        for number in range(most + 1)
        for days in itertools.combinations(range(day + 1, end), number)
    ]


def test_a_gap_that_a_detour_could_undercut_is_refused() -> None:
    """Where a-b-a could be shorter than a-a the program would not be exact, so it says no."""
    flat = Choice("a", [1.0] * 5, 2), Choice("b", [1.0] * 5, 2)
    gaps = {("a", "a"): 5, ("b", "b"): 1, ("a", "b"): 1, ("b", "a"): 1}
    with pytest.raises(ValueError, match="detour"):
        Problem(flat, [2026] * 5, gaps)


def test_a_year_without_a_suitable_day_gives_no_step() -> None:
    """Where every day is forbidden the best schedule is empty."""
    never = Choice("a", [FORBIDDEN] * 30, 2)
    found = best_schedules(Problem((never,), [2026] * 30, {("a", "a"): 7}), 2)
    assert [s.steps for s in found] == [(), (), ()]
