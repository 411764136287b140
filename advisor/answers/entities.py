"""What a question itself tells: the weed, the product, the lawn and the amounts named in it.

Lays them over what the options and the call tell: an option comes first, then the question, then
the call. It looks up what `lexicon` found, reads the amounts and guesses nothing.
"""

from __future__ import annotations

from dataclasses import replace

from advisor.answers.amounts import VOLUME, WANTED, amounts
from advisor.answers.context import Context
from advisor.answers.lexicon import PRODUCT, TURF, WEED, Reading, ids
from advisor.model import KnowledgeBase

AREA = "area"


def context_of(
    question: str,
    reading: Reading,
    base: KnowledgeBase,
    options: Context,
    call: Context | None = None,
) -> Context:
    """Everything known when the question is answered."""
    weeds = ids(reading.names, WEED)
    products = ids(reading.names, PRODUCT)
    lawns = ids(reading.names, TURF)
    told = amounts(question, base.speech.heard, (*WANTED, VOLUME))
    areas = [a for a in told if a.dimension == AREA]
    tanks = [a for a in told if a.dimension == VOLUME]
    named = replace(
        options,
        weed=options.weed or (base.weeds[weeds[0]] if weeds else None),
        other_weed=base.weeds[weeds[1]] if len(weeds) > 1 else None,
        product=options.product or (base.products[products[0]] if len(products) == 1 else None),
        turf=options.turf or (base.turf[lawns[0]] if lawns else None),
        area=options.area or (areas[0] if areas else None),
        tank=options.tank or (tanks[0] if tanks else None),
        told=tuple(a for a in told if a.dimension not in (AREA, VOLUME)),
    )
    return named.filled_from(call) if call is not None else named
