"""Rules as boxes: what is decided of them is so, held against an SMT solver and against all points.

Generated facts, relations between them and clauses go to `advisor.checking.boxes`, to z3 and, where
all corners lie on a grid, through every point of it. The relations of the shipped base are tried on
calls in `test_properties`.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import product

import pytest
import z3
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.checking.boxes import Space
from advisor.checking.octagon import Least, satisfiable
from advisor.model import Bound, FactDef, Implication, Option, Relation
from advisor.terms import Clause, Condition, Options, Span, Truth, Value

NUMBERS = {
    name: FactDef(name, name, "call", "told", "", "h", Span(0, 4), ((0.0, 4.0, 1.0),))
    for name in ("a", "b", "c")
}
CHOICES = {
    name: FactDef(name, name, "call", "told", "", options={o: Option(o, 1 / 3) for o in "pqr"})
    for name in ("x", "y")
}
FACTS = NUMBERS | CHOICES

ENDS = st.one_of(st.none(), st.sampled_from([0.5 * n for n in range(9)]))
BANDS = st.builds(
    lambda fact, low, high: Condition(fact, frozenset(), low, high),
    st.sampled_from(list(NUMBERS)),
    ENDS,
    ENDS,
).filter(
    lambda c: (
        (c.low, c.high) != (None, None) and (c.low is None or c.high is None or c.low < c.high)
    )
)
SETS = st.builds(
    Condition,
    st.sampled_from(list(CHOICES)),
    st.frozensets(st.sampled_from("pqr"), min_size=1, max_size=2),
)
CONDITIONS = st.one_of(BANDS, SETS)
CLAUSES = st.lists(CONDITIONS, min_size=1, max_size=4).map(lambda c: Clause("r", 0, tuple(c)))
RULES = st.lists(CLAUSES, min_size=1, max_size=2)
BOUNDS = st.builds(
    lambda pair, signs, least: Bound(pair, signs, least, "always"),
    st.permutations(list(NUMBERS)).map(lambda names: (names[0], names[1])),
    st.sampled_from([(1, 1), (1, -1), (-1, 1), (-1, -1)]),
    st.sampled_from([n / 2 for n in range(-8, 9)]),
)
IMPLICATIONS = st.builds(Implication, CONDITIONS, CONDITIONS, st.just("always"))
RELATIONS = st.lists(st.one_of(BOUNDS, IMPLICATIONS), max_size=4)


# ---- another hand -------------------------------------------------------------------------------


class Solver:
    """The same questions, put to z3."""

    def __init__(self, relations: Iterable[Relation]) -> None:
        self.names = {name: z3.Real(name) for name in NUMBERS}
        self.names |= {name: z3.Int(name) for name in CHOICES}
        self.always = [z3.And(self.names[n] >= 0, self.names[n] <= 4) for n in NUMBERS]
        self.always += [z3.And(self.names[n] >= 0, self.names[n] <= 2) for n in CHOICES]
        for relation in relations:
            if isinstance(relation, Bound):
                parts = zip(relation.signs, relation.facts, strict=True)
                whole = sum(sign * self.names[fact] for sign, fact in parts)
                self.always.append(whole >= Fraction(relation.least))
            else:
                self.always.append(z3.Implies(self.of(relation.when), self.of(relation.then)))

    def of(self, condition: Condition) -> z3.BoolRef:
        """A condition."""
        here = self.names[condition.fact]
        if condition.on_choice:
            return z3.Or([here == "pqr".index(option) for option in condition.options])
        low = [] if condition.low is None else [here >= Fraction(condition.low)]
        high = [] if condition.high is None else [here < Fraction(condition.high)]
        return z3.And(low + high)

    def rule(self, clauses: Iterable[Clause]) -> z3.BoolRef:
        """A rule: one of its clauses holds."""
        return z3.Or([z3.And([self.of(c) for c in clause.conditions]) for clause in clauses])

    def possible(self, *claims: z3.BoolRef) -> bool:
        """Whether the claims can be true at once."""
        solver = z3.Solver()
        solver.add(*self.always, *claims)
        return bool(solver.check() == z3.sat)


def on_the_grid(clauses: Iterable[Clause], relations: Iterable[Relation]) -> bool:
    """Whether a clause holds at some point of the grid that keeps to the relations."""
    known, kept = list(clauses), list(relations)
    for numbers in product([Fraction(n, 8) for n in range(33)][::2], repeat=2):
        for options in product("pqr", repeat=2):
            point: dict[str, Value] = {
                n: Span(float(x), float(x)) for n, x in zip("ab", numbers, strict=True)
            }
            point |= {n: Options.of(o) for n, o in zip("xy", options, strict=True)}
            if all(keeps(r, point) for r in kept) and any(
                all(c.truth(point[c.fact]) is Truth.SHOWN for c in clause.conditions)
                for clause in known
            ):
                return True
    return False


def keeps(relation: Relation, point: dict[str, Value]) -> bool:
    """Whether a relation holds at a point."""
    if isinstance(relation, Bound):
        spans = [point[fact] for fact in relation.facts]
        values = [span.low for span in spans if isinstance(span, Span)]
        return sum(s * v for s, v in zip(relation.signs, values, strict=True)) >= relation.least
    when = relation.when.truth(point[relation.when.fact]) is Truth.SHOWN
    return not when or relation.then.truth(point[relation.then.fact]) is Truth.SHOWN


# ---- decided right ------------------------------------------------------------------------------


@settings(max_examples=150, deadline=None)
@given(CLAUSES, RELATIONS)
def test_a_clause_can_hold_just_where_a_solver_finds_a_way(
    clause: Clause, relations: list[Relation]
) -> None:
    """A clause is said to be possible under relations just when z3 finds facts for it."""
    solver = Solver(relations)
    if not solver.possible():
        return  # relations that exclude each other are refused by a check of their own
    assert Space(FACTS, relations).holds(clause) == solver.possible(solver.rule([clause]))


@settings(max_examples=150, deadline=None)
@given(RULES, RULES, RELATIONS)
def test_rules_meet_just_where_a_solver_finds_a_way(
    one: list[Clause], other: list[Clause], relations: list[Relation]
) -> None:
    """Two rules are said to hold at once just when z3 finds facts for both."""
    solver = Solver(relations)
    if not solver.possible():
        return
    found = Space(FACTS, relations).together(one, other)
    assert (found is not None) == solver.possible(solver.rule(one), solver.rule(other))


@settings(max_examples=150, deadline=None)
@given(RULES, RULES, RELATIONS)
def test_a_rule_lies_in_another_just_where_no_solver_gets_out(
    narrow: list[Clause], wide: list[Clause], relations: list[Relation]
) -> None:
    """A rule is said to lie inside another just when z3 finds no facts for it alone."""
    solver = Solver(relations)
    if not solver.possible():
        return
    alone = solver.possible(solver.rule(narrow), z3.Not(solver.rule(wide)))
    assert Space(FACTS, relations).inside(narrow, wide) == (not alone)


ON_THE_GRID = CONDITIONS.filter(lambda c: c.fact != "c")


@settings(max_examples=40, deadline=None)
@given(
    st.lists(ON_THE_GRID, min_size=1, max_size=3).map(lambda c: Clause("r", 0, tuple(c))),
    st.lists(
        st.one_of(
            BOUNDS.filter(lambda b: "c" not in b.facts),
            st.builds(Implication, ON_THE_GRID, ON_THE_GRID, st.just("always")),
        ),
        max_size=3,
    ),
)
def test_a_clause_can_hold_just_where_some_point_lies_in_it(
    clause: Clause, relations: list[Relation]
) -> None:
    """With all ends on a grid, a clause is possible just when it holds at some finer point."""
    if not on_the_grid([Clause("any", 0, ())], relations):
        return
    assert Space(FACTS, relations).holds(clause) == on_the_grid([clause], relations)


def test_a_chain_of_bounds_is_followed_to_its_end() -> None:
    """Bounds over a third fact, and a strict end, decide between two facts that share none."""
    relations = [
        Bound(("b", "a"), (1, -1), 0, "b is at least a"),
        Bound(("c", "b"), (1, -1), 1, "c is at least one more than b"),
    ]
    space = Space(FACTS, relations)

    def both(low: float, high: float) -> bool:
        a = Condition("a", frozenset(), low, None)
        c = Condition("c", frozenset(), None, high)
        return space.holds(Clause("r", 0, (a, c)))

    assert both(1.0, 2.5)
    assert not both(1.0, 2.0)
    assert not both(1.5, 2.0)


@pytest.mark.parametrize(
    ("strict", "expected"), [((False, False), True), ((True, False), False), ((False, True), False)]
)
def test_an_end_that_is_left_out_counts(strict: tuple[bool, bool], expected: bool) -> None:
    """Two numbers that add up to at most nothing and are at least nothing meet only at nothing."""
    bounds = [
        Least((("a", -1), ("b", -1)), Fraction(0)),
        Least((("a", 1),), Fraction(0), strict[0]),
        Least((("b", 1),), Fraction(0), strict[1]),
    ]
    assert satisfiable(bounds) is expected
