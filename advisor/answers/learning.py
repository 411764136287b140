"""Learns from phrasings which features speak for which topic.

A linear model: each feature adds its weight to the score of each label. The weights are learned by
passive-aggressive updates, averaged over all steps, in a fixed order, so that the same phrasings
always give the same model. It knows nothing of words.

References:
    Online passive-aggressive algorithms, Journal of Machine Learning Research 7, 2006 (cited from
    memory).
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.answers.features import Vector

ROUNDS = 4
BOUND = 0.3
MARGIN = 1.0
SEED = 2004
DECIMALS = 4

Weights = dict[str, dict[int, float]]


@dataclass(frozen=True, slots=True)
class Learned:
    """What each feature adds to the score of each label.

    A row holds the places of labels and their weights by turns, which is quick to read and keep.
    """

    labels: tuple[str, ...]
    rows: Mapping[str, Sequence[float]]

    def scores(self, vector: Vector) -> list[float]:
        """The score of every label."""
        scores = [0.0] * len(self.labels)
        for feature, value in vector.items():
            row = self.rows.get(feature, ())
            for i in range(0, len(row), 2):
                scores[int(row[i])] += value * row[i + 1]
        return scores


def learn(samples: Sequence[tuple[Vector, str]], labels: Sequence[str]) -> Learned:
    """The model that tells the labels of the samples apart."""
    place = {label: i for i, label in enumerate(labels)}
    weights: Weights = {}
    drift: Weights = {}
    order = list(range(len(samples)))
    chance = random.Random(SEED)
    step = 1
    for _ in range(ROUNDS):
        chance.shuffle(order)
        for i in order:
            vector, label = samples[i]
            right = place[label]
            scores = _scores(vector, weights, len(labels))
            wrong = max((j for j in range(len(labels)) if j != right), key=scores.__getitem__)
            loss = MARGIN - scores[right] + scores[wrong]
            if loss > 0:
                length = sum(w * w for w in vector.values())
                size = min(BOUND, loss / (2 * length or 1))
                _update(weights, vector, right, wrong, size)
                _update(drift, vector, right, wrong, size * step)
            step += 1
    rows = {f: _averaged(row, drift[f], step) for f, row in sorted(weights.items())}
    return Learned(tuple(labels), {f: row for f, row in rows.items() if row})


def _averaged(row: Mapping[int, float], drift: Mapping[int, float], steps: int) -> list[float]:
    result: list[float] = []
    for j, total in sorted(row.items()):
        weight = round(total - drift[j] / steps, DECIMALS)
        if weight:
            result.extend((j, weight))
    return result


def _scores(vector: Vector, weights: Weights, count: int) -> list[float]:
    scores = [0.0] * count
    for feature, value in vector.items():
        for label, weight in weights.get(feature, {}).items():
            scores[label] += value * weight
    return scores


def _update(weights: Weights, vector: Vector, right: int, wrong: int, size: float) -> None:
    for feature, value in vector.items():
        row = weights.setdefault(feature, {})
        row[right] = row.get(right, 0.0) + size * value
        row[wrong] = row.get(wrong, 0.0) - size * value
