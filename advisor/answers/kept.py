"""Keeps what was learned in the user's cache folder, good for one set of phrasings only.

`finding` asks it before it learns anew. The copy is plain JSON: it can be read, and nothing in it
is ever run.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.answers.learning import Learned
from advisor.answers.teaching import Taught


@dataclass(frozen=True, slots=True)
class Kept:
    """A place for what was learned from one set of phrasings."""

    folder: Path
    language: str
    material: str

    @property
    def _file(self) -> Path:
        digest = hashlib.sha256(self.material.encode())
        for path in sorted(Path(__file__).parent.glob("*.py")):
            digest.update(path.read_bytes())
        return self.folder / f"asking-{self.language}-{digest.hexdigest()[:32]}.json"

    def read(self) -> Taught | None:
        """What was kept, None where there is nothing of use."""
        try:
            data: Any = json.loads(self._file.read_bytes())
            return Taught(data["rare"], _learned(data["topics"]), _learned(data["ours"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None  # a missing, torn or foreign copy is the same as none

    def write(self, taught: Taught) -> None:
        """Keep what was learned, in place of what was kept before."""
        data = {
            "rare": {f: round(value, 5) for f, value in taught.rare.items()},
            "topics": [taught.topics.labels, taught.topics.rows],
            "ours": [taught.ours.labels, taught.ours.rows],
        }
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for old in self.folder.glob(f"asking-{self.language}-*.json"):
                old.unlink(missing_ok=True)
            part = self._file.with_suffix(".part")
            part.write_text(json.dumps(data, separators=(",", ":")), encoding="utf-8")
            part.replace(self._file)
        except OSError:
            return  # a cache that cannot be written is no reason to fail


def _learned(data: Any) -> Learned:
    labels, rows = data
    return Learned(tuple(labels), rows)
