"""Puts misspelt words right: the nearest word that questions are known to use.

`lexicon` asks for every word of a question that is in no phrasing. It would rather leave a word
as it is than turn it into another one that only looks alike.
"""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz import process
from rapidfuzz.distance import OSA

SHORTEST = 4
MOST_CANDIDATES = 8
OTHER_START = 0.7
"""What a different first letter counts, beside the edits: people rarely miss it."""


class Speller:
    """Corrects words against a vocabulary; each word once."""

    def __init__(self, vocabulary: Mapping[str, int]) -> None:
        self._count = vocabulary
        self._words = sorted(w for w in vocabulary if w.isalpha() and len(w) >= SHORTEST)
        self._known: dict[str, str] = {}

    def correct(self, word: str) -> str:
        """The word itself where it is known or nothing is near enough."""
        if word in self._count or len(word) < SHORTEST or not word.isalpha():
            return word
        if word not in self._known:
            self._known[word] = self._nearest(word)
        return self._known[word]

    def _nearest(self, word: str) -> str:
        most = _most_edits(len(word))
        found = process.extract(
            word, self._words, scorer=OSA.distance, score_cutoff=most, limit=MOST_CANDIDATES
        )
        near = [
            (edits + (0 if other[0] == word[0] else OTHER_START), -self._count[other], other)
            for other, edits, _ in found
            if other[0] == word[0] or len(word) > SHORTEST
        ]
        return min(near)[2] if near else word


def _most_edits(length: int) -> int:
    return 1 if length < 6 else 2 if length < 9 else 3
