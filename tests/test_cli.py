"""The command line as it is used: exit codes, what goes to which stream, widths, colors, bad input.

Most commands run in this process; a few run as their own, where pipes and streams matter. What the
answers say is held by the golden files, not here.
"""

from __future__ import annotations

import json
import os
import pickle
import random
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from example_calls import KNOWLEDGE, PATHS, ROOT, diagnosis, knowledge
from jsonschema import Draft202012Validator
from typer.main import get_command
from typer.testing import CliRunner, Result

from advisor import __version__
from advisor.engine import choose
from advisor.render.layout import NARROWEST, WIDEST, Page
from advisor.render.technician import technician_page
from cli.main import app

CALL = str(PATHS["ground-ivy-watered"])
OTHER = str(PATHS["violet-it-came-back"])
ESCAPE = re.compile("\x1b\\[[0-9;]*m")
PLACED = re.compile(r"^(.+):(\d+):(\d+): error [CK]\d{3}: \S.*$")
COMMANDS = get_command(app).commands
SCHEMA = json.loads((ROOT / "schemas" / "diagnosis.schema.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache folder of these tests, so that the user's own is left alone."""
    return tmp_path_factory.mktemp("cache")


class Cameback:
    """Runs the command, in this process or in one of its own."""

    def __init__(self, cache: Path) -> None:
        self.environment: dict[str, str | None] = {
            "CAMEBACK_CACHE": str(cache),
            "COLUMNS": "80",
            "NO_COLOR": None,
            "FORCE_COLOR": None,
        }

    def __call__(
        self, *words: str, told: bytes = b"", env: Mapping[str, str | None] | None = None
    ) -> Result:
        """Run in this process. A mistake of the program, not of the caller, is raised."""
        environment = {**self.environment, **(env or {})}
        result = CliRunner().invoke(app, words, input=told, env=environment)
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result

    def command(self, *words: str) -> list[str]:
        """The words that run the command as a process."""
        return [sys.executable, "-c", "from cli.main import main; main()", *words]

    def process_environment(self) -> dict[str, str]:
        """The environment of a process: this one's, with the settings of these tests."""
        both = {**os.environ, **self.environment, "PYTHONPATH": str(ROOT)}
        return {name: value for name, value in both.items() if value is not None}

    def process(self, *words: str, told: bytes = b"") -> subprocess.CompletedProcess[bytes]:
        """Run as a process, with its output piped."""
        environment = self.process_environment()
        return subprocess.run(
            self.command(*words),
            input=told,
            capture_output=True,
            env=environment,
            timeout=60,
            check=False,
        )


@pytest.fixture
def cameback(cache: Path) -> Cameback:
    """The command with a cache of its own."""
    return Cameback(cache)


def problems(result: Result) -> list[tuple[str, int, int]]:
    """The places of the problems on the error stream; its last line counts them."""
    assert "Traceback" not in result.stderr
    *lines, count = result.stderr.splitlines()
    found = [PLACED.match(line) for line in lines if not line.startswith("    ")]
    assert all(found), result.stderr
    assert re.fullmatch(r"\d+ problems?", count)
    return [(m[1], int(m[2]), int(m[3])) for m in found if m]


# ---- exit codes and streams ----------------------------------------------------------------------


def test_an_answer_is_exit_code_0(cameback: Cameback) -> None:
    """An answered call exits with 0, its page on stdout and nothing on stderr."""
    result = cameback("diagnose", CALL)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("LM-0412\n")
    assert "WHAT TO CHANGE" in result.stdout


@pytest.mark.parametrize("name", PATHS)
def test_the_command_prints_the_golden_page(cameback: Cameback, name: str) -> None:
    """What the command prints is the page that the golden files hold, weather file and all."""
    page = technician_page(diagnosis(name), knowledge(), Page(80))
    assert cameback("diagnose", str(PATHS[name])).stdout == page


def test_a_wrong_call_is_exit_code_1(cameback: Cameback, tmp_path: Path) -> None:
    """A wrong call exits with 1, stdout stays empty, and every mistake has its place on stderr."""
    call = tmp_path / "call.yaml"
    call.write_text("reported: 2026-10-06\nweed: ground-iwy\nproduct: larkmor-broadleaf\n")
    result = cameback("diagnose", str(call))
    assert (result.exit_code, result.stdout) == (1, "")
    assert problems(result) == [(str(call), 2, 7), (str(call), 3, 10)]
    assert "nearest valid name: ground-ivy" in result.stderr
    assert result.stderr.splitlines()[-1] == "2 problems"


def test_a_call_from_the_future_is_exit_code_1(cameback: Cameback, tmp_path: Path) -> None:
    """A call reported after today is a mistake in the call."""
    call = tmp_path / "call.yaml"
    call.write_text("reported: 2999-01-01\n")
    result = cameback("diagnose", str(call))
    assert result.exit_code == 1
    assert problems(result) == [(str(call), 1, 11)]


@pytest.mark.parametrize(
    "words",
    [
        ["diagnose"],
        ["nosuch"],
        ["--nosuch"],
        ["diagnose", "--nosuch", CALL],
        ["diagnose", "--for", "neighbor", CALL],
        ["diagnose", "--color", "green", CALL],
        ["diagnose", "--engine", "steam", CALL],
        ["diagnose", "--why", "no-such-cause", CALL],
        ["diagnose", "-", "-"],
        ["check", "one", "two"],
    ],
    ids=" ".join,
)
def test_wrong_words_are_exit_code_2(cameback: Cameback, words: list[str]) -> None:
    """A command that cannot be understood exits with 2 and says so on stderr alone."""
    result = cameback(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.strip() != ""


def test_a_wrong_engine_is_told_the_right_ones(cameback: Cameback) -> None:
    """An engine that does not exist is answered with those that do."""
    result = cameback("diagnose", "--engine", "steam", CALL)
    assert all(name in result.stderr for name in ("steam", "auto", "durable", "clips"))


@pytest.mark.parametrize("engine", choose.available())
def test_engines_can_be_chosen(cameback: Cameback, engine: str) -> None:
    """`--engine` picks the engine that answers, and the page is the same."""
    document = json.loads(cameback("diagnose", CALL, "--json", "--engine", engine).stdout)
    assert document["engine"] == " ".join(choose.answering(engine))
    page = cameback("diagnose", CALL, "--engine", engine).stdout
    assert page == cameback("diagnose", CALL).stdout


def broken_knowledge(folder: Path) -> Path:
    """A copy of the knowledge base with two mistakes in two files."""
    copy = Path(shutil.copytree(KNOWLEDGE, folder / "knowledge"))
    cause, stop = copy / "causes" / "wet-before.yaml", copy / "stops" / "windy.yaml"
    cause.write_text(cause.read_text().replace("dry_hours_before", "dry_hours_befor", 1))
    stop.write_text(stop.read_text().replace("title:", "titel:", 1))
    return copy


@pytest.mark.parametrize(
    "words", [["diagnose", CALL, "--knowledge"], ["check"]], ids=lambda w: w[0]
)
def test_wrong_knowledge_is_exit_code_3(
    cameback: Cameback, tmp_path: Path, words: list[str]
) -> None:
    """A broken knowledge base exits with 3 and names file, line and column of every mistake."""
    copy = broken_knowledge(tmp_path)
    result = cameback(*words, str(copy))
    assert (result.exit_code, result.stdout) == (3, "")
    found = {(Path(path).name, line > 0, column > 0) for path, line, column in problems(result)}
    assert found == {("wet-before.yaml", True, True), ("windy.yaml", True, True)}


def test_another_knowledge_folder_is_used(cameback: Cameback, tmp_path: Path) -> None:
    """`--knowledge` answers from the folder named."""
    copy = Path(shutil.copytree(KNOWLEDGE, tmp_path / "knowledge"))
    weed = copy / "weeds" / "ground-ivy.yaml"
    weed.write_text(weed.read_text().replace("name: ground ivy", "name: creeping jenny", 1))
    result = cameback("diagnose", CALL, "--knowledge", str(copy))
    assert result.exit_code == 0
    assert result.stdout.splitlines()[1].startswith("creeping jenny (")


@pytest.mark.parametrize("what", ["missing", "a file"])
def test_no_knowledge_folder_is_exit_code_3(cameback: Cameback, tmp_path: Path, what: str) -> None:
    """A knowledge folder that is not there, or is a file, exits with 3."""
    folder = tmp_path / "nothing" if what == "missing" else Path(CALL)
    result = cameback("diagnose", CALL, "--knowledge", str(folder))
    assert (result.exit_code, result.stdout) == (3, "")
    assert problems(result) == [(str(folder), 0, 0)]


def test_check_finds_the_shipped_knowledge_sound(cameback: Cameback) -> None:
    """`check` without a folder finds the shipped base sound, counts, and notes translations."""
    result = cameback("check")
    assert (result.exit_code, result.stderr) == (0, "")
    *notes, grades, verdict = result.stdout.splitlines()
    said = r"\d+ {} texts \d+\.\d on average, \d+\.\d at most"
    assert re.fullmatch(
        f"reading grades: {said.format('customer')}; {said.format('technician')}", grades
    )
    assert [note for note in notes if not note.startswith("note: es: ")] == []
    assert re.fullmatch(
        r"sound: \d+ files, \d+ rules with \d+ examples, \d+ example calls", verdict
    )


# ---- several calls, standard input, files that are none ------------------------------------------


def test_good_calls_are_answered_beside_a_bad_one(cameback: Cameback, tmp_path: Path) -> None:
    """Of several calls the good ones are answered, in order; the bad one is told, and exit is 1."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("weed: dandelion\n")
    result = cameback("diagnose", CALL, str(bad), OTHER)
    assert result.exit_code == 1
    alone = [cameback("diagnose", path).stdout for path in (CALL, OTHER)]
    assert result.stdout == "\n".join(alone)
    assert [path for path, _, _ in problems(result)] == [str(bad)]
    assert "error" not in result.stdout


def test_problems_of_all_calls_come_together(cameback: Cameback, tmp_path: Path) -> None:
    """The mistakes of all the files are reported in one run, with one count."""
    for name in ("one.yaml", "two.yaml"):
        (tmp_path / name).write_text("weed: nosuch\n")
    result = cameback("diagnose", str(tmp_path / "one.yaml"), str(tmp_path / "two.yaml"))
    assert {Path(path).name for path, _, _ in problems(result)} == {"one.yaml", "two.yaml"}


def test_fifty_problems_are_enough(cameback: Cameback, tmp_path: Path) -> None:
    """At most fifty problems are printed, then how many more there are, then how many in all."""
    call = tmp_path / "call.yaml"
    call.write_text("reported: 2026-10-06\n" + "".join(f"word{n}: 1\n" for n in range(60)))
    result = cameback("diagnose", str(call))
    lines = [line for line in result.stderr.splitlines() if not line.startswith("    ")]
    assert (len(lines), lines[-2:]) == (52, ["and 10 more", "60 problems"])


def test_a_call_on_standard_input(cameback: Cameback) -> None:
    """`-` reads the call from standard input and gives the same page as the file."""
    result = cameback("diagnose", "-", told=Path(CALL).read_bytes())
    assert result.exit_code == 0
    assert result.stdout == cameback("diagnose", CALL).stdout


def test_problems_on_standard_input_have_places(cameback: Cameback) -> None:
    """A mistake in a call from standard input has its line and column too."""
    result = cameback("diagnose", "-", told=b"reported: 2026-10-06\nweed: dandylion\n")
    assert (result.exit_code, problems(result)) == (1, [("<stdin>", 2, 7)])


def test_a_missing_file_has_a_nearest_name(cameback: Cameback) -> None:
    """A misspelled file name is answered with the nearest one in its folder."""
    path = CALL.replace("watered", "waterd")
    result = cameback("diagnose", path)
    assert (result.exit_code, problems(result)) == (1, [(path, 0, 0)])
    assert "ground-ivy-watered.yaml" in result.stderr


def test_what_is_no_call_file(cameback: Cameback, tmp_path: Path) -> None:
    """An empty file, a folder, a device and a name too long are problems of the call, with 1."""
    empty = tmp_path / "empty.yaml"
    empty.touch()
    for path in (str(empty), str(tmp_path), os.devnull, "x" * 5000):
        result = cameback("diagnose", path)
        assert (result.exit_code, result.stdout) == (1, "")
        assert problems(result) == [(path, 0, 0)]


# ---- why, JSON, the customer ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", sorted([*knowledge().causes, *knowledge().kinds, *knowledge().stops])
)
def test_why_explains_every_conclusion(cameback: Cameback, name: str) -> None:
    """`--why` explains each cause, kind and stop; its heading gives the status of the diagnosis."""
    result = cameback("diagnose", CALL, "--why", name)
    assert (result.exit_code, result.stderr) == (0, "")
    found = diagnosis("ground-ivy-watered")
    statuses = {c.cause.id: c.truth.value for c in found.weighing.causes}
    statuses |= {s.stop.id: s.truth.value for s in found.stops}
    if name not in knowledge().kinds:  # a kind's status is weighed against the others'
        heading = result.stdout.splitlines()[0]
        assert heading.endswith(f": {statuses.get(name, 'ruled-out').replace('-', ' ')}")


def test_why_for_an_unknown_name(cameback: Cameback) -> None:
    """An unknown name behind `--why` exits with 2 and the nearest name, or all names."""
    near = cameback("diagnose", CALL, "--why", "wet-befor")
    assert (near.exit_code, near.stdout) == (2, "")
    assert "nearest valid name: wet-before" in near.stderr
    far = cameback("diagnose", CALL, "--why", "qqq")
    assert far.exit_code == 2
    assert "wrong-weed" in far.stderr


@pytest.mark.parametrize("name", PATHS)
def test_the_document_fits_its_schema(cameback: Cameback, name: str) -> None:
    """`--json` prints one document, nothing else, and it validates against the schema."""
    result = cameback("diagnose", str(PATHS[name]), "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    document = json.loads(result.stdout)
    Draft202012Validator.check_schema(SCHEMA)
    assert list(Draft202012Validator(SCHEMA).iter_errors(document)) == []
    assert result.stdout == json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def test_several_calls_give_a_list(cameback: Cameback, tmp_path: Path) -> None:
    """Several calls as JSON are a list in the order given, also where only one is good, or none."""
    bad = str(tmp_path / "none.yaml")
    one, two = (json.loads(cameback("diagnose", p, "--json").stdout) for p in (CALL, OTHER))
    assert json.loads(cameback("diagnose", OTHER, CALL, "--json").stdout) == [two, one]
    mixed = cameback("diagnose", bad, CALL, "--json")
    assert (mixed.exit_code, json.loads(mixed.stdout)) == (1, [one])
    none = cameback("diagnose", bad, bad, "--json")
    assert (none.exit_code, json.loads(none.stdout)) == (1, [])


def test_a_wrong_call_gives_no_document(cameback: Cameback, tmp_path: Path) -> None:
    """With `--json` a single wrong call leaves stdout empty."""
    result = cameback("diagnose", str(tmp_path / "none.yaml"), "--json")
    assert (result.exit_code, result.stdout) == (1, "")


def test_the_customer_gets_another_page(cameback: Cameback) -> None:
    """`--for customer` prints the customer's page, without a Latin name or a percentage."""
    result = cameback("diagnose", CALL, "--for", "customer")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("About your ground ivy\n")
    assert "Glechoma" not in result.stdout
    assert "%" not in result.stdout


# ---- colors and widths ---------------------------------------------------------------------------

PAGES = [[], ["--for", "customer"], ["--why", "wet-before"], ["--why", "label-interval"]]


@pytest.mark.parametrize("page", PAGES, ids=" ".join)
@pytest.mark.parametrize("columns", [40, 80, 200])
def test_colors_change_nothing_but_colors(
    cameback: Cameback, page: list[str], columns: int
) -> None:
    """`--color always` is the page of `--color never` with escape codes put in."""
    width = {"COLUMNS": str(columns)}
    plain = cameback("diagnose", CALL, *page, "--color", "never", env=width).stdout
    colored = cameback("diagnose", CALL, *page, "--color", "always", env=width).stdout
    assert "\x1b" not in plain
    assert "\x1b[1m" in colored
    assert ESCAPE.sub("", colored) == plain


def test_no_colors_in_a_pipe(cameback: Cameback) -> None:
    """Where the output is no terminal, there are no escape codes."""
    result = cameback.process("diagnose", CALL)
    assert (result.returncode, result.stderr) == (0, b"")
    assert b"\x1b" not in result.stdout
    assert b"WHAT TO CHANGE" in result.stdout


def on_a_terminal(cameback: Cameback, **environment: str) -> str:
    """What the command prints on a terminal of its own."""
    pty = pytest.importorskip("pty", reason="no pseudo-terminals on this system")
    master, slave = pty.openpty()
    process = subprocess.Popen(
        cameback.command("diagnose", CALL),
        stdin=subprocess.DEVNULL,
        stdout=slave,
        stderr=slave,
        env=cameback.process_environment() | environment,
    )
    os.close(slave)
    printed = b""
    while piece := _piece(master):
        printed += piece
    os.close(master)
    assert process.wait(timeout=60) == 0
    return printed.decode()


def _piece(terminal: int) -> bytes:
    try:
        return os.read(terminal, 65536)
    except OSError:  # Linux says so when the other end is closed
        return b""


def test_colors_on_a_terminal(cameback: Cameback) -> None:
    """On a terminal headings are in color, unless NO_COLOR is set to anything."""
    assert "\x1b[1m" in on_a_terminal(cameback)
    assert "\x1b" not in on_a_terminal(cameback, NO_COLOR="1")


@pytest.mark.parametrize("columns", [20, 40, 80, 200])
@pytest.mark.parametrize("page", PAGES, ids=" ".join)
def test_no_line_is_wider_than_the_page(cameback: Cameback, page: list[str], columns: int) -> None:
    """No line is wider than the terminal, or than the narrowest and widest page."""
    result = cameback("diagnose", CALL, *page, env={"COLUMNS": str(columns)})
    widest = max(len(line) for line in result.stdout.splitlines())
    assert widest <= max(NARROWEST, min(columns, WIDEST))


@pytest.mark.parametrize("columns", ["", "0", "-5", "wide"])
def test_a_strange_width_is_no_width(cameback: Cameback, columns: str) -> None:
    """A width that is none is taken for 80 columns."""
    strange = cameback("diagnose", CALL, env={"COLUMNS": columns})
    assert strange.exit_code == 0
    assert max(len(line) for line in strange.stdout.splitlines()) <= WIDEST


# ---- pipes and streams ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words", [[CALL], [*map(str, PATHS.values()), "--json"]], ids=["one", "all"]
)
def test_a_reader_that_stops_early(cameback: Cameback, words: list[str]) -> None:
    """An output closed early, as by `head`, leaves no traceback and is no mistake."""
    process = subprocess.Popen(
        cameback.command("diagnose", *words),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=cameback.process_environment(),
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    assert (said, process.wait(timeout=60)) == (b"", 0)


@pytest.mark.parametrize("stream", ["<&-", ">&-", ">/dev/full"])
def test_a_stream_that_is_closed_or_full(cameback: Cameback, stream: str) -> None:
    """Without a standard input, a standard output or room for it, there is no traceback."""
    if sys.platform == "win32":
        pytest.skip("the shell of this test is not there")
    words = "-" if stream == "<&-" else shlex.quote(CALL)
    line = f"{shlex.join(cameback.command('diagnose'))} {words} {stream}"
    done = subprocess.run(
        ["/bin/sh", "-c", line],
        capture_output=True,
        env=cameback.process_environment(),
        timeout=60,
        check=False,
    )
    assert b"Traceback" not in done.stderr
    assert done.returncode in (0, 1, 2)


# ---- help, version, completion -------------------------------------------------------------------


def test_the_version(cameback: Cameback) -> None:
    """`--version` says the version and which engine answers, with its version."""
    result = cameback("--version")
    engine = " ".join(choose.answering())
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == f"cameback {__version__}, rules engine {engine}\n"


def test_help_lists_the_commands(cameback: Cameback) -> None:
    """`--help`, `-h` and no words at all print the same list of commands."""
    pages = [cameback("--help"), cameback("-h"), cameback()]
    assert all(re.search(rf"^  {name} ", pages[0].stdout, re.MULTILINE) for name in COMMANDS)
    assert pages[0].exit_code == pages[1].exit_code == 0
    assert pages[0].stdout == pages[1].stdout == pages[2].output


@pytest.mark.parametrize("name", COMMANDS)
def test_help_of_every_command_has_an_example(cameback: Cameback, name: str) -> None:
    """The help of every command has one `Example: cameback ...` that can be given as it is."""
    result = cameback(name, "--help", env={"COLUMNS": "200"})
    assert (result.exit_code, result.stderr) == (0, "")
    (example,) = re.findall(r"Example: (cameback .*?)\n\n", result.stdout, re.DOTALL)
    words = shlex.split(example)
    assert words[1] == name
    COMMANDS[name].make_context(name, words[2:])
    assert all((ROOT / word).exists() for word in words[2:] if "/" in word)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_scripts(cameback: Cameback, shell: str) -> None:
    """A completion script can be had for each shell, and it asks the command back."""
    result = cameback(env={"_CAMEBACK_COMPLETE": f"source_{shell}"})
    assert result.exit_code == 0
    assert "_CAMEBACK_COMPLETE" in result.stdout
    assert "cameback" in result.stdout


def test_completion_of_a_command(cameback: Cameback) -> None:
    """The beginning of a command completes to its name."""
    asked = {
        "_CAMEBACK_COMPLETE": "complete_bash",
        "COMP_WORDS": "cameback diag",
        "COMP_CWORD": "1",
    }
    assert cameback(env=asked).stdout.split() == ["diagnose"]


def test_help_loads_nothing_slow(cameback: Cameback) -> None:
    """`--help` imports neither an engine, nor YAML, nor the schemas."""
    code = (
        "import sys\ntry:\n    from cli.main import app\n    app(['diagnose', '--help'])\n"
        "except SystemExit:\n    pass\n"
        "slow = {'durable', 'clips', 'yaml', 'jsonschema', 'advisor.model'}\n"
        "sys.stderr.write(' '.join(sorted(slow & set(sys.modules))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        env=cameback.process_environment(),
        timeout=60,
        check=False,
    )
    assert done.stderr == b""


# ---- the cache -----------------------------------------------------------------------------------


def test_a_second_run_reads_the_copy(cameback: Cameback, tmp_path: Path) -> None:
    """A validated copy is kept in the cache folder, and a run with it prints the same."""
    env = {"CAMEBACK_CACHE": str(tmp_path / "cache")}
    first = cameback("diagnose", CALL, env=env)
    (kept,) = (tmp_path / "cache").iterdir()
    before = kept.stat().st_mtime_ns
    second = cameback("diagnose", CALL, env=env)
    assert first.stdout == second.stdout
    assert kept.stat().st_mtime_ns == before


@pytest.mark.parametrize("damage", [b"", b"\x80\x05garbage", b"not a pickle", pickle.dumps([1, 2])])
def test_a_damaged_copy_does_no_harm(cameback: Cameback, tmp_path: Path, damage: bytes) -> None:
    """A torn or foreign copy is as good as none: the answer is right and the copy is made anew."""
    env = {"CAMEBACK_CACHE": str(tmp_path)}
    cameback("diagnose", CALL, env=env)
    (kept,) = tmp_path.iterdir()
    kept.write_bytes(damage)
    result = cameback("diagnose", CALL, env=env)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == cameback("diagnose", CALL).stdout
    assert all(copy.read_bytes() != damage for copy in tmp_path.iterdir())


@pytest.mark.parametrize("folder", ["", "a file", "below a file", "/proc/none/such"])
def test_a_cache_that_cannot_be_had_does_no_harm(
    cameback: Cameback, tmp_path: Path, folder: str
) -> None:
    """Where no cache folder can be made, or none is wanted, the answer is the same."""
    (tmp_path / "a file").touch()
    places = {"a file": tmp_path / "a file", "below a file": tmp_path / "a file" / "below"}
    result = cameback("diagnose", CALL, env={"CAMEBACK_CACHE": str(places.get(folder, folder))})
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == cameback("diagnose", CALL).stdout


class Trap:
    """An object that leaves a mark when it is unpickled."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self) -> tuple[object, tuple[str, int]]:
        return os.mkdir, (str(self.mark), 0o700)


def test_a_copy_that_anybody_may_write_is_not_read(cameback: Cameback, tmp_path: Path) -> None:
    """A copy in a folder that others may write to is never unpickled: it could run anything."""
    if os.name != "posix":
        pytest.skip("the mode of a folder says who may write to it only on POSIX systems")
    folder, mark = tmp_path / "cache", tmp_path / "sprung"
    env = {"CAMEBACK_CACHE": str(folder)}
    cameback("diagnose", CALL, env=env)
    (kept,) = folder.iterdir()
    kept.write_bytes(pickle.dumps(Trap(mark)))
    folder.chmod(0o777)
    result = cameback("diagnose", CALL, env=env)
    assert result.exit_code == 0
    assert not mark.exists()


# ---- bad input -----------------------------------------------------------------------------------

NO_CALLS = {
    "nothing": b"",
    "blank": b" \n\t\n",
    "comment": b"# nothing here\n",
    "null": b"null\n",
    "list": b"- reported: 2026-10-06\n",
    "number": b"12\n",
    "text": b"came back\n",
    "zero bytes": b"\0" * 64,
    "UTF-16": "reported: 2026-10-06\n".encode("utf-16"),
    "Latin-1": "call: M\u00fcller\n".encode("latin-1"),
    "all bytes": bytes(range(256)),
    "deep list": b"[" * 5000,
    "deep mapping": b"a: {" * 3000,
    "long line": b"call: " + b"x" * 200_000,
    "long number": b"reported: " + b"9" * 5000,
    "never ends": b'call: "',
    "anchor bomb": b"a: &a [x]\nb: &b [*a,*a,*a]\nc: [*b,*b,*b]\n",
    "tag": b"call: !!python/object/apply:os.system ['true']\n",
    "two documents": b"reported: 2026-10-06\n---\nreported: 2026-10-06\n",
    "key twice": b"reported: 2026-10-06\nreported: 2026-10-07\n",
    "no such day": b"reported: 2026-02-30\n",
    "escape": b'reported: 2026-10-06\ncall: "\\e[31mred"\n',
    "all wrong": b"reported: 7\nsite: 3\nweed: [1]\ntreatment: {}\nevents: x\nseen: 5\n",
}


@pytest.mark.parametrize("told", NO_CALLS.values(), ids=NO_CALLS)
def test_what_is_no_call_gets_problems(cameback: Cameback, told: bytes) -> None:
    """Bytes that are no call exit with 1 and problems that have a place, never a traceback."""
    result = cameback("diagnose", "-", told=told)
    assert (result.exit_code, result.stdout) == (1, "")
    assert problems(result) != []
    assert "\x1b" not in result.stderr


def mutations() -> Iterator[bytes]:
    """Example calls with bytes changed, cut out, doubled or swapped; the same ones every run."""
    rng = random.Random(20261125)
    originals = [path.read_bytes() for path in PATHS.values()]
    for _ in range(60):
        told = bytearray(rng.choice(originals))
        for _ in range(rng.randint(1, 8)):
            at = rng.randrange(len(told))
            end = at + rng.randint(1, 12)
            kind = rng.randrange(4)
            if kind == 0:
                told[at] = rng.randrange(256)
            elif kind == 1:
                del told[at:end]
            elif kind == 2:
                told[at:at] = told[at:end]
            else:
                told[at] = rng.choice(b":-{}[],#&*!|>'\"%@`\t\n 0123456789")
        yield bytes(told)


def test_damaged_calls_never_break_the_program(cameback: Cameback) -> None:
    """Sixty damaged example calls each get an answer or problems with places, and both occur."""
    codes = []
    for told in mutations():
        result = cameback("diagnose", "-", told=told)
        codes.append(result.exit_code)
        if result.exit_code:
            assert problems(result) != []
    assert set(codes) == {0, 1}


def test_no_traceback_from_a_process(cameback: Cameback) -> None:
    """A real process that is given rubbish exits with 1 and prints no traceback."""
    result = cameback.process("diagnose", "-", told=bytes(range(256)))
    assert (result.returncode, result.stdout) == (1, b"")
    assert b"Traceback" not in result.stderr
    assert b"<stdin>:" in result.stderr
