"""The rules run by durable-rules; the only module that imports it.

`choose` builds it from clauses, and it answers with the firings of one call at a time. It must
stay inside what release 2.0.28 does safely (tests/test_durable_pins.py says what that is): none of
its sugar, no host, no timers, no negation, one session at a time and each of them closed.
"""

from __future__ import annotations

import functools
import itertools
import json
import threading
import time
import weakref
from collections.abc import Callable, Iterable, Mapping
from importlib.metadata import version
from typing import Any

import durable.engine
import durable_rules_engine
from durable.engine import MessageNotHandledException, Promise, Ruleset

from advisor.engine.base import Catch, EngineError
from advisor.engine.compile import Comparison, Pattern, Token, compile_clauses, plain
from advisor.engine.limits import limits
from advisor.terms import Clause, Firing, Value

# The library times its actions by the wall clock and drops the result of one that seems to take
# over ten seconds, as all do while the clock is put forward. Its clock call also warns since 3.12.
durable.engine._unix_now = time.monotonic

_OPENING = "(call)"
"""What the fact that opens a session is called: no fact of the knowledge base has brackets."""

_OPERATORS = {">=": "$gte", "<": "$lt"}

_Action = Callable[[Any], None]


class DurableEngine:
    """Rules held by one durable-rules ruleset; every run is a session of its own."""

    name: str = "durable-rules"
    version: str = version("durable-rules")

    def __init__(self, clauses: Iterable[Clause]) -> None:
        """Compile the clauses.

        Raises:
            EngineError: for clauses that cannot be compiled or that durable-rules cannot take.
        """
        clauses = tuple(clauses)
        if over := limits(clauses):
            raise EngineError("; ".join(limit.says for limit in over))
        self._compiled = compile_clauses(clauses)
        self._catch = Catch()
        self._opened = _Opened()
        self._sessions = itertools.count(1)
        self._lock = threading.Lock()
        rules = [_rule(_OPENING, [Pattern(_OPENING, ())])]
        actions = {_OPENING: _opening(self._opened)}
        for rule in self._compiled.rules:
            rules.append(_rule(rule.name, rule.patterns))
            actions[rule.name] = _firing(self._catch, rule.firing)
        self._rules = _PlainRuleset("{" + ",".join(rules) + "}", actions)
        weakref.finalize(self, durable_rules_engine.delete_ruleset, self._rules.handle)

    def run(self, facts: Mapping[str, Value]) -> frozenset[Firing]:
        """The clauses that fire on these facts."""
        tokens = list(self._compiled.tokens(facts))
        with self._lock:
            self._catch.clear()
            self._opened.session = ""
            session = str(next(self._sessions))
            try:
                # Closing a session in which no action ever ran frees memory that was never set,
                # so the first fact of each fires a rule, and a session is closed if that ran.
                self._tell(_fact(0, session, Token(_OPENING, ())))
                if self._opened.session != session:
                    raise EngineError("durable-rules did not open a session")
                for place, token in enumerate(tokens, 1):
                    self._tell(_fact(place, session, token))
                    self._catch.reraise()
            finally:
                if self._opened.session == session:
                    self._rules.delete_state(session)
            return self._catch.firings()

    def _tell(self, fact: str) -> None:
        try:
            state = self._rules.assert_text(fact)
        except MessageNotHandledException:
            return  # it passed no test of any rule
        except durable_rules_engine.error as error:
            raise EngineError(f"durable-rules refused {fact}: {error}") from error
        ends: list[tuple[BaseException | None, Any]] = []
        self._rules.do_actions(state, lambda error, state: ends.append((error, state)))
        if not ends:
            raise EngineError(f"durable-rules lost the result of an action after {fact}")
        for failure, state in ends:
            if failure is not None:
                raise failure
            if state and "exception" in state:
                raise EngineError(f"durable-rules swallowed an exception: {state['exception']}")


class _Opened:
    """The session that was opened last."""

    session = ""


class _PlainRuleset(Ruleset):  # type: ignore[misc]
    """The library's ruleset, given text.

    It would write rules and facts itself, and 0.00001 as 1e-05, which its own parser refuses.
    """

    def __init__(self, rules: str, actions: Mapping[str, _Action]) -> None:
        self._name = "cameback"
        self._host = None
        self._actions = {name: Promise(action) for name, action in actions.items()}
        self._handle = durable_rules_engine.create_ruleset(self._name, rules)

    @property
    def handle(self) -> int:
        """What the library knows the ruleset by."""
        handle: int = self._handle
        return handle

    def assert_text(self, fact: str) -> int:
        """Assert one fact and return the session it is in."""
        result = durable_rules_engine.assert_fact(self._handle, fact)
        state: int = self._handle_result(result, fact)
        return state


# Actions take exactly one parameter: with a second one, even a default, the library would wait
# for them to call back.


def _opening(opened: _Opened) -> _Action:
    def act(closure: Any) -> None:
        opened.session = closure.s.sid

    return act


def _firing(catch: Catch, firing: Firing) -> _Action:
    def act(closure: Any) -> None:  # noqa: ARG001
        catch(firing)

    return act


def _rule(name: str, patterns: Iterable[Pattern]) -> str:
    """A rule as text. `dist: 0` lets one fact meet two conditions of the same rule."""
    whole = ",".join(f'{{"m{place}":{_tests(each)}}}' for place, each in enumerate(patterns))
    return f'{json.dumps(name)}:{{"all":[{whole}],"dist":0}}'


def _tests(pattern: Pattern) -> str:
    """The tests of a pattern as text, that of the fact's name always first."""
    named = Comparison("k", "==", pattern.fact)
    return '{"$and":[' + ",".join(_test(test) for test in (named, *pattern.tests)) + "]}"


def _test(test: Comparison) -> str:
    field = _field(test.field, test.value)
    return f"{{{field}}}" if test.op == "==" else f'{{"{_OPERATORS[test.op]}":{{{field}}}}}'


def _fact(number: int, session: str, token: Token) -> str:
    """A fact as text.

    Without an id of its own it would get a hash of its text, and with a chance hit be dropped.
    """
    fields = "".join(f",{_field(name, value)}" for name, value in token.fields)
    return f'{{"id":"{number}","sid":"{session}","k":{_quoted(token.fact)}{fields}}}'


def _field(name: str, value: float | str) -> str:
    text = _quoted(value) if isinstance(value, str) else plain(value)
    return f'"{name}":{text}'


@functools.lru_cache(maxsize=4096)
def _quoted(text: str) -> str:
    """Text in quotes; the names of facts and options come again with every call."""
    return json.dumps(text)
