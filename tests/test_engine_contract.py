"""What every engine promises, each held against the direct evaluator on generated rules and calls.

Runs over all the engines that can be imported here. It must not lean on how an engine is built,
save for the hook that makes an action fail.
"""

from __future__ import annotations

import gc
import os
import random
import subprocess
import sys
import threading
import weakref
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from oracle import direct

from advisor.engine import choose
from advisor.engine.base import Engine, EngineError
from advisor.engine.limits import limits
from advisor.terms import Clause, Condition, Firing, Options, Span, Truth, Value

ENGINES = choose.available()
each_engine = pytest.mark.parametrize("key", ENGINES)

NUMBERS = [f"n{place}" for place in range(5)]
CHOICES = [f"kind.c-{place}" for place in range(4)]
OPTIONS = ["yes", "no", "leaf", "both", "no-one"]
EDGES = [0.0, -0.0, 24.0, 2.0, -3.5, 0.1 + 0.2, 0.3, 1e-9, -1e-9, 5e-324, 1e16, 1e22, -1e300]

numbers = st.one_of(
    st.sampled_from(EDGES),
    st.integers(-40, 40).map(float),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
)
option_sets = st.frozensets(st.sampled_from(OPTIONS), min_size=1)


def spans(ends: st.SearchStrategy[float]) -> st.SearchStrategy[Span]:
    """Spans between two ends; a third of them are points."""
    between = st.tuples(ends, ends).map(lambda pair: Span(min(pair), max(pair)))
    return st.one_of(between, between, ends.map(lambda end: Span(end, end)))


@st.composite
def number_conditions(draw: st.DrawFn) -> Condition:
    """Below, at least, or between; the last may even be a band that nothing is in."""
    low, high = draw(numbers), draw(numbers)
    bounds = draw(st.sampled_from([(low, None), (None, high), (low, high), (high, low)]))
    return Condition(draw(st.sampled_from(NUMBERS)), low=bounds[0], high=bounds[1])


conditions = st.one_of(
    number_conditions(), st.builds(Condition, st.sampled_from(CHOICES), option_sets)
)


@st.composite
def rule_sets(draw: st.DrawFn) -> list[Clause]:
    """A few clauses drawing on one pool of conditions, so that many share some."""
    pool = draw(st.lists(conditions, min_size=1, max_size=12))
    bodies = draw(
        st.lists(st.lists(st.sampled_from(pool), min_size=1, max_size=16), min_size=1, max_size=8)
    )
    return [
        Clause(f"rule-{place // 2}", place % 2, tuple(body)) for place, body in enumerate(bodies)
    ]


def calls(clauses: list[Clause]) -> st.SearchStrategy[dict[str, Value]]:
    """Facts whose numbers often sit on a bound of the clauses; any of them may be missing."""
    told = [c for clause in clauses for c in clause.conditions]
    bounds = [b for c in told for b in (c.low, c.high) if b is not None]
    ends = st.one_of(
        st.sampled_from([*bounds, float("inf"), float("-inf")]) if bounds else numbers, numbers
    )
    every: dict[str, st.SearchStrategy[Value]] = {
        **{fact: spans(ends) for fact in NUMBERS},
        **{fact: option_sets.map(Options) for fact in CHOICES},
        "read_by_nothing": spans(ends),
    }
    return st.fixed_dictionaries({}, optional=every)


def built(key: str, clauses: list[Clause]) -> Engine:
    """The engine asked for, holding the clauses."""
    return choose.build(clauses, key)


def watered(below: float = 24.0) -> Clause:
    """One clause of a choice and a number."""
    leaf = Condition("acts_through", frozenset({"leaf", "both"}))
    return Clause(f"watered-{below:g}", 0, (leaf, Condition("dry_hours_before", high=below)))


CALL: Mapping[str, Value] = {
    "acts_through": Options.of("leaf"),
    "dry_hours_before": Span(4.0, 30.0),
}


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data(), clauses=rule_sets())
def test_every_engine_agrees_with_the_definition(data: st.DataObject, clauses: list[Clause]):
    """On any rules and any calls, every engine gives exactly the firings the definition gives."""
    engines = [built(key, clauses) for key in ENGINES]
    for _ in range(4):
        facts = data.draw(calls(clauses))
        expected = direct(clauses, facts)
        for engine in engines:
            assert engine.run(facts) == expected, engine.name


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data(), clauses=rule_sets(), seed=st.integers(0, 1000))
def test_order_changes_nothing(data: st.DataObject, clauses: list[Clause], seed: int):
    """Clauses and facts given in another order give the same firings."""
    facts = data.draw(calls(clauses))
    shuffled = random.Random(seed).sample(clauses, len(clauses))
    turned = dict(random.Random(seed).sample(list(facts.items()), len(facts)))
    for key in ENGINES:
        assert built(key, shuffled).run(turned) == built(key, clauses).run(facts)


@each_engine
@pytest.mark.parametrize(
    ("span", "forms"),
    [
        (Span(4.0, 4.0), {Truth.SHOWN, Truth.OPEN}),
        (Span(4.0, 23.999), {Truth.SHOWN, Truth.OPEN}),
        (Span(4.0, 24.0), {Truth.OPEN}),
        (Span(23.0, 300.0), {Truth.OPEN}),
        (Span(24.0, 24.0), set()),
        (Span(24.0, 30.0), set()),
    ],
)
def test_a_bound_belongs_to_the_band_above_it(key: str, span: Span, forms: set[Truth]):
    """`below: 24` certainly holds of less than 24, possibly of what reaches below it, else not."""
    engine = built(key, [watered()])
    firings = engine.run({"acts_through": Options.of("leaf"), "dry_hours_before": span})
    facts = ("acts_through", "dry_hours_before")
    assert firings == {Firing("watered-24", 0, form, facts) for form in forms}


@each_engine
def test_a_missing_fact_holds_its_clause_back(key: str):
    """A clause one of whose facts is not there does not fire; without facts nothing does."""
    engine = built(key, [watered()])
    assert engine.run({"acts_through": Options.of("leaf")}) == frozenset()
    assert engine.run({}) == frozenset()


@each_engine
def test_one_fact_may_meet_two_conditions_of_a_clause(key: str):
    """A clause that asks the same fact twice, even in the same words, fires on that one fact."""
    floor, ceiling = Condition("x", low=1.0), Condition("x", high=9.0)
    clauses = [Clause("twice", 0, (floor, ceiling, floor))]
    firings = built(key, clauses).run({"x": Span(3.0, 4.0)})
    assert firings == {Firing("twice", 0, f, ("x", "x", "x")) for f in (Truth.SHOWN, Truth.OPEN)}


@each_engine
def test_sixteen_conditions_are_joined(key: str):
    """A clause of sixteen conditions fires when all hold and not when the last does not."""
    clause = Clause("long", 0, tuple(Condition(f"f{n}", low=float(n)) for n in range(16)))
    facts: dict[str, Value] = {f"f{n}": Span(n, n) for n in range(16)}
    engine = built(key, [clause])
    assert engine.run(facts) == direct([clause], facts) != frozenset()
    assert engine.run({**facts, "f15": Span(14.0, 14.9)}) == frozenset()


@each_engine
def test_names_need_not_be_plain(key: str):
    """Facts and options with quotes, backslashes, accents or spaces are told apart."""
    odd = ['say "hi"', "back\\slash", "café crème", "(call)x"]
    clauses = [Clause(name, 0, (Condition(name, frozenset({name})),)) for name in odd]
    facts: dict[str, Value] = {name: Options.of(name, "other") for name in odd}
    assert built(key, clauses).run(facts) == direct(clauses, facts)


@each_engine
def test_a_fact_of_the_wrong_sort_is_refused(key: str):
    """A choice where the rules read a number is an error, and the next call is answered."""
    engine = built(key, [watered()])
    with pytest.raises(EngineError, match="dry_hours_before is tested as a number"):
        engine.run({"dry_hours_before": Options.of("yes")})
    with pytest.raises(EngineError, match="acts_through is tested as a choice"):
        engine.run({"acts_through": Span(0.0, 1.0)})
    assert engine.run(CALL) == direct([watered()], CALL)


@each_engine
@pytest.mark.parametrize("failure", [ValueError("broken"), KeyboardInterrupt()])
def test_an_action_that_fails_is_heard_and_forgotten(
    key: str, failure: BaseException, monkeypatch: pytest.MonkeyPatch
):
    """What an action raises, even an interrupt, comes out of `run`; later runs are sound."""
    engine: Any = built(key, [watered(), watered(below=100.0)])
    expected = direct([watered(), watered(below=100.0)], CALL)

    def fail(_: Firing) -> None:
        raise failure

    for _ in range(3):
        with monkeypatch.context() as patch:
            patch.setattr(engine._catch, "record", fail)
            with pytest.raises(type(failure)):
                engine.run(CALL)
        assert engine.run(CALL) == expected


@each_engine
def test_threads_may_share_an_engine(key: str):
    """Four threads running different calls on one engine each get their own answer."""
    clauses = [watered(below=float(hours)) for hours in range(1, 33)]
    engine = built(key, clauses)
    wrong: list[int] = []

    def ask(hours: int) -> None:
        facts: dict[str, Value] = {**CALL, "dry_hours_before": Span(hours, hours + 3.0)}
        expected = direct(clauses, facts)
        for _ in range(25):
            if engine.run(facts) != expected:
                wrong.append(hours)

    threads = [threading.Thread(target=ask, args=(hours,)) for hours in (2, 10, 20, 31)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="reads memory from /proc")
@each_engine
def test_memory_stays_flat(key: str):
    """Two thousand runs after a first two hundred grow the process by less than four megabytes."""
    clauses = [watered(below=float(hours)) for hours in range(1, 31)]
    engine = built(key, clauses)

    def rss_mb(runs: int) -> float:
        for run in range(runs):
            engine.run({**CALL, "dry_hours_before": Span(run % 40, run % 40 + 0.123)})
        pages = int(Path("/proc/self/statm").read_text().split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6

    before = rss_mb(200)
    assert rss_mb(2000) - before < 4


@each_engine
def test_a_dropped_engine_is_freed(key: str):
    """An engine that was built and run is collected once nobody holds it."""
    engine = built(key, [watered()])
    engine.run(CALL)
    gone = weakref.ref(engine)
    del engine
    gc.collect()
    assert gone() is None


@each_engine
def test_an_engine_says_what_it_is(key: str):
    """`answering` gives the name and version of the engine that is built."""
    engine = built(key, [watered()])
    assert choose.answering(key) == (engine.name, engine.version)
    assert engine.version[0].isdigit()


@pytest.mark.skipif("durable" not in ENGINES, reason="durable-rules is not installed")
def test_durable_rules_answers_where_it_can_be_had():
    """`auto` takes durable-rules when it can be imported."""
    assert choose.answering() == choose.answering("durable")
    assert choose.build([watered()]).name == "durable-rules"


@pytest.mark.skipif("clips" not in ENGINES, reason="clipspy is not installed")
def test_clips_answers_where_durable_rules_cannot_be_had(monkeypatch: pytest.MonkeyPatch):
    """Without durable-rules `auto` takes CLIPS, and asking for durable-rules says so."""
    monkeypatch.setitem(sys.modules, "advisor.engine.durable_engine", None)
    assert choose.available() == ("clips",)
    assert choose.build([watered()]).run(CALL) == direct([watered()], CALL)
    with pytest.raises(EngineError, match="durable engine cannot be imported"):
        choose.build([watered()], "durable")


def test_without_any_engine_the_error_says_what_to_install(monkeypatch: pytest.MonkeyPatch):
    """With neither engine `build` and `answering` name the two that could be installed."""
    for module in ("durable_engine", "clips_engine"):
        monkeypatch.setitem(sys.modules, f"advisor.engine.{module}", None)
    assert choose.available() == ()
    for ask in (lambda: choose.build([watered()]), choose.answering):
        with pytest.raises(EngineError, match="install durable-rules or clipspy"):
            ask()


def test_an_unknown_engine_is_refused():
    """An engine nobody knows is an error that names the known ones."""
    with pytest.raises(EngineError, match="no engine is called abacus; there are durable, clips"):
        choose.build([watered()], "abacus")


def test_choosing_imports_no_engine():
    """Importing `choose` imports neither engine."""
    code = (
        "import sys, advisor.engine.choose; print('durable' in sys.modules, 'clips' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]


@pytest.mark.skipif("durable" not in ENGINES, reason="durable-rules is not installed")
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    bands=st.lists(
        st.tuples(st.integers(0, 40), st.integers(1, 12), st.sampled_from(["low", "high", "both"])),
        min_size=10,
        max_size=45,
        unique=True,
    ),
    probes=st.lists(st.tuples(st.integers(-1, 55), st.integers(0, 9)), min_size=5, max_size=5),
)
def test_what_the_limits_allow_runs(
    bands: list[tuple[int, int, str]], probes: list[tuple[int, int]]
):
    """Many bands on one fact are either refused by `limits` or run by durable-rules."""
    clauses = []
    for place, (low, width, sort) in enumerate(bands):
        floor, ceiling = float(low), float(low + width)
        band = Condition(
            "x", low=floor if sort != "high" else None, high=ceiling if sort != "low" else None
        )
        clauses.append(Clause(f"r{place}", 0, (band,)))
    if limits(clauses):
        with pytest.raises(EngineError, match="at most"):
            built("durable", clauses)
        return
    engine = built("durable", clauses)
    for low, width in probes:
        facts = {"x": Span(low, low + width)}
        assert engine.run(facts) == direct(clauses, facts)
