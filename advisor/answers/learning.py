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
"""In later rounds a sample is told apart from its nearest rivals alone, which is quicker."""
SEEDS = (2004, 2005)
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
    """The model that tells the labels of the samples apart; `bound` limits what one may change.

    The mean of several models that saw the samples in different orders: one alone depends on it.
    """
    lesson = _Lesson(samples, labels, bound)
    total: dict[str, dict[int, float]] = {}
    for seed in SEEDS:
        for feature, row in lesson.learned(seed).items():
            mean = total.setdefault(feature, {})
            for j, weight in row.items():
                mean[j] = mean.get(j, 0.0) + weight / len(SEEDS)
    rows = {feature: _flat(row) for feature, row in sorted(total.items())}
    return Learned(tuple(labels), {feature: row for feature, row in rows.items() if row})


def _flat(row: Mapping[int, float]) -> list[float]:
    rounded = ((j, round(weight, DECIMALS)) for j, weight in sorted(row.items()))
    return [x for j, weight in rounded if weight for x in (j, weight)]


class _Lesson:
    """The samples, and for each the labels it is most easily taken for."""

    def __init__(
        self, samples: Sequence[tuple[Vector, str]], labels: Sequence[str], bound: float
    ) -> None:
        place = {label: i for i, label in enumerate(labels)}
        self._samples = [(vector, place[label]) for vector, label in samples]
        self._count = len(labels)
        self._bound = bound
        self._rivals: list[Sequence[int]] = [()] * len(samples)

    def learned(self, seed: int) -> Weights:
        """The averaged weights after all rounds, in the order that the seed gives."""
        weights: Weights = {}
        drift: Weights = {}
        order = list(range(len(self._samples)))
        chance = random.Random(seed)
        step = 1
        for round_ in range(ROUNDS):
            chance.shuffle(order)
            for i in order:
                vector, right = self._samples[i]
                scores, rivals = self._scores(i, weights)
                if round_ > 0:  # before, hardly anything was learned
                    self._rivals[i] = rivals
                wrong = max(rivals, key=scores.__getitem__)
                loss = MARGIN - scores[right] + scores[wrong]
                if loss > 0:
                    length = sum(w * w for w in vector.values())
                    size = min(self._bound, loss / (2 * length or 1))
                    _update(weights, vector, right, wrong, size)
                    _update(drift, vector, right, wrong, size * step)
                step += 1
        return {
            feature: {j: total - drift[feature][j] / step for j, total in row.items()}
            for feature, row in weights.items()
        }

    def _scores(self, i: int, weights: Weights) -> tuple[Mapping[int, float], Sequence[int]]:
        """The scores of a sample's label and of its rivals, and who they are."""
        vector, right = self._samples[i]
        rivals = self._rivals[i]
        if rivals:
            return _scores_of(vector, weights, (right, *rivals)), rivals
        scores = dict(enumerate(_scores(vector, weights, self._count)))
        others = (j for j in range(self._count) if j != right)
        return scores, heapq.nlargest(MOST_RIVALS, others, key=scores.__getitem__)


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
