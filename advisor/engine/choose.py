"""Which engine answers: durable-rules, or CLIPS where that cannot be had.

The rest of the program comes here for an engine and never names one. An engine is imported only
when it is asked for, and nothing is read from the environment.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable
from typing import Any, cast

from advisor.engine.base import Engine, EngineError
from advisor.terms import Clause

_ENGINES = {
    "durable": ("advisor.engine.durable_engine", "DurableEngine"),
    "clips": ("advisor.engine.clips_engine", "ClipsEngine"),
}
"""The engines in order of preference."""


def build(clauses: Iterable[Clause], prefer: str = "auto") -> Engine:
    """An engine that holds these clauses.

    Args:
        clauses: the rules.
        prefer: `durable`, `clips`, or `auto` for the first of them that can be imported.

    Raises:
        EngineError: if the engine cannot be imported, or cannot take the clauses.
    """
    return cast(Engine, _engine(prefer)(clauses))


def available() -> tuple[str, ...]:
    """The engines that can be imported here, best first."""
    return tuple(key for key in _ENGINES if _imported(key) is not None)


def answering(prefer: str = "auto") -> tuple[str, str]:
    """The name and version of the engine that `build` would use, without building it."""
    engine = _engine(prefer)
    return engine.name, engine.version


def _engine(prefer: str) -> Any:
    if prefer != "auto" and prefer not in _ENGINES:
        raise EngineError(f"no engine is called {prefer}; there are {', '.join(_ENGINES)}")
    for key in _ENGINES if prefer == "auto" else (prefer,):
        if (engine := _imported(key)) is not None:
            return engine
    if prefer == "auto":
        raise EngineError("no rules engine can be imported: install durable-rules or clipspy")
    raise EngineError(f"the {prefer} engine cannot be imported here")


def _imported(key: str) -> Any:
    module, name = _ENGINES[key]
    try:
        return getattr(importlib.import_module(module), name)
    except ImportError:
        return None
