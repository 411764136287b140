"""The example calls of the knowledge base, diagnosed once and shared by the tests of what is shown.

The golden files, the tests of the renderers and the benchmark take their answers from here. It
must not judge anything.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from advisor.call import Call, load_call, load_weather_of
from advisor.diagnosis import Advisor, Diagnosis
from advisor.knowledge import load
from advisor.model import KnowledgeBase

ROOT = Path(__file__).resolve().parents[1]
KNOWLEDGE = ROOT / "knowledge"
PATHS = {path.stem: path for path in sorted((KNOWLEDGE / "examples").glob("*.yaml"))}
"""Every example call of a comeback, by its name."""


@cache
def knowledge() -> KnowledgeBase:
    """The knowledge base of this checkout, freshly read."""
    return load(KNOWLEDGE)


@cache
def call(name: str) -> Call:
    """One example call."""
    return load_call(PATHS[name], knowledge())


@cache
def advisor(engine: str) -> Advisor:
    """The advisor with one of the engines."""
    return Advisor(knowledge(), engine)


@cache
def diagnosis(name: str, engine: str = "auto") -> Diagnosis:
    """The answer to one example call, with the weather file that it names."""
    return advisor(engine).diagnose(call(name), load_weather_of(call(name)))
