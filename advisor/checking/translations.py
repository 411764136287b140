"""What is not translated yet, or from a text that has changed: notices, no problems.

A language may grow bit by bit: what it lacks is said in English. `run` gathers these sentences for
the command line to print.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.languages import ENGLISH, digest
from advisor.model import KnowledgeBase, Language

CUSTOMER = ("customer-", "answer-")
"""How the ids of phrases start that customers read."""
FOR_TECHNICIANS = "answer-head-"


def notices(base: KnowledgeBase) -> Iterator[str]:
    """One sentence for each sort of gap in each language."""
    for language in base.languages.values():
        if language.id == ENGLISH:
            continue  # the texts are in English; the folder says how figures are read
        for what, count, of in _gaps(base, language):
            if count:
                yield f"{language.id}: {count} of {of} {what} are said in English"
        for name in sorted(_stale(base, language)):
            now = digest(base.answers[name])
            yield f"{language.id}: the answer {name} was translated from another text; now {now}"
        if language.unreviewed:
            count = len(language.unreviewed)
            yield f"{language.id}: {count} files need a review by a native speaker"


def _gaps(base: KnowledgeBase, language: Language) -> Iterator[tuple[str, int, int]]:
    """What is translated by its id: how much is missing, of how much."""
    phrases = {
        name
        for name in base.phrases
        if name.startswith(CUSTOMER) and not name.startswith(FOR_TECHNICIANS)
    }
    asked = {base.facts[name].ask for name in language.asks}
    asks = {fact.ask for fact in base.facts.values() if fact.ask}
    names = {*base.weeds, *base.turf}
    for what, wanted, there in (
        ("kinds", {*base.kinds}, {*language.entries}),
        ("causes", {*base.causes}, {*language.entries}),
        ("stops", {*base.stops}, {*language.entries}),
        ("phrases", phrases, {*language.phrases}),
        ("questions", asks, asked),
        ("names of weeds and grasses", names, {*language.names}),
        ("answers", {*base.answers}, {*language.answers}),
    ):
        yield what, len(wanted - there), len(wanted)


def _stale(base: KnowledgeBase, language: Language) -> set[str]:
    """The answers whose English texts are not those that were translated."""
    return {
        name
        for name, wording in language.answers.items()
        if name in base.answers and wording.of != digest(base.answers[name])
    }
