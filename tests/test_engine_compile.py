"""What clauses compile to, how facts are told to an engine, and where the limits lie.

No engine is needed here, save where a test says that something at a limit still runs.
"""

from __future__ import annotations

import math
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracle import direct

from advisor.engine import choose
from advisor.engine.base import EngineError
from advisor.engine.compile import Token, compile_clauses, plain
from advisor.engine.limits import Limit, limits
from advisor.terms import Clause, Condition, Options, Span, Truth, Value

needs_durable = pytest.mark.skipif(
    "durable" not in choose.available(), reason="durable-rules is not installed"
)


def clause(*conditions: Condition, rule: str = "rule", number: int = 0) -> Clause:
    """A clause of these conditions."""
    return Clause(rule, number, conditions)


def choice(fact: str, *options: str) -> Condition:
    """A condition on a choice."""
    return Condition(fact, frozenset(options))


def in_words(condition: Condition, form: Truth) -> list[str]:
    """The tests that one form of a condition compiles to, in words."""
    shown, opened = compile_clauses([clause(condition)]).rules
    rule = {Truth.SHOWN: shown, Truth.OPEN: opened}[form]
    assert rule.firing.form is form
    return [f"{test.field} {test.op} {test.value}" for test in rule.patterns[0].tests]


@pytest.mark.parametrize(
    ("condition", "shown", "opened"),
    [
        (Condition("x", high=24), ["hi < 24.0"], ["lo < 24.0"]),
        (Condition("x", low=24), ["lo >= 24.0"], ["hi >= 24.0"]),
        (Condition("x", low=2, high=24), ["lo >= 2.0", "hi < 24.0"], ["hi >= 2.0", "lo < 24.0"]),
        (choice("x", "yes"), ["v == yes", "c == yes"], ["v == yes"]),
        (choice("x", "soil", "leaf"), ["v == leaf|soil", "c == yes"], ["v == leaf|soil"]),
    ],
)
def test_shown_tests_the_near_end_and_open_the_far_end(
    condition: Condition, shown: list[str], opened: list[str]
):
    """Each form of a condition compiles to exactly these tests."""
    assert in_words(condition, Truth.SHOWN) == shown
    assert in_words(condition, Truth.OPEN) == opened


def test_a_clause_gives_two_rules_that_name_its_facts_in_order():
    """The firings of a clause carry its rule, its number and the facts of its conditions."""
    made = clause(Condition("b", low=1), choice("a", "yes"), rule="why", number=3)
    rules = compile_clauses([made]).rules
    assert [rule.firing.form for rule in rules] == [Truth.SHOWN, Truth.OPEN]
    assert {(r.firing.rule, r.firing.number, r.firing.matched) for r in rules} == {
        ("why", 3, ("b", "a"))
    }


@pytest.mark.parametrize(
    ("conditions", "message"),
    [
        ((), "clause 0 of rule rule has no condition"),
        ((Condition("x"),), "needs either options or bounds: x in clause 0 of rule rule"),
        ((Condition("x", frozenset({"a"}), low=1.0),), "needs either options or bounds"),
        ((Condition("x", low=math.inf),), "a bound must be a finite number: x"),
        ((Condition("x", high=math.nan),), "a bound must be a finite number: x"),
        ((Condition("x", low=1.0), choice("x", "a")), "both as a number and as a choice: x"),
    ],
)
def test_what_no_engine_could_run_is_refused(conditions: tuple[Condition, ...], message: str):
    """Such a clause is an error of the compiler, and `limits` reports the same words."""
    with pytest.raises(EngineError, match=message):
        compile_clauses([clause(*conditions)])
    (limit,) = limits([clause(*conditions)])
    assert message in limit.says


def test_a_choice_is_told_once_for_each_set_it_may_be_in():
    """A set gets a token if some possible option is in it, certain when all of them are."""
    sets = [choice("x", "a"), choice("x", "a", "b"), choice("x", "c"), choice("x", "b", "a")]
    compiled = compile_clauses([clause(each) for each in sets])
    assert list(compiled.tokens({"x": Options.of("a", "b")})) == [
        Token("x", (("v", "a"), ("c", "no"))),
        Token("x", (("v", "a|b"), ("c", "yes"))),
    ]
    assert list(compiled.tokens({"x": Options.of("d")})) == []


def test_a_number_is_told_once_and_unread_facts_never():
    """A number gives one token of its two ends; a fact that no clause reads gives none."""
    compiled = compile_clauses([clause(Condition("x", low=1), Condition("x", high=5))])
    facts: dict[str, Value] = {"x": Span(2.0, 3.0), "y": Span(0.0, 1.0), "z": Options.of("a")}
    assert list(compiled.tokens(facts)) == [Token("x", (("lo", 2.0), ("hi", 3.0)))]


@given(st.floats(allow_nan=False))
def test_numbers_are_written_plainly_and_exactly(number: float):
    """Any number reads back as itself from digits, a point and a sign; infinity as the largest."""
    text = plain(number)
    largest = sys.float_info.max
    assert float(text) == max(min(number, largest), -largest)
    assert set(text) <= set("-.0123456789")
    assert text.count(".") == 1


def floors(count: int, fact: str = "x") -> list[Clause]:
    """Clauses that each ask for at least one more of a number."""
    return [clause(Condition(fact, low=float(n)), rule=f"floor-{n}") for n in range(count)]


def alike(count: int) -> list[Clause]:
    """Clauses that all ask the same thing first and something of their own second."""
    same = Condition("x", low=1.0)
    return [clause(same, Condition(f"y{n}", low=1.0), rule=f"alike-{n}") for n in range(count)]


def words(count: int) -> list[Clause]:
    """Clauses that each ask one fact for another option."""
    return [clause(choice("x", f"option-{n}"), rule=f"word-{n}") for n in range(count)]


def long(count: int) -> list[Clause]:
    """One clause of so many conditions."""
    return [clause(*(Condition(f"y{n}", low=1.0) for n in range(count)), rule="long")]


def bands(count: int) -> list[Clause]:
    """Bands that all begin at one number, so that a value passes one test and then many."""
    return [clause(Condition("x", low=0.0, high=1.0 + n), rule=f"band-{n}") for n in range(count)]


def readers(count: int) -> list[Clause]:
    """Clauses that each read a fact of their own."""
    return [clause(Condition(f"y{n}", low=1.0), rule=f"reader-{n}") for n in range(count)]


def many(count: int) -> list[Clause]:
    """So many clauses, no more than eight on a test."""
    return [
        clause(choice(f"y{n % 400}", f"option-{n // 3200}"), rule=f"many-{n}") for n in range(count)
    ]


@pytest.mark.parametrize(
    ("make", "most", "says"),
    [
        (long, 16, Limit("clause 0 of rule long has 17 conditions; at most 16 fit", rule="long")),
        (
            floors,
            32,
            Limit("one value of x could pass 66 tests at once; at most 64 fit", fact="x"),
        ),
        (bands, 63, Limit("one value of x could pass 65 tests at once; at most 64 fit", fact="x")),
        (
            alike,
            255,
            Limit("256 clauses ask x lo >= 1.0; at most 255 may ask the same", fact="x"),
        ),
        (words, 511, Limit("x has 512 different tests; at most 511 fit", fact="x")),
        (readers, 510, Limit("511 facts are read; at most 510 fit")),
        (many, 2047, Limit("there are 2048 clauses; at most 2047 fit")),
    ],
)
def test_each_limit_is_refused_only_beyond_its_last_step(make, most: int, says: Limit):
    """The last set that fits is reported to be fine, the next one with just these words."""
    assert limits(make(most)) == []
    assert says in limits(make(most + 1))


def test_tests_after_a_test_are_counted_apart():
    """So many bands from one low are refused for the tests that follow it, too."""
    says = "x has 512 different tests after lo >= 0.0; at most 511 fit"
    assert Limit(says, fact="x") in limits(bands(512))
    assert says not in {limit.says for limit in limits(bands(511))}


@needs_durable
@pytest.mark.parametrize(
    ("make", "most"),
    [(long, 16), (floors, 32), (bands, 63), (alike, 255), (words, 511), (readers, 510)],
)
def test_what_just_fits_runs_in_durable_rules(make, most: int):
    """At each limit durable-rules gives the firings that the definition gives."""
    clauses = make(most)
    engine = choose.build(clauses, "durable")
    middle = most // 2
    for number in (0.0, 1.0, float(middle), 1000.0):
        facts: dict[str, Value] = {f"y{n}": Span(number, number + 1) for n in range(most)}
        facts["x"] = Span(number, number)
        if make is words:
            facts["x"] = Options.of(f"option-{middle}", "option-0")
        assert engine.run(facts) == direct(clauses, facts)


@needs_durable
def test_durable_rules_is_not_given_what_it_cannot_take():
    """Building an engine past a limit is an error in the words of the limit."""
    with pytest.raises(EngineError, match="256 clauses ask x lo"):
        choose.build(alike(256), "durable")
