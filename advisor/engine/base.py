"""What a rules engine is to the rest of the program, and what its actions leave behind.

`diagnosis` hands the facts of a call to an `Engine` and gets the clauses that fired. Nothing here
may import an engine, so that the program loads where only one of them is installed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from advisor.terms import Firing, Value


class EngineError(Exception):
    """No engine can be had, or one was given rules or facts that it cannot take."""


class Engine(Protocol):
    """Rules compiled once, run on the facts of one call at a time.

    A clause whose conditions all certainly hold fires as SHOWN and as OPEN too; one whose
    conditions all could hold fires as OPEN alone. A condition on a fact that is missing does not
    hold. Facts that no clause reads are ignored. The same facts always give the same firings.
    """

    name: str
    version: str

    def run(self, facts: Mapping[str, Value]) -> frozenset[Firing]:
        """The clauses that fire on these facts."""
        ...


class Catch:
    """What the actions of one run found.

    Engines call actions from C, where an exception is lost. So the first one is kept here and
    raised once the run is over.
    """

    def __init__(self) -> None:
        """Start with nothing found."""
        self._found: set[Firing] = set()
        self._failure: BaseException | None = None
        self.calls = 0

    def __call__(self, firing: Firing) -> None:
        """Record that a clause fired. Never raises."""
        try:
            self.record(firing)
            self.calls += 1
        except BaseException as error:
            if self._failure is None:
                self._failure = error

    def record(self, firing: Firing) -> None:
        """Add one firing."""
        self._found.add(firing)

    def clear(self) -> None:
        """Forget everything: the next run starts."""
        self._found = set()
        self._failure = None
        self.calls = 0

    def reraise(self) -> None:
        """Raise what an action raised, if one did."""
        if self._failure is not None:
            raise self._failure

    def firings(self) -> frozenset[Firing]:
        """Everything found, or the exception that an action raised."""
        self.reraise()
        return frozenset(self._found)
