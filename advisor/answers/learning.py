"""Learns from phrasings which features speak for which topic.

A linear model: each feature adds its weight to the score of each label. The weights are learned by
passive-aggressive updates, averaged over all steps, in a fixed order, so that the same phrasings
always give the same model. It knows nothing of words.

References:
    Online passive-aggressive algorithms, Journal of Machine Learning Research 7, 2006 (cited from
    memory).
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.answers.features import Vector

ROUNDS = 4
MARGIN = 1.0
MOST_RIVALS = 6
"""After the first round a sample is told apart from its nearest rivals alone, which is quicker."""
SEED = 2004
DECIMALS = 3

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


def learn(samples: Sequence[tuple[Vector, str]], labels: Sequence[str], bound: float) -> Learned:
    """The model that tells the labels of the samples apart; `bound` limits what one may change."""
    place = {label: i for i, label in enumerate(labels)}
    weights: Weights = {}
    drift: Weights = {}
    order = list(range(len(samples)))
    chance = random.Random(SEED)
    step = 1
    rivals: list[Sequence[int]] = [()] * len(samples)
    for _ in range(ROUNDS):
        chance.shuffle(order)
        for i in order:
            vector, label = samples[i]
            right = place[label]
            if not rivals[i]:
                scores = dict(enumerate(_scores(vector, weights, len(labels))))
                others = (j for j in range(len(labels)) if j != right)
                rivals[i] = heapq.nlargest(MOST_RIVALS, others, key=scores.__getitem__)
            else:
                scores = _scores_of(vector, weights, (right, *rivals[i]))
            wrong = max(rivals[i], key=scores.__getitem__)
            loss = MARGIN - scores[right] + scores[wrong]
            if loss > 0:
                length = sum(w * w for w in vector.values())
                size = min(bound, loss / (2 * length or 1))
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


def _scores_of(vector: Vector, weights: Weights, labels: Sequence[int]) -> dict[int, float]:
    rows = [(weights[feature], value) for feature, value in vector.items() if feature in weights]
    return {j: sum([value * row.get(j, 0.0) for row, value in rows]) for j in labels}


def _update(weights: Weights, vector: Vector, right: int, wrong: int, size: float) -> None:
    for feature, value in vector.items():
        row = weights.setdefault(feature, {})
        row[right] = row.get(right, 0.0) + size * value
        row[wrong] = row.get(wrong, 0.0) - size * value
