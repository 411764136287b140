"""An entry as a JSON document, described by schemas/entry.schema.json.

For programs that take the knowledge base from this one. The entry stands in it as its file has it,
beside what it refers to and what refers to it; the format has a version, and a key is never dropped
or given another meaning without raising it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from advisor.catalog import Ref, active_groups
from advisor.model import Basis
from advisor.published import compare
from advisor.render.cards.library import Library
from advisor.written import Written

FORMAT = "cameback-entry"
VERSION = 1


def entry_document(ref: Ref, library: Library, written: Written | None) -> dict[str, Any]:
    """One entry as plain data."""
    document: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "kind": ref.kind,
        "id": ref.id,
        "name": library.catalog.name(ref),
        "file": written.path if written else None,
        "line": written.line if written else None,
        "entry": written.data if written else _active(ref, library),
        "refers_to": _refs(library.refers_to(ref)),
        "referred_by": _refs(library.referred_by(ref)),
    }
    if ref.kind == "trial":
        compared = compare(library.base.trials[ref.id], library.base)
        low, share, high = compared.expected.low, compared.expected.share, compared.expected.high
        expected = {"low": _round(low), "share": _round(share), "high": _round(high)}
        document["model"] = expected | {"off": _round(compared.off)}
    return document


def _refs(refs: Iterable[Ref]) -> list[dict[str, str]]:
    return [{"kind": ref.kind, "id": ref.id} for ref in refs]


def _active(ref: Ref, library: Library) -> dict[str, Any]:
    """What is known of an active, which has no file of its own."""
    name, base = library.catalog.names("active")[ref.id], library.base
    controls = {w.id: w.control[name] for w in base.weeds.values() if name in w.control}
    products = [p.id for p in base.products.values() if any(a.name == name for a in p.actives)]
    return {
        "active": name,
        "group": active_groups(base)[name],
        "products": products,
        "control": {
            weed: {"share": c.share, "low": c.low, "high": c.high, "from": _origin(c.basis)}
            for weed, c in controls.items()
        },
    }


def _origin(basis: Basis) -> str | dict[str, str]:
    if basis.source is None:
        return basis.kind
    note = {"note": basis.note} if basis.note else {}
    return {"source": basis.source} | note


def _round(value: float) -> float:
    return round(value, 6)
