"""The optimiser of application days against brute force over every schedule."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.planning.problem import (
    FORBIDDEN,
    Choice,
    Late,
    Limit,
    Problem,
    Schedule,
    Step,
    broken,
    closed,
    gain_of,
)
from advisor.planning.schedule import Solver, best_schedules

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
            draw(st.sampled_from(["", "", "one", "two"])),
        )
        for name in names
    )
    gaps = closed(choices, {(p, q): draw(st.integers(1, 5)) for p in names for q in names})
    first = {name: draw(st.integers(-3, days)) for name in names if draw(st.booleans())}
    penalties = {(p, q): draw(st.floats(0, 1)) for p in names for q in names if draw(st.booleans())}
    limits = tuple(
        Limit(
            f"limit {n}",
            {name: draw(st.floats(0, 1)) for name in names if draw(st.booleans())},
            draw(st.floats(0, 2)),
            {2026: draw(st.floats(0, 1))},
        )
        for n in range(draw(st.integers(0, 2)))
    )
    opening = {name: draw(st.floats(0, 1)) for name in names if draw(st.booleans())}
    pairs = [(p, q) for p in names for q in names if draw(st.booleans())]
    late = {(p, q): draw(bands(days, next(c for c in choices if c.name == q))) for p, q in pairs}
    first_gains = {c.name: draw(like(c)) for c in choices if draw(st.booleans())}
    return Problem(choices, years, gaps, first, penalties, limits, opening, late, first_gains)


@st.composite
def like(draw: st.DrawFn, choice: Choice) -> list[float]:
    """Other gains, forbidden on the same days."""
    return [
        FORBIDDEN if gain == FORBIDDEN else draw(st.sampled_from([0.0, 0.5, 1.0, 2.5, gain]))
        for gain in choice.gains
    ]


@st.composite
def bands(draw: st.DrawFn, days: int, choice: Choice) -> tuple[Late, ...]:
    """Up to two stretches of lateness, each from its own days on."""
    found: list[Late] = []
    for _ in range(draw(st.integers(0, 2))):
        since = sorted(draw(st.lists(st.integers(0, 12), min_size=days, max_size=days)))
        if found:
            since = [max(a, b) for a, b in zip(since, found[-1].since, strict=True)]
        found.append(Late(since, draw(like(choice))))
    return tuple(found)


def brute_force(problem: Problem, most: int) -> float:
    """The best gain over every sequence of up to `most` steps."""
    names = [c.name for c in problem.choices]
    best = 0.0
    for number in range(1, most + 1):
        for days in itertools.combinations(range(problem.days), number):
            for chosen in itertools.product(names, repeat=number):
                steps = [Step(d, n) for d, n in zip(days, chosen, strict=True)]
                best = max(best, judged(problem, steps))
    return best


def judged(problem: Problem, steps: list[Step]) -> float:
    """What a schedule gains, every limit looked at anew in the plainest way."""
    by_name = {c.name: c for c in problem.choices}
    for choice in problem.choices:
        made = [s.day for s in steps if s.choice == choice.name]
        shared = [s for s in steps if choice.once and by_name[s.choice].once == choice.once]
        if len(shared) > 1:
            return FORBIDDEN
        if any(day < problem.first_free.get(choice.name, 0) for day in made):
            return FORBIDDEN
        for year in {problem.years[day] for day in made}:
            count = sum(problem.years[day] == year for day in made)
            if count + choice.used.get(year, 0) > choice.per_year:
                return FORBIDDEN
    for limit in problem.limits:
        for year in {problem.years[s.day] for s in steps if s.choice in limit.weights}:
            here = [s for s in steps if problem.years[s.day] == year]
            taken = sum(limit.weights.get(s.choice, 0) for s in here)
            if taken + limit.used.get(year, 0) > limit.cap + 1e-9:
                return FORBIDDEN
    for a, b in itertools.combinations(steps, 2):
        if b.day - a.day < problem.gap(a.choice, b.choice):
            return FORBIDDEN
    total = sum(gained(problem, steps, number) for number in range(len(steps)))
    if steps:
        total -= problem.opening.get(steps[0].choice, 0)
    return total - sum(
        problem.penalties.get((a.choice, b.choice), 0) for a, b in itertools.pairwise(steps)
    )


def gained(problem: Problem, steps: list[Step], number: int) -> float:
    """What one step gains, in time, late, or as the first one."""
    step = steps[number]
    gains = next(c.gains for c in problem.choices if c.name == step.choice)
    if gains[step.day] == FORBIDDEN:
        return FORBIDDEN
    if number == 0:
        return problem.first_gains.get(step.choice, gains)[step.day]
    before = steps[number - 1]
    for late in problem.late.get((before.choice, step.choice), ()):
        gains = late.gains if step.day >= late.since[before.day] else gains
    return gains[step.day]


@settings(max_examples=200, deadline=None)
@given(problems(), st.data())
def test_a_schedule_is_judged_as_by_hand(problem: Problem, data: st.DataObject) -> None:
    """`gain_of` gives any sequence what looking at each limit on its own gives it."""
    days = data.draw(st.sets(st.integers(0, problem.days - 1), max_size=4))
    names = st.sampled_from([c.name for c in problem.choices])
    steps = [Step(day, data.draw(names)) for day in sorted(days)]
    assert gain_of(problem, steps) == pytest.approx(judged(problem, steps), abs=1e-9)
    for number, step in enumerate(steps):
        if broken(problem, steps[:number], step):
            assert judged(problem, steps[: number + 1]) == FORBIDDEN


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
    before = judged(problem, list(kept))
    for day, value in enumerate(solver.moved(schedule, number)):
        best = FORBIDDEN
        for days in _later(day, left, problem.days):
            for chosen in itertools.product([c.name for c in problem.choices], repeat=len(days)):
                after = [Step(d, n) for d, n in zip(days, chosen, strict=True)]
                best = max(best, judged(problem, [*kept, Step(day, step.choice), *after]))
        if kept and best > FORBIDDEN:
            best += problem.penalties.get((kept[-1].choice, step.choice), 0.0)
        elif best > FORBIDDEN:
            best += problem.opening.get(step.choice, 0.0)
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


@settings(max_examples=100, deadline=None)
@given(problems(), st.integers(1, 3))
def test_the_next_application_is_the_best_one(problem: Problem, most: int) -> None:
    """What is added after a schedule's last step gains as much as any single step could."""
    solver = Solver(problem, most)
    schedule = solver.schedules()[-1]
    made = list(schedule.steps)
    more = [
        judged(problem, [*made, Step(day, choice.name)])
        for day in range(made[-1].day + 1 if made else 0, problem.days)
        for choice in problem.choices
    ]
    found = solver.next_after(schedule)
    best = max(more, default=FORBIDDEN)
    if found is None:
        assert best <= judged(problem, made) + 1e-9
    else:
        assert judged(problem, [*made, found]) == pytest.approx(best, abs=1e-9)


def test_gaps_are_raised_only_where_a_detour_undercuts_them() -> None:
    """Closing raises both legs to half of the gap they span and leaves the others as they are."""
    flat = tuple(Choice(name, [1.0] * 40, 3) for name in "abc")
    gaps = {(p, q): 1 for p in "abc" for q in "abc"} | {("a", "a"): 28, ("a", "c"): 10}
    found = closed(flat, gaps)
    assert found["a", "b"] == found["b", "a"] == 14
    assert found["c", "a"] == 14
    assert found["a", "a"] == 28
    assert found["c", "c"] == 1


def test_days_that_lie_far_apart_need_no_longer_gaps() -> None:
    """Where the third use can come only after the gap has run out no leg is raised."""
    never = FORBIDDEN
    spring, fall = (
        Choice("a", [1.0] * 5 + [never] * 35, 3),
        Choice("c", [never] * 35 + [1.0] * 5, 3),
    )
    between = Choice("b", [1.0] * 40, 3)
    gaps = {(p, q): 1 for p in "abc" for q in "abc"} | {("a", "c"): 28}
    assert closed((spring, between, fall), gaps) == gaps


def test_a_gap_that_is_too_long_costs() -> None:
    """Where the second use gains half after five days, it comes within five although later days
    gain a little more by themselves."""
    gains = [1.5, *[FORBIDDEN] * 2, *(1.0 + n / 100 for n in range(10))]
    choice = Choice("a", gains, 3)
    late = Late([day + 6 for day in range(13)], [g / 2 for g in gains])
    soon = Problem((choice,), [2026] * 13, {("a", "a"): 3}, late={("a", "a"): (late,)})
    first, second = best_schedules(soon, 2)[-1].steps
    assert second.day - first.day <= 5
    free = Problem((choice,), [2026] * 13, {("a", "a"): 3})
    first, second = best_schedules(free, 2)[-1].steps
    assert second.day - first.day > 5


def test_a_wait_since_before_the_plan_holds_after_another_choice() -> None:
    """A choice that is free from day 6 only is not made on day 5 after another one on day 4."""
    never = FORBIDDEN
    one = Choice("a", [never] * 5 + [1.0, never, 1.0], 1)
    other = Choice("b", [never] * 4 + [0.5] + [never] * 3, 1)
    gaps = dict.fromkeys(itertools.product("ab", repeat=2), 1)
    problem = Problem((one, other), [2026] * 8, gaps, {"a": 6})
    assert best_schedules(problem, 2)[-1].steps == (Step(4, "b"), Step(7, "a"))
