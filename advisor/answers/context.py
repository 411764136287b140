"""What is known when a question is asked: product, weed, lawn, region, the call, the day.

Built by the command line from options, by `entities` from the question itself and by a call file;
read by `values` and `conditions`. It holds what was found and decides nothing.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from advisor.diagnosis import Diagnosis
from advisor.model import KnowledgeBase, Product, Region, Turf, Weed
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
            other_weed=self.other_weed or other.other_weed,
            told=self.told or other.told,
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
