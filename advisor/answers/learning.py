"""Learns from phrasings which features speak for which topic.

A linear model: each feature adds its weight to the score of each topic. The weights are learned by
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

ROUNDS = 6
BOUND = 0.3
MARGIN = 1.0
SEED = 2004
LEAST_WEIGHT = 1e-4

Weights = dict[str, dict[int, float]]


@dataclass(frozen=True, slots=True)
class Learned:
    """What each feature adds to the score of each topic, by the topic's place in `topics`."""

    topics: tuple[str, ...]
    weights: Mapping[str, Mapping[int, float]]

    def scores(self, vector: Vector) -> list[float]:
        """The score of every topic for a question."""
        return _scores(vector, self.weights, len(self.topics))


def learn(samples: Sequence[tuple[Vector, str]], topics: Sequence[str]) -> Learned:
    """The model that tells the topics of the samples apart."""
    place = {topic: i for i, topic in enumerate(topics)}
    weights: Weights = {}
    drift: Weights = {}
    order = list(range(len(samples)))
    chance = random.Random(SEED)
    step = 1
    for _ in range(ROUNDS):
        chance.shuffle(order)
        for i in order:
            vector, topic = samples[i]
            right = place[topic]
            scores = _scores(vector, weights, len(topics))
            wrong = max((j for j in range(len(topics)) if j != right), key=scores.__getitem__)
            loss = MARGIN - scores[right] + scores[wrong]
            if loss > 0:
                length = sum(w * w for w in vector.values())
                _update(weights, vector, right, wrong, size := min(BOUND, loss / (2 * length or 1)))
                _update(drift, vector, right, wrong, size * step)
            step += 1
    averaged = {
        feature: {
            j: round(weight, 6)
            for j, total in sorted(row.items())
            if abs(weight := total - drift[feature][j] / step) >= LEAST_WEIGHT
        }
        for feature, row in sorted(weights.items())
    }
    return Learned(tuple(topics), averaged)


def _scores(vector: Vector, weights: Mapping[str, Mapping[int, float]], count: int) -> list[float]:
    scores = [0.0] * count
    for feature, value in vector.items():
        for topic, weight in weights.get(feature, {}).items():
            scores[topic] += value * weight
    return scores


def _update(weights: Weights, vector: Vector, right: int, wrong: int, size: float) -> None:
    for feature, value in vector.items():
        row = weights.setdefault(feature, {})
        row[right] = row.get(right, 0.0) + size * value
        row[wrong] = row.get(wrong, 0.0) - size * value
