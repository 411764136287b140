"""`cameback handbook`: the whole knowledge base as pages to read offline and to print."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from cli import shared

MARKED_WITHIN = 4096
"""A page of a handbook says so within so many bytes."""


def handbook(
    out: Annotated[
        Path,
        typer.Argument(
            metavar="OUT_DIR", help="The folder to make; a handbook that is there is replaced."
        ),
    ],
    folder: shared.KnowledgeOption = None,
) -> None:
    """Write the knowledge base as a printable handbook of HTML pages.

    Example: cameback handbook handbook
    """
    from advisor.problem import escaped
    from advisor.render.handbook.book import handbook as pages_of

    try:
        _refuse(out)
        pages = pages_of(shared.knowledge(folder))
        _put(out.resolve(), pages)
    except typer.Exit:
        raise
    except (OSError, RuntimeError) as error:  # a loop of links is either, by the Python
        shared.usage(f"cannot write {out}: {getattr(error, 'strerror', None) or error}")
    shown = escaped(str(out / "index.html"))
    typer.echo(f"{len(pages)} pages: open {shown}, or print {escaped(str(out / 'print.html'))}")


def _refuse(out: Path) -> None:
    """Refuse a place that holds anything but a handbook."""
    from advisor.render.handbook.book import GENERATOR

    if not out.exists():
        return
    if not out.is_dir():
        shared.usage(f"{out} is a file", "Name a folder.")
    mark = f'<meta name="generator" content="{GENERATOR}">'.encode()
    for path in sorted(out.iterdir()):
        page = path.is_file() and path.suffix == ".html"
        if not page or mark not in path.read_bytes()[:MARKED_WITHIN]:
            hint = "Name a new folder, an empty one, or one that holds nothing but a handbook."
            shared.usage(f"{out} holds {path.name}, which is no page of a handbook", hint)


def _put(out: Path, pages: Mapping[str, str]) -> None:
    """Write the pages beside the place and then move them in, so that nothing is half-written."""
    import shutil
    import tempfile

    out.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    try:
        made, old = work / "new", work / "old"
        made.mkdir()
        for name, text in pages.items():
            (made / name).write_bytes(text.encode())
        if out.exists():
            out.rename(old)
        try:
            made.rename(out)
        except BaseException:
            if old.exists():
                old.rename(out)
            raise
    finally:
        shutil.rmtree(work, ignore_errors=True)
