"""The built wheel, installed alone in a fresh environment and used from another folder.

Everything else is tested from the checkout; this is the one proof that the wheel holds the
knowledge base and the schemas and needs no development package. It takes about twenty seconds.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from example_calls import KNOWLEDGE, PATHS, ROOT, diagnosis, knowledge

from advisor import __version__
from advisor.render.layout import Page
from advisor.render.technician import technician_page

NAME = "ground-ivy-watered"
LEFT_OUT = {"PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "COLUMNS", "NO_COLOR"}
DEVELOPMENT = ("pytest", "hypothesis", "mypy", "ruff", "pint")


def run(*command: str | Path, folder: Path, environment: dict[str, str]) -> str:
    """What a command prints; if it fails, the test fails with what it said."""
    done = subprocess.run(
        [str(word) for word in command],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    said = (
        f"{' '.join(map(str, command))} exited with {done.returncode}\n{done.stdout}{done.stderr}"
    )
    assert done.returncode == 0, said
    return done.stdout


def test_the_wheel_works_alone(tmp_path: Path) -> None:
    """The wheel installs without development packages and answers from any folder."""
    uv = shutil.which("uv")
    if uv is None:
        pytest.fail("uv is not on PATH; install it with `python3 -m pip install uv`")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    environment = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    environment |= {"CAMEBACK_CACHE": str(tmp_path / "cache"), "COLUMNS": "80"}

    run(uv, "build", "--wheel", "--quiet", "--out-dir", tmp_path, ROOT,
        folder=ROOT, environment=environment)  # fmt: skip
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        packed = set(archive.namelist())
    data = {f"advisor/_data/{path.relative_to(ROOT).as_posix()}" for path in shipped_files()}
    assert data <= packed
    assert [name for name in packed if name.startswith("tests")] == []

    venv = tmp_path / "venv"
    run(uv, "venv", "--quiet", "--python", sys.executable, venv,
        folder=ROOT, environment=environment)  # fmt: skip
    # from the folder of pyproject.toml, which holds the flags that durable-rules is built with
    run(uv, "pip", "install", "--quiet", "--python", venv, wheel,
        folder=ROOT, environment=environment)  # fmt: skip
    scripts = venv / ("Scripts" if sys.platform == "win32" else "bin")
    installed = run(uv, "pip", "list", "--python", venv, folder=elsewhere, environment=environment)
    assert [name for name in DEVELOPMENT if re.search(rf"^{name} ", installed, re.MULTILINE)] == []

    def cameback(*words: str) -> str:
        return run(scripts / "cameback", *words, folder=elsewhere, environment=environment)

    where = run(scripts / "python", "-c", "import advisor; print(advisor.__file__)",
                folder=elsewhere, environment=environment)  # fmt: skip
    assert Path(where.strip()).is_relative_to(venv)
    assert cameback("--version").startswith(f"cameback {__version__}, rules engine ")
    shutil.copy(PATHS[NAME], elsewhere / "call.yaml")
    page = technician_page(diagnosis(NAME), knowledge(), Page(80))
    assert cameback("diagnose", "call.yaml") == page
    assert re.fullmatch(r"sound: \d+ files, .*", cameback("check").splitlines()[-1])


def shipped_files() -> list[Path]:
    """Every file of the knowledge base and every schema."""
    schemas = (ROOT / "schemas").glob("*.json")
    return [*schemas, *(path for path in KNOWLEDGE.rglob("*") if path.is_file())]
