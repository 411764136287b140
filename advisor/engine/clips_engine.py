"""The rules run by CLIPS; the only module that imports clipspy.

`choose` builds it where durable-rules cannot be had, and the tests hold the one against the other.
It must not keep Python objects for facts, which slows CLIPS down run by run: facts go in as one
text and firings come out by a callback.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping
from importlib.metadata import version

import clips

from advisor.engine.base import Catch, EngineError
from advisor.engine.compile import Comparison, EngineRule, Pattern, Token, compile_clauses, plain
from advisor.terms import Clause, Firing, Value

_TEMPLATES = (
    "(deftemplate number (slot k) (slot lo) (slot hi))",
    "(deftemplate choice (slot k) (slot v) (slot c))",
)


class ClipsEngine:
    """Rules held by one CLIPS environment, which is reset before every run."""

    name: str = "clipspy"
    version: str = version("clipspy")

    def __init__(self, clauses: Iterable[Clause]) -> None:
        """Compile the clauses.

        Raises:
            EngineError: for clauses that cannot be compiled.
        """
        self._compiled = compile_clauses(clauses)
        self._catch = Catch()
        self._lock = threading.Lock()
        self._environment = clips.Environment()
        # clipspy keeps the callback in a global table for as long as the environment lives; if it
        # held on to the engine, neither would ever go.
        self._environment.define_function(_callback(self._catch, self._compiled.rules), "fired")
        for template in _TEMPLATES:
            self._environment.build(template)
        for place, rule in enumerate(self._compiled.rules):
            self._environment.build(_rule(rule, place, self._compiled.numbers))
        # CLIPS asks every active router about every character it reads; clipspy's is in Python and
        # made loading facts over ten times slower. It only gathers messages about bad syntax.
        for router in self._environment.routers():
            router.deactivate()

    def run(self, facts: Mapping[str, Value]) -> frozenset[Firing]:
        """The clauses that fire on these facts."""
        told = "\n".join(
            _fact(token, self._compiled.numbers) for token in self._compiled.tokens(facts)
        )
        with self._lock:
            self._catch.clear()
            self._environment.reset()
            if told:
                self._environment.load_facts(told)
            ran = self._environment.run()
            firings = self._catch.firings()
            if ran != self._catch.calls:
                raise EngineError(f"CLIPS ran {ran} rules but {self._catch.calls} were heard of")
            return firings


def _callback(catch: Catch, rules: tuple[EngineRule, ...]) -> object:
    def fired(place: int) -> None:
        catch(rules[place].firing)

    return fired


def _rule(rule: EngineRule, place: int, numbers: frozenset[str]) -> str:
    patterns = " ".join(_pattern(pattern, at, numbers) for at, pattern in enumerate(rule.patterns))
    return f"(defrule {rule.name} {patterns} => (fired {place}))"


def _pattern(pattern: Pattern, at: int, numbers: frozenset[str]) -> str:
    tests = " ".join(_test(test, at) for test in pattern.tests)
    return f"({_template(pattern.fact, numbers)} (k {_quoted(pattern.fact)}) {tests})"


def _test(test: Comparison, at: int) -> str:
    if test.op == "==":
        return f"({test.field} {_written(test.value)})"
    variable = f"?{test.field}{at}"
    return f"({test.field} {variable}&:({test.op} {variable} {_written(test.value)}))"


def _fact(token: Token, numbers: frozenset[str]) -> str:
    fields = " ".join(f"({name} {_written(value)})" for name, value in token.fields)
    return f"({_template(token.fact, numbers)} (k {_quoted(token.fact)}) {fields})"


def _template(fact: str, numbers: frozenset[str]) -> str:
    return "number" if fact in numbers else "choice"


def _written(value: float | str) -> str:
    return _quoted(value) if isinstance(value, str) else plain(value)


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
