"""What always holds between facts: from checked YAML to `Relation`.

Used by `knowledge.py` for facts.yaml, once all facts are known. It looks at each relation by
itself; what relations mean for the rules is for `checking`.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.build_rules import build_condition
from advisor.model import Bound, FactDef, Implication, Relation
from advisor.names import did_you_mean
from advisor.reading import Key, Reader

LAST_TIER = 3
SIGNS = {"sum": (1, 1), "difference": (1, -1)}


def build_relations(reader: Reader, facts: Mapping[str, FactDef]) -> tuple[Relation, ...]:
    """The relations of facts.yaml; one that makes no sense is noted and left out."""
    found = (_relation(reader, facts, i) for i in range(len(reader.get("relations") or ())))
    return tuple(relation for relation in found if relation is not None)


def _relation(reader: Reader, facts: Mapping[str, FactDef], i: int) -> Relation | None:
    raw = reader.get("relations", i)
    if "if" in raw:
        when = build_condition(reader, facts, ("relations", i, "if"), LAST_TIER)
        then = build_condition(reader, facts, ("relations", i, "then"), LAST_TIER)
        return Implication(when, then, raw["because"]) if when and then else None
    form = next(name for name in SIGNS if name in raw)
    named = [_number(reader, facts, ("relations", i, form, j)) for j in range(2)]
    if None in named:
        return None
    first, second = raw[form]
    signs = SIGNS[form]
    if "at-least" in raw:
        return Bound((first, second), signs, float(raw["at-least"]), raw["because"])
    turned = (-signs[0], -signs[1])
    return Bound((first, second), turned, -float(raw["at-most"]), raw["because"])


def _number(reader: Reader, facts: Mapping[str, FactDef], keys: tuple[Key, ...]) -> str | None:
    """The name of a fact that must be a number."""
    name = str(reader.get(*keys))
    if name not in facts:
        hint = did_you_mean(name, facts)
        reader.problem("K301", f"there is no fact `{name}`", *keys, hint=hint)
    elif not facts[name].is_number:
        message = f"{name} is a choice; it has no sum and no difference"
        reader.problem("K302", message, *keys, hint="use `if` and `then`")
    else:
        return name
    return None
