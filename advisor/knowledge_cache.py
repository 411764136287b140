"""Keeps a validated copy of a knowledge base, so that the next run need not check it again.

`knowledge.load` asks it first. A copy is good for one digest of files, schemas and program only,
and is never read from where others may write.
"""

from __future__ import annotations

import contextlib
import hashlib
import pickle
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from advisor import __version__
from advisor.knowledge_folder import EXAMPLES, shipped
from advisor.model import KnowledgeBase
from advisor.yamlfile import LIMIT_BYTES

MOST_COPIES = 8
"""So many knowledge folders have a copy; of one more the copy written longest ago is dropped."""
PART = "writing-"
ABANDONED_S = 3600.0


def fingerprint(folder: Path) -> str:
    """A digest of everything that decides what loading gives: files, schemas, version."""
    digest = hashlib.sha256(_bytes(f"{__version__} {sys.version_info[:2]} {folder}"))
    for root in (folder, shipped("schemas"), Path(__file__).parent):
        pattern = "*.py" if root == Path(__file__).parent else "*"
        for path in sorted(p for p in root.rglob(pattern) if p.is_file()):
            if "__pycache__" in path.parts or EXAMPLES in path.parts or path.suffix == ".pyc":
                continue
            content = _content(path)
            digest.update(_bytes(f"{path.relative_to(root)} {len(content)} "))
            digest.update(content)
    return digest.hexdigest()


def _content(path: Path) -> bytes:
    """As much of a file as loading would read; nothing of one that loading will complain about."""
    try:
        with path.open("rb") as file:
            return file.read(LIMIT_BYTES + 1)
    except OSError:
        return b""


def _bytes(text: str) -> bytes:
    """Text with names of files in it, which need not be UTF-8."""
    return text.encode(errors="surrogateescape")


def _ours(folder: Path) -> bool:
    """Whether a folder is this user's own and nobody else may write to it."""
    about = folder.stat()
    return about.st_uid == Path.home().stat().st_uid and not about.st_mode & 0o022


@dataclass(frozen=True)
class Cache:
    """A validated copy in the user's own cache folder, one for each knowledge folder.

    The copy is a pickle, so it is read only from a folder that nobody else may write to. It is
    good for one digest only: a copy of what the knowledge folder held before is as good as none.
    """

    folder: Path
    digest: str
    place: Path
    """The knowledge folder."""

    @property
    def _file(self) -> Path:
        of = f"{__version__} {sys.version_info[:2]} {self.place} {self.place.resolve()}"
        name = hashlib.sha256(_bytes(of)).hexdigest()[:32]
        return self.folder / f"knowledge-{name}.pickle"

    def read(self) -> KnowledgeBase | None:
        """The copy, None where there is none that can be trusted."""
        try:
            if not _ours(self.folder):
                return None
            loaded = pickle.loads(self._file.read_bytes())
        except Exception:
            return None  # a missing, torn or foreign copy is the same as none
        good = isinstance(loaded, KnowledgeBase) and loaded.digest == self.digest
        return loaded if good else None

    def write(self, base: KnowledgeBase) -> None:
        """Keep a copy, in place of an older one of the same knowledge folder."""
        content = pickle.dumps(base, protocol=5)
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            with tempfile.NamedTemporaryFile(
                dir=self.folder, prefix=PART, suffix=".part", delete=False
            ) as part:
                try:
                    part.write(content)
                    part.close()  # nothing may be open where it is renamed
                    Path(part.name).replace(self._file)
                except BaseException:
                    part.close()
                    Path(part.name).unlink(missing_ok=True)
                    raise
            self._drop_others()
        except OSError:
            return  # a cache that cannot be written is no reason to fail

    def _drop_others(self) -> None:
        """Drop the oldest copies beyond `MOST_COPIES`, and what a run that was killed left."""
        kept = sorted(_ages(self.folder.glob("knowledge-*.pickle")), reverse=True)
        newest = kept[0][0] if kept else 0.0
        left = [one for one in _ages(self.folder.glob(f"{PART}*")) if one[0] < newest - ABANDONED_S]
        for _, path in [*kept[MOST_COPIES:], *left]:
            path.unlink(missing_ok=True)


def _ages(paths: Iterable[Path]) -> Iterator[tuple[float, Path]]:
    """When each file was written, but for those that another process has dropped meanwhile."""
    for path in paths:
        with contextlib.suppress(OSError):
            yield path.stat().st_mtime, path
