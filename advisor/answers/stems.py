"""The stems of words, by the published stemmer of the language.

`lexicon` reads a question's words and their stems, so that `sprayed`, `spraying` and `sprays` speak
for the same topics. A language without a stemmer goes by the words as they stand.

References:
    Snowball: a language for stemming algorithms, 2001 (its own package does the work).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import snowballstemmer

NAMES: Final = {
    "da": "danish",
    "de": "german",
    "en": "english",
    "es": "spanish",
    "fi": "finnish",
    "fr": "french",
    "hu": "hungarian",
    "it": "italian",
    "nl": "dutch",
    "no": "norwegian",
    "pt": "portuguese",
    "ro": "romanian",
    "sv": "swedish",
}
"""ISO 639-1 code of a language to the name of its stemmer."""


def stemmer(language: str) -> Callable[[str], str]:
    """What gives a word's stem in a language; the word itself where there is no stemmer."""
    name = NAMES.get(language)
    if name is None:
        return str
    of = snowballstemmer.stemmer(name)
    known: dict[str, str] = {}

    def stem(word: str) -> str:
        if word not in known:
            known[word] = of.stemWord(word)
        return known[word]

    return stem
