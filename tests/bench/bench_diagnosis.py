"""How long a diagnosis takes from the shell and in one process, what each engine costs, and memory.

Run it by hand: `python tests/bench/bench_diagnosis.py [--calls 20000] [--profile]`. It asserts that
both engines and the direct evaluator give the same answers while it times them; it is no test and
pytest never collects it.
"""

from __future__ import annotations

import argparse
import cProfile
import io
import os
import platform
import pstats
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT)]

from example_calls import KNOWLEDGE, PATHS  # noqa: E402
from oracle import direct  # noqa: E402

from advisor.call import Call, load_call, load_weather_of  # noqa: E402
from advisor.diagnosis import Advisor  # noqa: E402
from advisor.engine import choose  # noqa: E402
from advisor.knowledge import load  # noqa: E402
from advisor.model import KnowledgeBase  # noqa: E402
from advisor.render.document import diagnosis_document  # noqa: E402
from advisor.terms import Clause, Firing, Value  # noqa: E402
from advisor.weather.record import Weather  # noqa: E402

RUNS = 9
SECONDS = 3.0
TARGET_S = 0.5
CALL = str(PATHS["ground-ivy-watered"])
Told = tuple[Call, Weather | None]
COMMAND = [sys.executable, "-c", "from cli.main import main; main()", "diagnose", CALL]


class Direct:
    """The direct evaluator in the place of an engine."""

    name = "direct"
    version = "evaluator"

    def __init__(self, clauses: Iterable[Clause]) -> None:
        self.clauses = tuple(clauses)

    def run(self, facts: Mapping[str, Value]) -> frozenset[Firing]:
        """The clauses that fire on these facts."""
        return direct(self.clauses, facts)


def direct_advisor(base: KnowledgeBase) -> Advisor:
    """An advisor whose rules are decided straight from the definition of a condition."""
    found = Advisor(base, choose.available()[0])
    tiers = (base.kinds, base.causes, base.stops)
    found.tiers._engines = [
        Direct(clause for owner in tier.values() for rule in owner.rules for clause in rule.clauses)
        for tier in tiers
    ]
    return found


def rss_mb() -> float:
    """Resident memory of this process now, where the system tells it; else the most it ever had."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
    except OSError:
        return peak_mb()
    return pages * resource.getpagesize() / 1e6


def peak_mb(whose: int = resource.RUSAGE_SELF) -> float:
    """The most memory this process, or any one that it has started and seen end, ever had."""
    most = resource.getrusage(whose).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def children_cpu() -> float:
    """Processor seconds of the processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def process_environment(folder: Path) -> dict[str, str]:
    """The environment of a process that keeps its copies of knowledge and bytecode in a folder."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "CAMEBACK_CACHE": str(folder / "cache")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    return environment | {"PYTHONPYCACHEPREFIX": str(folder / "bytecode")}


def process_times(folder: Path) -> None:
    """Whole processes, as a user meets them: with the copies of knowledge and bytecode, without."""
    environment = process_environment(folder)
    bare = {**environment, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPYCACHEPREFIX": str(folder / "x")}
    cases: list[tuple[str, list[str], dict[str, str]]] = [
        ("python -c pass", [sys.executable, "-c", "pass"], environment),
        ("--help", [*COMMAND[:3], "--help"], environment),
        ("diagnose, warm", COMMAND, environment),
        ("diagnose, knowledge read anew", COMMAND, {**environment, "CAMEBACK_CACHE": ""}),
        ("diagnose, no bytecode either", COMMAND, {**bare, "CAMEBACK_CACHE": ""}),
    ]
    print(f"one process, median of {RUNS}{'wall s':>18}{'fastest':>10}{'slowest':>10}{'CPU s':>10}")
    for name, command, case in cases:
        walls, cpus = [], []
        for run in range(RUNS + 1):
            start, used = time.perf_counter(), children_cpu()
            subprocess.run(command, env=case, stdout=subprocess.DEVNULL, check=True)
            if run:  # the first one fills the copies
                walls.append(time.perf_counter() - start)
                cpus.append(children_cpu() - used)
        middle = statistics.median(walls)
        figures = (middle, min(walls), max(walls), statistics.median(cpus))
        verdict = f"   target {TARGET_S}: {'met' if middle < TARGET_S else 'MISSED'}"
        print(f"  {name:32}", *(f"{figure:9.3f}" for figure in figures), end="")
        print(verdict if name == "diagnose, warm" else "")
    print(f"  the most memory any of them had: {peak_mb(resource.RUSAGE_CHILDREN):.1f} MB\n")


def per_second(run: Callable[[Told], object], calls: list[Told]) -> float:
    """Calls a second of processor time, over whole rounds of all the calls."""
    for call in calls:
        run(call)
    rounds, start = 0, time.process_time()
    while (took := time.process_time() - start) < SECONDS:
        for call in calls:
            run(call)
        rounds += 1
    return rounds * len(calls) / took


def answers(advisor: Advisor, calls: list[Told]) -> list[dict[str, Any]]:
    """The documents of all the calls, without the name of the engine."""
    documents = [diagnosis_document(advisor.diagnose(*call), advisor.base) for call in calls]
    for document in documents:
        del document["engine"]
    return documents


def rules_only(advisor: Advisor, calls: list[Told]) -> Callable[[Told], object]:
    """What `diagnose` asks of the engines on a call, and nothing else."""
    values = {id(call): advisor.diagnose(*call).values for call in calls}
    engines = advisor.tiers._engines

    def run(call: Told) -> object:
        told = values[id(call)]
        first, last = engines[0].run(told[-1]), engines[2].run(told[-1])
        return first, [engines[1].run(one) for one in told], last

    return run


def engines(advisors: dict[str, Advisor], building: dict[str, float], calls: list[Told]) -> None:
    """Calls a second with each engine, side by side and as ratios."""
    rules = sum(1 for _ in next(iter(advisors.values())).base.rules())
    print(f"in one process, {len(calls)} example calls in turn, {rules} rules")
    print(f"  {'':24}{'build ms':>10}{'calls/s':>10}{'ratio':>8}{'rules/s':>10}{'ratio':>8}")
    expected: list[dict[str, Any]] = []
    whole_base = rules_base = 0.0
    for name, advisor in advisors.items():
        found = answers(advisor, calls)
        expected = expected or found
        assert found == expected, f"{name} does not answer like the others"
        whole = per_second(lambda told, one=advisor: one.diagnose(*told), calls)
        alone = per_second(rules_only(advisor, calls), calls)
        whole_base, rules_base = whole_base or whole, rules_base or alone
        print(f"  {name:24}{building[name]:10.1f}{whole:10.1f}{whole / whole_base:8.2f}", end="")
        print(f"{alone:10.1f}{alone / rules_base:8.2f}")
    print("  the same documents from all; rules/s: the rules alone, all tiers of a call\n")


def memory(advisors: dict[str, Advisor], calls: list[Told], count: int) -> None:
    """Memory before and after many calls."""
    if not count:
        return
    print(f"memory over {count} calls{'before MB':>16}{'after MB':>10}{'bytes a call':>14}")
    for name, advisor in advisors.items():
        for call in calls:
            advisor.diagnose(*call)
        before = rss_mb()
        for place in range(count):
            advisor.diagnose(*calls[place % len(calls)])
        after = rss_mb()
        grew = (after - before) * 1e6 / count
        print(f"  {name:{19 + len(str(count))}}{before:15.1f}{after:10.1f}{grew:14.1f}")
    print(f"  the most this process ever had: {peak_mb():.1f} MB\n")


def profiles(advisors: dict[str, Advisor], calls: list[Told], folder: Path) -> None:
    """Where the time goes: in one process, imports and all, and from call to call."""
    file = folder / "process.prof"
    code = f"import sys; sys.argv[1:] = ['diagnose', {CALL!r}]; from cli.main import main; main()"
    command = [sys.executable, "-c", f"import cProfile; cProfile.run({code!r}, {str(file)!r})"]
    environment = process_environment(folder)
    for _ in range(2):  # the first one fills the copies
        subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=True)
    print("one process, warm, by own time")
    print(_table(pstats.Stats(str(file))))
    for name, advisor in advisors.items():
        profile = cProfile.Profile()
        profile.enable()
        for call in calls:
            advisor.diagnose(*call)
        profile.disable()
        print(f"{len(calls)} calls with {name}, by own time")
        print(_table(pstats.Stats(profile)))


def _table(stats: pstats.Stats) -> str:
    text = io.StringIO()
    stats.stream = text  # type: ignore[attr-defined]
    stats.strip_dirs().sort_stats("tottime").print_stats(15)
    return "\n".join(line for line in text.getvalue().splitlines() if line.strip())


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--calls", type=int, default=20_000, help="calls for the memory check")
    parser.add_argument("--profile", action="store_true", help="also print where the time goes")
    options = parser.parse_args()
    print(f"Python {platform.python_version()}, {platform.machine()}, {os.cpu_count()} cores")
    with tempfile.TemporaryDirectory() as folder:
        measure(Path(folder), options.calls, profile=options.profile)


def measure(folder: Path, count: int, *, profile: bool) -> None:
    """Everything, with the copies of the processes in a folder."""
    process_times(folder)
    base = load(KNOWLEDGE)
    read = [load_call(path, base) for path in PATHS.values()]
    calls = [(call, load_weather_of(call)) for call in read]
    advisors, building = {}, {}
    makers: dict[str, Callable[[], Advisor]] = {"direct evaluator": lambda: direct_advisor(base)}
    for key in choose.available():
        makers[" ".join(choose.answering(key))] = lambda key=key: Advisor(base, key)  # type: ignore[misc]
    for name, make in makers.items():
        start = time.perf_counter()
        advisors[name] = make()
        building[name] = (time.perf_counter() - start) * 1000
    building["direct evaluator"] = 0.0
    engines(advisors, building, calls)
    del advisors["direct evaluator"]
    memory(advisors, calls, count)
    if profile:
        profiles(advisors, calls, folder)


if __name__ == "__main__":
    main()
