"""The nearest valid name to a mistyped one.

Every message about an unknown word ends with what these functions return. They know no names of
their own, and they would rather say nothing than guess wildly.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Final

LONGEST_WORD: Final = 80
"""Longer words are no typing mistakes of a name, and comparing them takes long."""


def nearest(word: str, candidates: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The candidate most like the word, if any is at least `cutoff` (0 to 1) alike.

    Case does not count. Of candidates equally alike the first in the alphabet is taken, so that
    the answer does not depend on the order they come in.
    """
    if len(word) > LONGEST_WORD:
        return None
    matcher = difflib.SequenceMatcher(autojunk=False)
    matcher.set_seq2(word.casefold())
    best: tuple[float, str] | None = None
    for candidate in sorted(set(candidates)):
        matcher.set_seq1(candidate.casefold())
        if matcher.real_quick_ratio() < cutoff or matcher.quick_ratio() < cutoff:
            continue
        alike = matcher.ratio()
        if alike >= cutoff and (best is None or alike > best[0]):
            best = (alike, candidate)
    return best[1] if best else None


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """A hint naming the nearest valid name; empty when nothing is near enough."""
    name = nearest(word, candidates)
    return f"nearest valid name: {name}" if name is not None else ""
