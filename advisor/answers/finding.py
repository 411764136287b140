"""From a homeowner's words to a topic: answer it, ask which of two is meant, or say there is none.

The top of the search; `cli` hands the topic on to `compose`. The same question always finds the
same topic, and nobody is asked to guess: what is not near enough to a phrasing is not answered.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from advisor.answers.kept import Kept
from advisor.answers.lexicon import Reading
from advisor.answers.meaning import Meaning, meaning_of
from advisor.answers.teaching import NOT_OURS, lexicon, material, samples, teach
from advisor.answers.words import words
from advisor.model import KnowledgeBase, Topic

LEAST_OURS, SURELY_OURS = 3.6, 4.8
"""How much a question must sound like ours to be asked back, and to be answered outright; see
docs/answers-measured.md."""
CLEAR_LEAD, CLEARLY_OURS = 0.5, 4.4
"""A topic that leads by so much is answered outright from a little less on."""
FAMILIAR = 3.0
"""What it counts for that all words of a question are familiar."""
TIE = 0.16
"""Scores nearer than this are too close to call."""
FIRST_AID_WITHIN = 0.8
"""How near a topic of first aid must come to the best one to be answered first, if it is called."""
ALSO_FROM, ALSO_WITHIN = 0.3, 0.8
"""What a topic beside first aid must score, and how near to it."""
STEEPNESS = 4.0
"""How steeply a lead in the score turns into confidence."""
MOST_NEAREST = 3


class Verdict(enum.Enum):
    """What to do with a question."""

    ANSWER = "answer"
    EITHER = "either"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A topic with how likely it is the one meant, from 0 to 1, among all topics."""

    topic: Topic
    score: float
    confidence: float


@dataclass(frozen=True, slots=True)
class Found:
    """What was found for a question, likeliest first, and how much it sounds like one of ours.

    `also` is what else was asked where first aid comes first.
    """

    question: str
    reading: Reading
    verdict: Verdict
    nearest: tuple[Candidate, ...]
    ours: float
    also: Topic | None = None

    @property
    def best(self) -> Candidate:
        """The likeliest topic."""
        return self.nearest[0]


class Finder:
    """Finds topics in one knowledge base.

    Args:
        base: the knowledge base.
        cache: where what is learned may be kept; None learns anew each time.
        by_meaning: use sentence vectors where they are installed.
    """

    def __init__(
        self, base: KnowledgeBase, cache: Path | None = None, *, by_meaning: bool = True
    ) -> None:
        self.base = base
        self.words = lexicon(base)
        kept = Kept(cache, base.speech.language, material(base)) if cache else None
        taught = kept.read() if kept else None
        if taught is None:
            taught = teach(base, self.words)
            if kept:
                kept.write(taught)
        self._taught = taught
        self._meaning: Meaning | None = None
        if by_meaning:
            self._meaning = meaning_of(list(samples(base)), taught.topics.labels, cache)

    def find(self, question: str) -> Found | None:
        """The topics nearest to a question; None where there is nothing to go by."""
        reading = self.words.read(question)
        if not self.base.answers or not reading.words:
            return None
        vector = self._taught.vector(reading)
        scores = dict(
            zip(self._taught.topics.labels, self._taught.topics.scores(vector), strict=True)
        )
        if self._meaning is not None:
            for label, more in self._meaning.scores(question).items():
                scores[label] += more
        none = scores.pop(NOT_OURS)
        ours, not_ours = self._taught.ours.scores(vector)
        order = sorted(scores, key=lambda topic: (-scores[topic], topic))
        familiar = FAMILIAR * self._taught.familiar(reading)
        sounds = (ours - not_ours) + (scores[order[0]] - none) + familiar
        first_aid = self._first_aid(order, scores, reading)
        if first_aid is not None:
            order = [first_aid, *(t for t in order if t != first_aid)]
        total = sum(math.exp(STEEPNESS * s) for s in scores.values())
        nearest = tuple(
            Candidate(
                self.base.answers[name], scores[name], math.exp(STEEPNESS * scores[name]) / total
            )
            for name in order[:MOST_NEAREST]
        )
        also = self._also(first_aid, order, scores)
        verdict = self._verdict(nearest, sounds, first_aid)
        if verdict is not Verdict.ANSWER and self._listed(question) == nearest[0].topic.id:
            verdict = Verdict.ANSWER
        return Found(question, reading, verdict, nearest, sounds, also)

    def _listed(self, question: str) -> str | None:
        """The topic that lists a question word for word as a way of asking, if one does."""
        said = words(question)
        ways = ((text, topic) for text, topic in samples(self.base) if topic != NOT_OURS)
        return next((topic for text, topic in ways if words(text) == said), None)

    def _first_aid(
        self, order: list[str], scores: Mapping[str, float], reading: Reading
    ) -> str | None:
        """The topic of first aid that the words call for, where it is near enough to the best."""
        called = self.words.first_aid(reading)
        near = (t for t in called if scores[order[0]] - scores[t] <= FIRST_AID_WITHIN)
        return next(near, None)

    def _also(
        self, first_aid: str | None, order: list[str], scores: Mapping[str, float]
    ) -> Topic | None:
        """What else was asked beside first aid, if anything was."""
        if first_aid is None:
            return None
        for name in order:
            topic = self.base.answers[name]
            if not topic.safety and scores[name] >= max(ALSO_FROM, scores[first_aid] - ALSO_WITHIN):
                return topic
        return None

    def _verdict(
        self, nearest: tuple[Candidate, ...], sounds: float, first_aid: str | None
    ) -> Verdict:
        if sounds < LEAST_OURS:
            return Verdict.NONE
        if first_aid is not None or len(nearest) < 2:
            return Verdict.ANSWER
        apart = nearest[0].score - nearest[1].score
        surely = CLEARLY_OURS if apart >= CLEAR_LEAD else SURELY_OURS
        if not self.base.asking.not_ours:  # what others sound like was never learned
            surely = LEAST_OURS
        return Verdict.EITHER if apart < TIE or sounds < surely else Verdict.ANSWER
