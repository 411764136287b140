"""What the finder knows: learned from every phrasing of the knowledge base, and kept for next time.

`finding` asks it for the score of each topic and for how much a question sounds like one of ours.
Learning takes some seconds, so the command line hands in a folder where the result may be kept.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.answers import learning
from advisor.answers.features import Vector, rarity, stem_feature, vector
from advisor.answers.lexicon import Lexicon, Reading
from advisor.model import KnowledgeBase

NOT_OURS = "not-ours"
OURS = "ours"
TOPIC_STEP, OURS_STEP = 1.0, 0.1
"""How far one phrasing may move the weights: for the topics, and for whether it is ours at all."""

Sample = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Taught:
    """What was learned: how rare a feature is, what speaks for a topic, what speaks for us."""

    rare: dict[str, float]
    topics: learning.Learned
    ours: learning.Learned

    def vector(self, reading: Reading) -> Vector:
        """A text as the models take it."""
        return vector(reading, self.rare)

    def familiar(self, reading: Reading) -> float:
        """The share of a text's words, from 0 to 1, that phrasings use too."""
        stems = set(reading.stems)
        return sum(stem_feature(stem) in self.rare for stem in stems) / len(stems)


def samples(base: KnowledgeBase) -> Iterator[Sample]:
    """Every way of asking with the topic it asks for; a title and a keyword ask for theirs."""
    for topic in base.answers.values():
        more = base.asking.phrasings.get(topic.id, ())
        for text in (*topic.ask, *more, topic.title, *topic.keywords):
            yield text, topic.id
    for text in base.asking.not_ours:
        yield text, NOT_OURS


def lexicon(base: KnowledgeBase) -> Lexicon:
    """The words that all phrasings use."""
    return Lexicon(base, [text for text, _ in samples(base)])


def teach(base: KnowledgeBase, words: Lexicon) -> Taught:
    """Learn the phrasings of a knowledge base."""
    asked = list(samples(base))
    readings = [words.read(text) for text, _ in asked]
    rare = rarity(readings)
    vectors = [vector(reading, rare) for reading in readings]
    labels = [topic for _, topic in asked]
    told = list(zip(vectors, labels, strict=True))
    sided = [(v, NOT_OURS if label == NOT_OURS else OURS) for v, label in told]
    return Taught(
        rare,
        learning.learn(told, (*base.answers, NOT_OURS), TOPIC_STEP),
        learning.learn(sided, (OURS, NOT_OURS), OURS_STEP),
    )


def material(base: KnowledgeBase) -> str:
    """A digest of everything that decides what is learned."""
    digest = hashlib.sha256()
    asking = base.asking
    parts = [*samples(base), *asking.say.items(), *asking.names.items(), *asking.means.items()]
    parts += [(w.id, w.names) for w in base.weeds.values()]
    parts += [(p.id, p.name) for p in base.products.values()]
    parts += [(t.id, t.name) for t in base.turf.values()]
    for part in parts:
        digest.update(repr(part).encode())
    return digest.hexdigest()
