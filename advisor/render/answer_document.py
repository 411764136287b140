"""The answer to a question as a JSON document, described by schemas/answer-document.schema.json.

For programs that pass answers on. The format has a version; a key is never dropped or given
another meaning without raising it.
"""

from __future__ import annotations

from typing import Any

from advisor.answers.answering import Reply
from advisor.answers.compose import Composed
from advisor.answers.filling import Filling
from advisor.model import KnowledgeBase
from advisor.render.answer_page import text_message

FORMAT = "cameback-answer"
VERSION = 1


def answer_document(reply: Reply, base: KnowledgeBase) -> dict[str, Any]:
    """The whole reply as plain data."""
    found, ctx = reply.found, reply.context
    return {
        "format": FORMAT,
        "version": VERSION,
        "question": reply.question,
        "language": base.speech.language,
        "verdict": reply.verdict.value,
        "understood": {
            "weed": ctx.weed.id if ctx.weed else None,
            "product": ctx.product.id if ctx.product else None,
            "turf": ctx.turf.id if ctx.turf else None,
            "region": ctx.region.id if ctx.region else None,
            "call": ctx.diagnosis.call.reference if ctx.diagnosis else None,
            "amounts": [a.text for a in (ctx.area, ctx.tank, *ctx.told) if a is not None],
        },
        "nearest": [
            {
                "topic": candidate.topic.id,
                "title": candidate.topic.title,
                "confidence": round(candidate.confidence, 4),
            }
            for candidate in (found.nearest if found else ())
        ],
        "answer": _composed(reply.composed, base) if reply.composed else None,
        "also": _composed(reply.also, base) if reply.also else None,
    }


def _composed(composed: Composed, base: KnowledgeBase) -> dict[str, Any]:
    topic = composed.topic
    return {
        "topic": topic.id,
        "title": topic.title,
        "version": composed.version,
        "safety": topic.safety,
        "lead": composed.lead,
        "first": list(composed.first),
        "answer": composed.answer,
        "short": composed.short,
        "text": text_message(composed, base),
        "told": list(composed.told),
        "added": list(composed.added),
        "exact": composed.exact,
        "technician": composed.technician,
        "cautions": [
            base.phrases[f"customer-caution-{name}"]
            for name in ("label", "gear", "people", "weather", "water")
        ],
        "related": list(topic.related),
        "facts": [_fact(f) for f in composed.fillings.values() if not f.dropped],
    }


def _fact(filling: Filling) -> dict[str, Any]:
    return {
        "name": filling.name,
        "words": filling.words,
        "low": filling.span.low if filling.span else None,
        "high": filling.span.high if filling.span else None,
        "unit": filling.unit or None,
        "known": filling.known,
        "origin": str(filling.origin),
    }
