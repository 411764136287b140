"""What is known when a question is asked: product, weed, lawn, region, the call, the day.

Built by the command line from options, by `entities` from the question itself and by a call file;
read by `values` and `conditions`. It holds what was found and decides nothing.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from advisor.diagnosis import Diagnosis
from advisor.model import KnowledgeBase, Product, Region, Topic, Turf, Weed
from advisor.units import Amount


@dataclass(frozen=True, slots=True)
class Context:
    """What is at hand. None where it is not known."""

    base: KnowledgeBase
    today: dt.date
    product: Product | None = None
    weed: Weed | None = None
    turf: Turf | None = None
    region: Region | None = None
    diagnosis: Diagnosis | None = None
    area: Amount | None = None
    tank: Amount | None = None
    other_weed: Weed | None = None
    told: tuple[Amount, ...] = ()

    def filled_from(self, other: Context) -> Context:
        """This context, with what the other knows where this one knows nothing."""
        return replace(
            self,
            product=self.product or other.product,
            weed=self.weed or other.weed,
            turf=self.turf or other.turf,
            region=self.region or other.region,
            diagnosis=self.diagnosis or other.diagnosis,
            area=self.area or other.area,
            tank=self.tank or other.tank,
            other_weed=self.other_weed or other.other_weed,
            told=self.told or other.told,
        )


def in_words_of(topic: Topic, ctx: Context) -> Context:
    """The context in the language of a topic: figures and names of an English text are English."""
    base = ctx.base.original
    if base is None or topic.language == ctx.base.speech.language:
        return ctx
    return replace(
        ctx,
        base=base,
        product=base.products[ctx.product.id] if ctx.product else None,
        weed=base.weeds[ctx.weed.id] if ctx.weed else None,
        other_weed=base.weeds[ctx.other_weed.id] if ctx.other_weed else None,
        turf=base.turf[ctx.turf.id] if ctx.turf else None,
    )


def of_call(diagnosis: Diagnosis, base: KnowledgeBase) -> Context:
    """What a diagnosed call says of the product, the weed, the lawn and the region."""
    call = diagnosis.call
    return Context(
        base=base,
        today=call.reported,
        product=diagnosis.label.product,
        weed=base.weeds.get(call.weed or call.weed_treated or ""),
        turf=base.turf.get(call.turf or ""),
        region=base.regions.get(call.region or ""),
        diagnosis=diagnosis,
    )
