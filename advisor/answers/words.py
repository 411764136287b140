"""A text as plain words: small letters, no accents, no punctuation; and the root of a word.

The first step for questions and phrasings alike. It knows no word and no language.
"""

from __future__ import annotations

import re
import unicodedata

_WORD = re.compile(r"[^\W\d_]+|\d+(?:[.,/]\d+)*")
_APOSTROPHES = str.maketrans("", "", "'’‘`´")
_ENDINGS = ("ings", "ing", "ies", "ied", "es", "ed", "s", "y", "e")
LEAST_ROOT = 3
LONGEST_TEXT = 1000
"""Characters of a question that are looked at; longer ones tell nothing more."""


def words(text: str) -> list[str]:
    """The words and numbers of a text, in order."""
    plain = unicodedata.normalize("NFD", text[:LONGEST_TEXT].casefold().translate(_APOSTROPHES))
    return _WORD.findall("".join(c for c in plain if not unicodedata.combining(c)))


def root(word: str) -> str:
    """A word without the common endings, so that `mowing` and `mowed` are one.

    Not a stem of the language: it serves to look words up in lists that were cut the same way.
    """
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= LEAST_ROOT:
            return word[: -len(ending)]
    return word
