"""Lays out the answer to a homeowner's question: read out, as a text message, e-mail or page.

Takes a `Reply`; every sentence comes from the knowledge base. A text message never exceeds its
length, whatever has to be left out; the version is printed everywhere, so that two people can see
that they said the same.
"""

from __future__ import annotations

import enum
import re

from advisor.answers.answering import Reply
from advisor.answers.compose import SENTENCE, Composed
from advisor.answers.filling import Filling
from advisor.answers.finding import Verdict
from advisor.model import KnowledgeBase
from advisor.render.layout import BOLD, DIM, RED, Page
from advisor.render.say import phrase, title

LONGEST_TEXT = 320
CAUTIONS = ("label", "gear", "people", "weather", "water")


class Channel(enum.StrEnum):
    """How the answer is passed on."""

    SPOKEN = "spoken"
    EMAIL = "email"
    TEXT = "text"
    PRINT = "print"


def customer_answer(reply: Reply, base: KnowledgeBase, channel: Channel, page: Page) -> str:
    """The answer for a homeowner."""
    composed = reply.composed
    if composed is None:
        return _no_answer(reply, base, page)
    if channel is Channel.TEXT:
        return text_message(composed, base) + "\n"
    if channel is Channel.SPOKEN:
        first = [composed.lead, *composed.first, composed.short, *composed.told]
        _paragraphs([*first, *composed.added, composed.exact], page)
        _also(reply, base, page)
        page.text(phrase(base, "customer-caution-label"), 0)
    else:
        _full(reply, composed, base, channel, page)
    page.blank()
    page.text(version_line(composed, base), 0, DIM)
    return str(page)


def version_line(composed: Composed, base: KnowledgeBase) -> str:
    """The topic and the version of what was said."""
    return phrase(base, "answer-version", topic=composed.topic.id, version=composed.version)


def text_message(composed: Composed, base: KnowledgeBase) -> str:
    """At most `LONGEST_TEXT` characters: what to do first, then as much as fits."""
    mark = f" [{composed.version}]"
    room = LONGEST_TEXT - len(mark)
    texts = (composed.lead, *composed.first, composed.short)
    first = [sentence for text in texts for sentence in _sentences(text)]
    said: list[str] = []
    for sentence in first:
        if len(" ".join([*said, sentence])) > room:
            break
        said.append(sentence)
    else:
        more = [*composed.told, *composed.added, composed.exact]
        more.append(phrase(base, "customer-caution-label"))
        for text in more:
            if text and len(" ".join([*said, text])) <= room:
                said.append(text)
    return " ".join(said)[:room] + mark


def _sentences(text: str) -> list[str]:
    return SENTENCE.split(text) if text else []


def _paragraphs(texts: list[str], page: Page) -> None:
    for text in texts:
        if text:
            page.text(text, 0)


def _full(
    reply: Reply, composed: Composed, base: KnowledgeBase, channel: Channel, page: Page
) -> None:
    """The whole answer: an e-mail's body without a greeting, or a page with its title."""
    if channel is Channel.PRINT:
        page.head(title(composed.topic.title))
        asked = " ".join(re.sub(r"[^\w\s.,:;?!'\"()/-]", " ", reply.question).split())
        page.text(phrase(base, "answer-asked", question=asked), 0, DIM)
        page.blank()
    if composed.lead:
        page.text(composed.lead, 0, RED)
        page.blank()
    _paragraphs([*composed.first, composed.answer, *composed.told], page)
    for text in composed.added:
        page.item("-", text, 0)
    _paragraphs([composed.exact], page)
    _also(reply, base, page)
    page.head(phrase(base, "answer-safe"))
    for name in CAUTIONS if not composed.lead else CAUTIONS[:1]:
        page.item("-", phrase(base, f"customer-caution-{name}"), 0)
    if channel is Channel.PRINT and composed.topic.related:
        page.head(phrase(base, "answer-more"))
        for name in composed.topic.related:
            page.item("-", title(base.answers[name].title), 0)


def _also(reply: Reply, base: KnowledgeBase, page: Page) -> None:
    """What else was asked, where first aid came first."""
    if reply.also is None:
        return
    page.blank()
    page.text(phrase(base, "answer-also", title=reply.also.topic.title), 0)
    page.text(reply.also.short, 0)


def _no_answer(reply: Reply, base: KnowledgeBase, page: Page) -> str:
    """A question back, or that there is no answer, with the topics that come nearest."""
    nearest = reply.found.nearest if reply.found else ()
    if reply.verdict is Verdict.EITHER:
        first, second = (c.topic.title for c in nearest[:2])
        page.text(phrase(base, "answer-either", first=first, second=second), 0)
        return str(page)
    page.text(phrase(base, "answer-none"), 0)
    if nearest:
        page.text(phrase(base, "answer-none-nearest"), 0)
        for candidate in nearest:
            page.item("-", candidate.topic.title, 0)
        page.text(phrase(base, "answer-none-kept"), 0)
    return str(page)


def technician_answer(reply: Reply, base: KnowledgeBase, page: Page) -> str:
    """The answer for the technician: exact, with every figure and where it comes from."""
    composed = reply.composed
    if composed is None:
        _no_answer(reply, base, page)
        _nearest(reply, base, page)
        return str(page)
    page.head(title(composed.topic.title), BOLD)
    if composed.lead:
        page.item("!", composed.lead, style=RED)
    page.head(phrase(base, "answer-head-technician"))
    page.text(composed.technician)
    page.head(phrase(base, "answer-head-said"))
    said = (*composed.first, composed.short, *composed.told, *composed.added, composed.exact)
    for text in filter(None, said):
        page.text(text)
    figures = [f for f in composed.fillings.values() if not f.dropped]
    if figures:
        page.head(phrase(base, "answer-head-figures"))
        for figure in figures:
            page.item("-", _figure(figure))
    if reply.also is not None:
        page.blank()
        page.text(phrase(base, "answer-also", title=reply.also.topic.title))
        page.text(reply.also.technician)
    _nearest(reply, base, page)
    if composed.topic.related:
        page.head(phrase(base, "answer-head-related"))
        page.text(", ".join(composed.topic.related))
    page.blank()
    page.text(version_line(composed, base), 2, DIM)
    return str(page)


def _figure(figure: Filling) -> str:
    name = figure.name.replace("_", " ")
    return f"{name}: {figure.words} [{figure.origin}]"


def _nearest(reply: Reply, base: KnowledgeBase, page: Page) -> None:
    if reply.found is None:
        return
    page.head(phrase(base, "answer-head-nearest"))
    for candidate in reply.found.nearest:
        share = f"{candidate.confidence * 100:.0f} in 100"
        page.item("-", f"{candidate.topic.id} ({share}): {candidate.topic.title}")
