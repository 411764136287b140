"""What a sprayer puts out, as a page: the figure, what it means for a tank, what to change.

The other side of `dose.calibrate`, and what `cameback calibrate` prints. Every sentence is the
knowledge base's; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from advisor.dose.calibrate import SPREADER, Calibration
from advisor.dose.exact import AREA, SPRAY, Measure, measure
from advisor.dose.remark import Figure, Remark, remark
from advisor.dose.sprayer import Adjust
from advisor.model import KnowledgeBase
from advisor.render.layout import Page
from advisor.render.measured import System, sentence
from advisor.render.mix_page import cautions
from advisor.render.say import phrase

OTHER = {System.US: System.METRIC, System.METRIC: System.US}


def calibration_page(found: Calibration, base: KnowledgeBase, page: Page, system: System) -> str:
    """The whole result as text."""
    page.head(phrase(base, f"calibrate-head-{found.found.of}"))
    for text in output_texts(found, base, system):
        page.text(text)
    parts = {
        "calibrate-head-tank": tank_remarks(found),
        "calibrate-head-against": against_remarks(found),
    }
    for head, remarks in parts.items():
        texts = [sentence(base, each, system) for each in remarks]
        if texts:
            page.head(phrase(base, head))
        for text in texts:
            page.item("-", text)
    product = found.against.product
    cautions([product] if product else [], base, page, system)
    return str(page)


def sentence_page(said: Remark, base: KnowledgeBase, page: Page, system: System) -> str:
    """An answer that is one sentence."""
    page.text(sentence(base, said, system), 0)
    return str(page)


def output_texts(found: Calibration, base: KnowledgeBase, system: System) -> Iterator[str]:
    """What comes out, per 1,000 ft2 and per acre, in both systems, and how it was found."""
    each, acre = measure(found.found.output, found.found.unit), found.found.per_acre
    put_out = remark("calibrate-output", each=each, acre=acre)
    yield sentence(base, put_out, system)
    yield sentence(base, remark("calibrate-other", each=each, acre=acre), OTHER[system])
    yield sentence(base, found.found.how, system)


def tank_remarks(found: Calibration) -> Iterator[Remark]:
    """What it means for a tank and a product."""
    against = found.against
    if found.tank_covers is not None and against.tank is not None:
        covers = measure(found.tank_covers, AREA)
        yield remark("calibrate-tank", tank=measure(against.tank, SPRAY), covers=covers)
    if found.in_a_gallon is None or against.product is None:
        return
    figures: dict[str, Figure] = {
        "product": against.product.name,
        "weed": against.weed.name if against.weed else "",
        "each": found.in_a_gallon,
    }
    yield Remark("calibrate-gallon-weed" if against.weed else "calibrate-gallon", figures)
    if found.in_a_tank is not None:
        yield remark("calibrate-in-tank", amount=found.in_a_tank)


def against_remarks(found: Calibration) -> Iterator[Remark]:
    """Whether it is what is wanted, what to change, how wet the leaves get."""
    unit = found.found.unit
    if found.wanted is not None:
        wanted = Measure(*found.wanted, unit)
        whose = "wanted" if found.against.product is None else "label"
        if found.adjust is None:
            yield remark(f"calibrate-{whose}-met", wanted=wanted)
        else:
            more = "less" if found.adjust.factor > 1 else "more"
            yield remark(f"calibrate-{whose}-{more}", wanted=wanted)
            yield from change_remarks(found, found.adjust)
    if found.leaves is not None:
        yield remark(f"calibrate-leaves-{found.leaves}")
    drops = found.found.drops
    if drops is not None:
        kind = f"{drops.name.replace('-', ' ')} ({drops.letters})"
        if drops.fines is None:
            yield remark("calibrate-drops", kind=kind, droplets=drops.droplets)
        else:
            fines = measure(drops.fines.exact("share")[1], "share")
            yield remark("calibrate-drops-fines", kind=kind, droplets=drops.droplets, fines=fines)
    yield from found.notes


def change_remarks(found: Calibration, change: Adjust) -> Iterator[Remark]:
    """How to get there: the pace, the nozzle, the pressure; a spreader has its gate."""
    slower = change.factor > 1
    by = measure(abs(change.pace - 1), "share")
    if found.found.of == SPREADER:
        yield remark("calibrate-open" if slower else "calibrate-close", times=_times(change.factor))
        return
    yield remark("calibrate-slower" if slower else "calibrate-faster", by=by)
    if found.found.cover is not None:
        now, then = found.found.cover, found.found.cover * change.factor
        yield remark("calibrate-cover", now=measure(now, "s"), then=measure(then, "s"))
    if found.found.pace is not None:
        now, then = found.found.pace, found.found.pace * change.pace
        yield remark("calibrate-pace", now=measure(now, "mph"), then=measure(then, "mph"))
    yield remark("calibrate-nozzle", times=_times(change.factor))
    allowed = "calibrate-pressure" if change.by_pressure else "calibrate-no-pressure"
    yield remark(allowed, times=_times(change.pressure))


def _times(value: Fraction) -> Measure:
    return measure(value, "x")
