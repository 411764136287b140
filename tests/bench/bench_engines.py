"""How long each engine takes on a call, beside the direct evaluator, and whether memory stays flat.

Run it by hand: `python tests/bench/bench_engines.py`. It asserts that all three agree on every
call it times; it is no test and pytest never collects it.
"""

from __future__ import annotations

import argparse
import platform
import random
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from oracle import direct

from advisor.engine import choose
from advisor.terms import Clause, Condition, Firing, Span, Value

FACTS = 50
RULES = 200
TIMED = 200

Call = Mapping[str, Value]
Run = Callable[[Call], frozenset[Firing]]


def rules(rng: random.Random) -> list[Clause]:
    """Synthetic rules of two to four conditions, each a band, a floor or a ceiling."""
    return [
        Clause(f"rule-{place}", 0, tuple(condition(rng) for _ in range(rng.randint(2, 4))))
        for place in range(RULES)
    ]


def condition(rng: random.Random) -> Condition:
    """A condition on one of the facts, with bounds in steps of ten."""
    low = 10.0 * rng.randint(1, 6)
    high = low + 10.0 * rng.randint(1, 3)
    bounds = rng.choice(((low, None), (None, high), (low, high)))
    return Condition(f"fact_{rng.randrange(FACTS)}", low=bounds[0], high=bounds[1])


def call(rng: random.Random) -> Call:
    """A call that tells every fact: half of them exactly, the others as an interval."""
    facts: dict[str, Value] = {}
    for place in range(FACTS):
        low = rng.uniform(0, 100)
        facts[f"fact_{place}"] = Span(low, low + rng.choice((0.0, rng.uniform(0, 40))))
    return facts


def rss_mb() -> float:
    """Resident memory of this process."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6


def timed(run: Run, calls: list[Call]) -> tuple[float, list[frozenset[Firing]]]:
    """Milliseconds per call, and the answers."""
    for facts in calls[:20]:
        run(facts)
    start = time.perf_counter()
    answers = [run(facts) for facts in calls]
    return (time.perf_counter() - start) * 1000 / len(calls), answers


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--calls", type=int, default=20_000, help="calls for the memory check")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    rng = random.Random(options.seed)
    clauses = rules(rng)
    calls = [call(rng) for _ in range(TIMED)]

    engines: dict[str, Run] = {"direct evaluator": lambda facts: direct(clauses, facts)}
    building: dict[str, float] = {"direct evaluator": 0.0}
    for key in choose.available():
        name = " ".join(choose.answering(key))
        start = time.perf_counter()
        engines[name] = choose.build(clauses, key).run
        building[name] = (time.perf_counter() - start) * 1000

    print(f"Python {platform.python_version()}, {platform.machine()}; {RULES} rules in two forms,")
    print(f"{FACTS} interval facts, {TIMED} calls")
    print(f"{'':24}{'build ms':>10}{'ms a call':>11}{'ratio':>8}")
    expected: list[frozenset[Firing]] = []
    base = 0.0
    for name, run in engines.items():
        took, answers = timed(run, calls)
        expected, base = (expected or answers), (base or took)
        assert answers == expected, f"{name} disagrees with the direct evaluator"
        print(f"{name:24}{building[name]:10.1f}{took:11.3f}{took / base:8.1f}")
    fired = sum(map(len, expected)) / len(expected)
    print(f"all agree on every call; {fired:.1f} engine rules fire a call on average\n")

    print(
        f"memory over {options.calls} calls{'before MB':>14}{'after MB':>11}{'grew kB a call':>16}"
    )
    for name, run in list(engines.items())[1:]:
        for facts in calls:
            run(facts)
        before = rss_mb()
        for place in range(options.calls):
            run(calls[place % TIMED])
        after = rss_mb()
        grew = (after - before) * 1000 / options.calls
        print(f"{name:{26 + len(str(options.calls))}}{before:9.1f}{after:11.1f}{grew:16.3f}")


if __name__ == "__main__":
    main()
