"""The features of a question that topics are told apart by, with their weights.

Words, stems and pairs of either, pieces of four letters (which survive odd spellings), groups of
synonyms and pairs of groups. `learning` learns from them; the weights depend on how rare
a feature is among the phrasings, never on a topic.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from advisor.answers.lexicon import Reading

PIECE: Final = 4
KINDS: Final = {"w": 1.0, "s": 0.7, "p": 1.0, "g": 0.5}
"""Kind of feature, the first letter of its name, to the weight of that kind as a whole."""

Vector = dict[str, float]


def features(reading: Reading) -> Iterator[str]:
    """The features of a text, as often as they occur."""
    said = [_shape(w) for w in reading.words]
    for word in said:
        yield f"w{word}"
        padded = f" {word} "
        for i in range(max(1, len(padded) - PIECE + 1)):
            yield f"p{padded[i : i + PIECE]}"
    for stem in reading.stems:
        yield stem_feature(stem)
    for kind, row in (("w", said), ("s", [_shape(w) for w in reading.stems])):
        for one, other in itertools.pairwise(row):
            yield f"{kind}{one} {other}"
    for group in reading.groups:
        yield f"g{group}"
    for one, other in itertools.combinations(reading.groups, 2):
        yield f"g{one} {other}"


def stem_feature(stem: str) -> str:
    """The feature that a stem is."""
    return f"s{_shape(stem)}"


def _shape(word: str) -> str:
    """A number as what sort of number it is: how big matters, not which."""
    return f"{len(word)}0" if word[:1].isdigit() else word


def rarity(readings: Iterable[Reading]) -> dict[str, float]:
    """How much each feature tells: the rarer, the more."""
    count, seen = 0, Counter[str]()
    for reading in readings:
        count += 1
        seen.update(set(features(reading)))
    return {f: 1 + math.log((1 + count) / (1 + n)) for f, n in sorted(seen.items())}


def vector(reading: Reading, rare: Mapping[str, float]) -> Vector:
    """The weights of a text's known features; each kind of feature has a fixed length."""
    counted = Counter(features(reading))
    result: Vector = {}
    for kind, weight in KINDS.items():
        part = {
            f: (1 + math.log(n)) * rare[f]
            for f, n in sorted(counted.items())
            if f[0] == kind and f in rare
        }
        length = math.sqrt(sum(w * w for w in part.values()))
        for f, w in part.items():
            result[f] = weight * w / length
    return result
