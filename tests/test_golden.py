"""Every example call answered, compared character by character with the files in `tests/golden`.

For each call of `knowledge/examples` there are three files: the technician's page at 80 columns,
the customer's page, and the JSON document. Whoever changes a text, a figure or a rule sees here
what that does to the answers: `CAMEBACK_UPDATE_GOLDEN=1 pytest tests/test_golden.py` rewrites the
files and drops those no longer needed, and the diff is to be read aloud before it is committed.
"""

from __future__ import annotations

import difflib
import json
import os
from pathlib import Path

import pytest
from example_calls import PATHS, diagnosis, knowledge

from advisor.engine import choose
from advisor.render.customer import customer_page
from advisor.render.document import diagnosis_document
from advisor.render.layout import Page
from advisor.render.technician import technician_page

GOLDEN = Path(__file__).parent / "golden"
FORMS = ("technician.txt", "customer.txt", "json")
UPDATE = bool(os.environ.get("CAMEBACK_UPDATE_GOLDEN"))
MOST_LINES = 40
REWRITE = "CAMEBACK_UPDATE_GOLDEN=1 pytest tests/test_golden.py"


def rendered(name: str, form: str, engine: str) -> str:
    """One answer as it goes into a golden file; the engine's name stays out of it."""
    found = diagnosis(name, engine)
    if form == "technician.txt":
        return technician_page(found, knowledge(), Page(80))
    if form == "customer.txt":
        return customer_page(found, knowledge(), Page(80))
    document = diagnosis_document(found, knowledge())
    del document["engine"]
    return json.dumps(document, indent=2, sort_keys=True, ensure_ascii=False) + "\n"


def difference(expected: str, actual: str, name: str) -> str:
    """What changed, and how to accept it."""
    lines = list(
        difflib.unified_diff(
            expected.splitlines(), actual.splitlines(), f"golden/{name}", "now", lineterm="", n=2
        )
    )
    more = [f"... {len(lines) - MOST_LINES} more lines"] if len(lines) > MOST_LINES else []
    head = f"the answer changed; if it is right: {REWRITE}"
    return "\n".join([head, *lines[:MOST_LINES], *more])


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("engine", choose.available())
@pytest.mark.parametrize("name", PATHS)
def test_answer(name: str, engine: str, form: str) -> None:
    """The answer to an example call is the golden file, whichever engine works it out."""
    path = GOLDEN / f"{name}.{form}"
    actual = rendered(name, form, engine)
    if UPDATE:
        first = rendered(name, form, choose.available()[0])
        path.write_text(first, encoding="utf-8", newline="\n")
    assert path.exists(), f"no golden file for this call yet: {REWRITE}"
    expected = path.read_bytes().decode("utf-8")
    if actual != expected:  # said by hand: pytest would print the difference a second time
        pytest.fail(difference(expected, actual, path.name), pytrace=False)


def test_no_golden_file_is_left_over() -> None:
    """Every golden file belongs to an example call."""
    wanted = {f"{name}.{form}" for name in PATHS for form in FORMS}
    left_over = sorted(path for path in GOLDEN.iterdir() if path.name not in wanted)
    if UPDATE:
        for path in left_over:
            path.unlink()
        left_over = []
    assert left_over == []


def test_every_kind_comes_out() -> None:
    """There are at least fourteen example calls, and over them each kind is once the likeliest."""
    kinds = {diagnosis(name).kind.kind.id for name in PATHS}
    assert kinds == set(knowledge().kinds)
    assert len(kinds) == 8
    assert len(PATHS) >= 14


@pytest.mark.parametrize("engine", choose.available())
def test_the_document_names_its_engine(engine: str) -> None:
    """The document says which engine answered, with its version; golden files leave that out."""
    document = diagnosis_document(diagnosis("ground-ivy-watered", engine), knowledge())
    assert document["engine"] == " ".join(choose.answering(engine))
