"""What several test files lean on: the knowledge base as shipped, loaded once, and an advisor.

Both are read only; a test that wants another knowledge base builds its own. Nothing here asserts
anything.
"""

from __future__ import annotations

import pytest

from advisor.diagnosis import Advisor
from advisor.knowledge import load, shipped
from advisor.model import KnowledgeBase


@pytest.fixture(scope="session")
def base() -> KnowledgeBase:
    """The knowledge base as shipped."""
    return load(shipped("knowledge"))


@pytest.fixture(scope="session")
def advisor(base: KnowledgeBase) -> Advisor:
    """An advisor on the knowledge base as shipped, with the engine that answers by default."""
    return Advisor(base)
