"""Keeps a validated copy of a knowledge base, so that the next run need not check it again.

`knowledge.load` asks it first. A copy is good for one digest of files, schemas and program only,
and is never read from where others may write.
"""

from __future__ import annotations

import hashlib
import pickle
import sys
from dataclasses import dataclass
from pathlib import Path

from advisor import __version__
from advisor.knowledge_folder import EXAMPLES, shipped
from advisor.model import KnowledgeBase


def fingerprint(folder: Path) -> str:
    """A digest of everything that decides what loading gives: files, schemas, version."""
    digest = hashlib.sha256(f"{__version__} {sys.version_info[:2]} {folder}".encode())
    for root in (folder, shipped("schemas"), Path(__file__).parent):
        pattern = "*.py" if root == Path(__file__).parent else "*"
        for path in sorted(p for p in root.rglob(pattern) if p.is_file()):
            if "__pycache__" in path.parts or EXAMPLES in path.parts or path.suffix == ".pyc":
                continue
            content = path.read_bytes()
            digest.update(f"{path.relative_to(root)} {len(content)} ".encode())
            digest.update(content)
    return digest.hexdigest()


def _ours(folder: Path) -> bool:
    """Whether a folder is this user's own and nobody else may write to it."""
    about = folder.stat()
    return about.st_uid == Path.home().stat().st_uid and not about.st_mode & 0o022


@dataclass(frozen=True)
class Cache:
    """A validated copy in the user's own cache folder, good for one digest only.

    The copy is a pickle, so it is read only from a folder that nobody else may write to.
    """

    folder: Path
    digest: str

    @property
    def _file(self) -> Path:
        return self.folder / f"knowledge-{self.digest[:32]}.pickle"

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
        """Keep a copy, in place of any other."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for old in self.folder.glob("knowledge-*.pickle"):
                old.unlink(missing_ok=True)
            part = self._file.with_suffix(".part")
            part.write_bytes(pickle.dumps(base, protocol=5))
            part.replace(self._file)
        except OSError:
            return  # a cache that cannot be written is no reason to fail
