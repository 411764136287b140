"""Writes docs/trials.md: what published trials found beside what the kill model expects of them.

Run as `python tests/bench/compare_trials.py`; with `--check` it writes nothing and exits with 1
where the document is out of date. A test does the same.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from statistics import fmean

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from advisor.catalog import Catalog  # noqa: E402
from advisor.knowledge import load  # noqa: E402
from advisor.model import KnowledgeBase  # noqa: E402
from advisor.published import Comparison, compare_all  # noqa: E402
from advisor.render.cards.maker import Maker  # noqa: E402
from advisor.render.cards.others import short_source  # noqa: E402
from advisor.render.cards.trials import model, off, published, treatment  # noqa: E402

DOCUMENT = ROOT / "docs" / "trials.md"
FAR = 0.095
"""Further off than this, in whole percent, is listed with its note."""

INTRODUCTION = """\
# Published trials and the kill model

Written by `tests/bench/compare_trials.py` from `knowledge/trials.yaml`; change those, not this
page.

Each row is a published result and what the kill model would have expected of the same treatment:
the weed's figure for the active in the best season, times the share of the season on the days
sprayed, times what a rule named in the trial leaves; what survives one application meets the
next. Brackets hold the spread that the knowledge base states. The difference is counted in
percentage points from the near end of the published range; *within* means the expected figure
lies in it, *the ranges meet* that the spread reaches it.

The model counts what can never grow again (*plants*). Many trials count something else: *tops* a
few weeks on, *cover* with what grew back in between, *symptoms*. There the model should come out
lower for tops and symptoms, and higher for cover over years.

Agreement proves little where the figure was set with the same source in view; those rows say *set
from it*. The others are the fairer test.
"""


def document(base: KnowledgeBase) -> str:
    """The whole document."""
    maker = Maker(base, Catalog(base))
    compared = compare_all(base)
    lines = [INTRODUCTION, "## In short", "", *_summary(compared), ""]
    lines += ["## Furthest off", "", *_furthest(compared, maker), ""]
    lines += ["## All results", ""]
    for weed in dict.fromkeys(one.trial.weed for one in compared):
        lines += [f"### {base.weeds[weed].name.capitalize()}", ""]
        lines += [*_rows([one for one in compared if one.trial.weed == weed], maker), ""]
    cited = dict.fromkeys(str(one.trial.basis.source) for one in compared)
    lines += ["## Sources", "", *(_source(name, base) for name in sorted(cited))]
    return "\n".join(lines) + "\n"


def _summary(compared: Sequence[Comparison]) -> Iterator[str]:
    yield from _head("results", "number", "within", "ranges meet", "mean difference", "mean size")
    measured = dict.fromkeys(one.trial.measured for one in compared)
    groups: list[tuple[str, Sequence[Comparison]]] = [("all", compared)]
    groups += [(name, [c for c in compared if c.trial.measured == name]) for name in measured]
    groups.append(("set from it", [c for c in compared if c.set_from_it]))
    groups.append(("not set from it", [c for c in compared if not c.set_from_it]))
    for name, several in groups:
        yield _row(
            name,
            str(len(several)),
            str(sum(one.agrees for one in several)),
            str(sum(one.meets for one in several)),
            f"{fmean(one.off for one in several) * 100:+.0f}",
            f"{fmean(abs(one.off) for one in several) * 100:.0f}",
        )


def _furthest(compared: Iterable[Comparison], maker: Maker) -> Iterator[str]:
    far = sorted(compared, key=lambda one: (-abs(one.off), one.trial.id))
    for one in far:
        if abs(one.off) >= FAR:
            trial = one.trial
            why = f" {trial.note}" if trial.note else ""
            what = f"{trial.weed}, {', '.join(trial.actives)}, {treatment(maker, one)}"
            yield f"- `{trial.id}`: {what}: {off(maker, one)}.{why}"


def _rows(compared: Iterable[Comparison], maker: Maker) -> Iterator[str]:
    yield from _head("treatment", "published", "model", "difference", "source", "")
    for one in compared:
        yield _row(
            f"{', '.join(one.trial.actives)}, {treatment(maker, one)}",
            published(one),
            model(one),
            off(maker, one),
            f"`{one.trial.basis.source}`",
            "set from it" if one.set_from_it else "",
        )


def _source(name: str, base: KnowledgeBase) -> str:
    return f"- `{name}`: {base.sources[name].title}. {short_source(base, name)}."


def _head(*cells: str) -> tuple[str, str]:
    return _row(*cells), "|" + "---|" * len(cells)


def _row(*cells: str) -> str:
    return "| " + " | ".join(cells) + " |"


def main(words: Sequence[str]) -> int:
    """Write the document, or only look whether it is up to date."""
    text = document(load(ROOT / "knowledge"))
    if "--check" in words:
        return int(not DOCUMENT.exists() or DOCUMENT.read_text(encoding="utf-8") != text)
    DOCUMENT.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
