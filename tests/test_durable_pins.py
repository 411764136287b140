"""What durable-rules 2.0.28 does, wherever our adapter relies on it or steers around it.

One small test for each behaviour, on the library itself and then on the adapter. Whatever crashes,
hangs or leaves a broken session behind runs in a process of its own; where the harm is a matter of
luck, only the safe side is pinned.
"""

from __future__ import annotations

import gc
import json
import os
import platform
import subprocess
import sys
import textwrap
import threading
import time
from typing import Any

import pytest

from advisor.engine.base import EngineError
from advisor.engine.compile import Pattern, compile_clauses, plain
from advisor.terms import Clause, Condition, Firing, Options, Span, Truth, Value

durable = pytest.importorskip("durable.engine")
adapter = pytest.importorskip("advisor.engine.durable_engine")
library = pytest.importorskip("durable_rules_engine")

on_glibc = pytest.mark.skipif(
    platform.libc_ver()[0] != "glibc", reason="needs an allocator that can be told to soil memory"
)

FIRST = {"id": "0", "sid": "s", "k": "(call)"}

PRELUDE = """
import durable.engine as durable, durable_rules_engine as library, time, sys
durable._unix_now = time.monotonic
hits = []
def hit(name):
    def act(c):
        hits.append(name)
    return act
def test(*tests):
    return {"$and": [*tests]}
def ruleset(**rules):
    whole = {"start": {"all": [{"m": test({"k": "(call)"})}], "run": hit("start")}}
    for name, (parts, act) in rules.items():
        parts = [{f"m{n}": part} for n, part in enumerate(parts)]
        whole[name] = {"all": parts, "run": act or hit(name)}
    return durable.Ruleset("pins", None, whole)
def tell(rules, **fact):
    ends = []
    rules.do_actions(rules.assert_fact(fact), lambda error, state: ends.append((error, state)))
    return ends
"""


def alone(code: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run code that uses the library in a process of its own."""
    whole = PRELUDE + textwrap.dedent(code)
    return subprocess.run(
        [sys.executable, "-c", whole],
        capture_output=True,
        text=True,
        timeout=20,
        check=False,
        env={**os.environ, **environment},
    )


def told(code: str) -> list[str]:
    """The words printed by such code, which must end well."""
    done = alone(code)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def rules_text(clauses: list[Clause]) -> str:
    """The rules as the adapter writes them."""
    rules = compile_clauses(clauses).rules
    return ",".join(adapter._rule(rule.name, rule.patterns) for rule in rules)


def dry(below: float = 24.0) -> list[Clause]:
    """One clause of a number and a choice."""
    leaf = Condition("acts_through", frozenset({"leaf", "both"}))
    return [Clause("dry", 0, (Condition("dry_hours", high=below), leaf))]


CALL: dict[str, Value] = {"dry_hours": Span(4.0, 4.0), "acts_through": Options.of("leaf")}


def test_the_pins_are_for_this_release():
    """The release that these tests describe is the one installed."""
    assert adapter.DurableEngine.version == "2.0.28"


# ---- threads and time ---------------------------------------------------------------------------


def test_a_host_starts_threads():
    """A `Host` leaves two timer threads behind as soon as it is made."""
    assert told("import threading; durable.Host(); print(threading.active_count())") == ["3"]


def test_the_adapter_starts_no_thread():
    """Importing, building and running leaves only the threads that were there."""
    before = set(threading.enumerate())
    adapter.DurableEngine(dry()).run(CALL)
    assert set(threading.enumerate()) == before


def test_a_slow_action_loses_its_result_and_the_adapter_notices(monkeypatch: pytest.MonkeyPatch):
    """An action that seems to take over ten seconds never completes: the adapter raises."""
    engine = adapter.DurableEngine(dry())
    clock = iter(range(0, 10_000, 11))
    with monkeypatch.context() as patch:
        patch.setattr(durable, "_unix_now", lambda: next(clock))
        with pytest.raises(EngineError, match="lost the result of an action"):
            engine.run(CALL)
    assert len(engine.run(CALL)) == 2


def test_the_library_is_given_a_clock_that_cannot_jump():
    """Actions are timed by the monotonic clock, so putting the clock forward loses nothing."""
    assert durable._unix_now is time.monotonic


# ---- sessions -----------------------------------------------------------------------------------


@on_glibc
def test_closing_a_session_without_an_action_frees_garbage():
    """On memory that is not zero, deleting a session in which no action ran kills the process."""
    done = alone(
        """
        rules = ruleset(r=([test({"k": "a"}), test({"k": "b"})], None))
        rules.assert_fact({"id": "1", "sid": "s", "k": "a"})
        rules.delete_state("s")
        """,
        MALLOC_PERTURB_="165",
    )
    assert done.returncode < 0


@on_glibc
def test_the_adapter_closes_every_session_cleanly():
    """On the same memory the adapter runs, whether or not any clause fires."""
    done = alone(
        """
        from advisor.engine.durable_engine import DurableEngine
        from advisor.terms import *
        engine = DurableEngine([Clause("r", 0, (Condition("x", low=1.0),))])
        for facts in ({"x": Span(2.0, 3.0)}, {"x": Span(0.0, 0.5)}, {}, {"y": Span(0.0, 1.0)}):
            print(len(engine.run(facts)))
        """,
        MALLOC_PERTURB_="165",
    )
    assert (done.returncode, done.stdout.split()) == (0, ["2", "0", "0", "0"])


def test_open_sessions_run_out():
    """The 1,025th session left open is refused as if memory had run out."""
    assert told(
        """
        rules = ruleset()
        for session in range(1024):
            tell(rules, id="0", sid=str(session), k="(call)")
        try:
            tell(rules, id="0", sid="last", k="(call)")
        except MemoryError:
            print("refused", len(hits))
        """
    ) == ["refused", "1024"]


def test_a_failed_run_leaves_no_session_open():
    """More failing runs than there is room for sessions, and the engine still answers."""
    engine: Any = adapter.DurableEngine(dry())
    record = engine._catch.record

    def fail(_: Firing) -> None:
        raise LookupError("lost")

    engine._catch.record = fail
    for _ in range(1100):
        with pytest.raises(LookupError, match="lost"):
            engine.run(CALL)
    engine._catch.record = record
    assert len(engine.run(CALL)) == 2


def test_a_dropped_engine_gives_its_ruleset_back():
    """The library no longer knows the ruleset of an engine that is gone."""
    engine = adapter.DurableEngine(dry())
    handle = engine._rules.handle
    del engine
    gc.collect()
    with pytest.raises(library.error, match="111"):
        library.get_state(handle, "s")


# ---- actions ------------------------------------------------------------------------------------


def test_an_exception_in_an_action_is_only_text_in_the_state():
    """What an action raises is swallowed: the run completes and its state says what happened."""
    words = told(
        """
        def act(c):
            raise KeyboardInterrupt("stop")
        rules = ruleset(r=([test({"k": "a"})], act))
        tell(rules, id="0", sid="s", k="(call)")
        [(error, state)] = tell(rules, id="1", sid="s", k="a")
        print(error, "exception" in state)
        """
    )
    assert words == ["None", "True"]


def test_a_second_parameter_makes_an_action_wait_for_ever():
    """With a second parameter, even a default, an action never completes unless it calls back."""
    words = told(
        """
        def act(c, extra=None):
            hits.append("ran")
        rules = ruleset(r=([test({"k": "a"})], act), q=([test({"k": "b"})], None))
        tell(rules, id="0", sid="s", k="(call)")
        print(tell(rules, id="1", sid="s", k="a"), end=" ")
        print(len(tell(rules, id="2", sid="s", k="b")), *hits)
        """
    )
    assert words == ["[]", "1", "start", "ran"]


def test_our_actions_take_one_parameter():
    """The factories make actions of exactly one parameter."""
    engine = adapter.DurableEngine(dry())
    counts = {action._func.__code__.co_argcount for action in engine._rules._actions.values()}
    assert counts == {1}


# ---- facts --------------------------------------------------------------------------------------


def test_a_fact_no_rule_uses_raises():
    """Asserting a fact that passes no whole test raises; the session goes on."""
    words = told(
        """
        rules = ruleset(r=([test({"k": "a"}, {"$lt": {"hi": 5.0}})], None))
        tell(rules, id="0", sid="s", k="(call)")
        for number, hi in enumerate((7.0, 3.0), 1):
            try:
                tell(rules, id=str(number), sid="s", k="a", hi=hi)
            except durable.MessageNotHandledException:
                print("unused")
        print(*hits)
        """
    )
    assert words == ["unused", "start", "r"]


def test_a_repeated_id_raises():
    """A second fact with the id of the first is refused, whatever it says."""
    words = told(
        """
        rules = ruleset(r=([test({"k": "a"})], None), q=([test({"k": "b"})], None))
        tell(rules, id="0", sid="s", k="(call)")
        tell(rules, id="1", sid="s", k="a")
        try:
            tell(rules, id="1", sid="s", k="b")
        except durable.MessageObservedException:
            print("observed", *hits)
        """
    )
    assert words == ["observed", "start", "r"]


def test_our_ids_have_no_hash_in_common():
    """The library knows a fact by a 32-bit hash (FNV-1a) of its id; no two of ours share one."""

    def fnv(text: str) -> int:
        value = 2166136261
        for byte in text.encode():
            value = (value ^ byte) * 16777619 % 2**32
        return value

    assert len({fnv(str(number)) for number in range(20_000)}) == 20_000


def test_numbers_and_words_are_confused():
    """1, 1.0, true and "1" are equal, so choices must be words and tests must name the fact."""
    words = told(
        """
        rules = ruleset(r=([test({"k": "a"}, {"v": 1})], None))
        tell(rules, id="0", sid="s", k="(call)")
        for number, value in enumerate((1, 1.0, True, "1"), 1):
            tell(rules, id=str(number), sid="s", k="a", v=value)
        print(hits.count("r"))
        """
    )
    assert words == ["4"]


@pytest.mark.parametrize("number", ["1e-05", "Infinity"])
def test_exponents_and_infinities_cannot_be_read(number: str):
    """A fact with such a number is a parse error."""
    engine = adapter.DurableEngine([Clause("r", 0, (Condition("x", high=5.0),))])
    with pytest.raises(library.error, match="error code: 20"):
        engine._rules.assert_text(f'{{"id":"1","sid":"s","k":"x","lo":{number},"hi":2.0}}')


@pytest.mark.parametrize("number", [1e-05, 1e300, -1e-300, 5e-324, float("inf"), float("-inf")])
def test_plain_decimals_are_read_exactly(number: float):
    """Written plainly, such a number is at least itself and not below itself."""
    bound = float(plain(number)) if abs(number) < 1e301 else 0.0
    clauses = [
        Clause("at-least", 0, (Condition("x", low=bound),)),
        Clause("below", 0, (Condition("x", high=bound),)),
    ]
    fired = {f.rule for f in adapter.DurableEngine(clauses).run({"x": Span(number, number)})}
    assert fired == ({"below"} if number < bound else {"at-least"})


# ---- rules --------------------------------------------------------------------------------------


def test_one_fact_meets_two_conditions_only_when_told_it_may():
    """Without `dist: 0` a rule that asks one fact twice never fires."""
    words = told(
        """
        low, high = test({"k": "a"}, {"$gte": {"lo": 1.0}}), test({"k": "a"}, {"$lt": {"hi": 9.0}})
        for dist in (1, 0):
            rules = durable.Ruleset("pins", None, {
                "start": {"all": [{"m": test({"k": "(call)"})}], "run": hit("start")},
                "r": {"all": [{"m0": low}, {"m1": high}], "run": hit(f"dist-{dist}"), "dist": dist},
            })
            tell(rules, id="0", sid="s", k="(call)")
            tell(rules, id="1", sid="s", k="a", lo=3.0, hi=3.0)
        print(*hits)
        """
    )
    assert words == ["start", "start", "dist-0"]
    text = rules_text(dry())
    assert text.count('"dist":0') == text.count('"all"') == 2


def test_our_rules_say_nothing_that_the_library_gets_wrong():
    """No negation, no alternatives, no test for an absent field: only `and`, `>=`, `<`, equal."""
    band = Condition("x", low=1.0, high=2.0)
    text = "{" + rules_text([*dry(), Clause("band", 0, (band,))]) + "}"

    def names(part: Any) -> set[str]:
        if isinstance(part, dict):
            return set(part).union(*map(names, part.values()))
        return set().union(*map(names, part)) if isinstance(part, list) else set()

    rules = json.loads(text)
    used = set().union(*map(names, rules.values()))
    assert used == {"all", "dist", "m0", "m1", "$and", "$gte", "$lt", "k", "lo", "hi", "v", "c"}


def test_every_test_begins_with_the_name_of_the_fact():
    """A rule that tested an absent field alone would loop for ever; ours test the name first."""
    text = adapter._tests(Pattern("x", compile_clauses(dry()).rules[0].patterns[0].tests))
    assert json.loads(text)["$and"][0] == {"k": "x"}


def test_a_fact_that_passes_65_tests_is_an_error():
    """64 tests passed at once are joined; with 65 the fact is refused with error 303."""
    words = told(
        """
        for count in (64, 65):
            parts = {f"r{n}": ([test({"k": "a"}, {"$lt": {"hi": 5.0 + n}})], None)
                     for n in range(count)}
            rules = ruleset(**parts)
            tell(rules, id="0", sid="s", k="(call)")
            try:
                tell(rules, id="1", sid="s", k="a", lo=1.0, hi=1.0)
            except library.error as error:
                print(str(error)[-3:])
        print(len(hits))
        """
    )
    assert words == ["303", "66"]


def test_257_rules_on_one_test_are_an_error():
    """The 257th rule that ends in the same test is refused with error 108."""
    words = told(
        """
        parts = {f"r{n}": ([test({"k": "a"}, {"$lt": {"hi": 5.0}})], None) for n in range(257)}
        try:
            ruleset(**parts)
        except library.error as error:
            print(str(error)[-3:])
        """
    )
    assert words == ["108"]


def test_255_rules_on_one_test_all_fire():
    """255 rules may end in the same test. A 256th is accepted but reads past the list of them."""
    same = Condition("x", high=5.0)
    clauses = [Clause(f"r{n}", 0, (same,)) for n in range(255)]
    other = Clause("other", 0, (Condition("y", high=5.0),))
    fired = adapter.DurableEngine([*clauses, other]).run({"x": Span(1.0, 1.0)})
    assert len([f for f in fired if f.form is Truth.SHOWN]) == 255
    assert "other" not in {f.rule for f in fired}


def test_512_tests_at_a_node_hang():
    """511 different tests may follow the name of a fact; with 512 building or telling hangs."""
    code = """
        print("building", flush=True)
        rules = ruleset(**{{f"r{{n}}": ([test({{"k": "a"}}, {{"v": f"o{{n}}"}})], None)
                           for n in range({count})}})
        tell(rules, id="0", sid="s", k="(call)")
        tell(rules, id="1", sid="s", k="a", v="o9")
        print(*hits)
    """
    assert told(code.format(count=511)) == ["building", "start", "r9"]
    whole = PRELUDE + textwrap.dedent(code.format(count=512))
    with pytest.raises(subprocess.TimeoutExpired) as hung:
        subprocess.run([sys.executable, "-c", whole], capture_output=True, timeout=1.5, check=False)
    assert hung.value.stdout == b"building\n"


def test_a_17th_condition_is_an_error_when_it_is_met():
    """A rule of 16 conditions fires; one of 17 is accepted, and error 304 when all are met."""
    words = told(
        """
        for count in (16, 17):
            rules = ruleset(r=([test({"k": f"f{n}"}) for n in range(count)], None))
            tell(rules, id="0", sid="s", k="(call)")
            try:
                for n in range(count):
                    tell(rules, id=str(n + 1), sid="s", k=f"f{n}")
            except library.error as error:
                print(n, str(error)[-3:])
        print(*hits)
        """
    )
    assert words == ["16", "304", "start", "r", "start"]
