"""Rules of the knowledge base: from checked YAML to clauses, with their examples.

Used by `knowledge.py` for causes, kinds and stops. It decides whether a rule makes sense on
its own (facts exist, conditions can hold, options are known); whether its examples hold is for
`checking` and the engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from advisor.model import (
    HABIT_CLASSES,
    Cause,
    Example,
    FactDef,
    Instead,
    Kind,
    Remedy,
    Rule,
    Stop,
    Trial,
)
from advisor.names import did_you_mean
from advisor.reading import Key, Reader
from advisor.terms import Clause, Condition, Span

MOST_CLAUSES = 64


def build_cause(reader: Reader, facts: Mapping[str, FactDef]) -> Cause:
    """One file of `causes/`."""
    return Cause(
        id=reader["id"],
        group=reader["group"],
        title=reader["title"],
        explains=reader.references("kind", "explains"),
        what=reader["what"],
        customer=reader["customer"],
        remedies=_remedies(reader, facts),
        rules=_rules(reader, facts, owner=reader["id"], tier=2),
        opposes=reader.references("cause", "opposes"),
        exempt=reader.exemptions(),
        change=reader.get("change"),
        instead=_instead(reader, facts),
    )


def build_kind(reader: Reader, facts: Mapping[str, FactDef]) -> Kind:
    """One file of `kinds/`."""
    rules = _rules(reader, facts, owner=reader["id"], tier=1)
    return Kind(
        reader["id"], reader["title"], reader["what"], reader["customer"],
        float(reader["how_often"]), rules,
        exempt=reader.exemptions(),
        basis=reader.basis("from"),
        instead=_instead(reader, facts),
    )  # fmt: skip


def build_stop(reader: Reader, facts: Mapping[str, FactDef]) -> Stop:
    """One file of `stops/`."""
    return Stop(
        reader["id"], reader["title"], reader["what"], reader["customer"], reader["until"],
        _rules(reader, facts, owner=reader["id"], tier=3), reader.exemptions(),
        _instead(reader, facts),
    )  # fmt: skip


def _remedies(reader: Reader, facts: Mapping[str, FactDef]) -> tuple[Remedy, ...]:
    return tuple(
        Remedy(r["do"], r["customer"], _meant_for(reader, facts, ("remedies", i)))
        for i, r in enumerate(reader["remedies"])
    )


def _instead(reader: Reader, facts: Mapping[str, FactDef]) -> tuple[Instead, ...]:
    return tuple(
        Instead(_meant_for(reader, facts, ("instead", i)), one["what"], one["customer"])
        for i, one in enumerate(reader.get("instead") or ())
    )


def _meant_for(
    reader: Reader, facts: Mapping[str, FactDef], keys: tuple[Key, ...]
) -> tuple[Clause, ...]:
    """When a wording is meant; read once kinds and causes are known, like a stop's rules."""
    if reader.get(*keys, "when") is None:
        return ()
    found = _alternatives(reader, facts, (*keys, "when"), tier=3)
    return tuple(Clause("", n, conditions) for n, conditions in enumerate(found))


def _rules(
    reader: Reader, facts: Mapping[str, FactDef], *, owner: str, tier: int
) -> tuple[Rule, ...]:
    """The rules of one file."""
    rules = reader.get("rules") or []
    return tuple(_rule(reader, facts, i, owner, tier) for i in range(len(rules)))


def _rule(reader: Reader, facts: Mapping[str, FactDef], i: int, owner: str, tier: int) -> Rule:
    raw = reader.get("rules", i)
    alternatives = _alternatives(reader, facts, ("rules", i, "when"), tier)
    if len(alternatives) > MOST_CLAUSES:
        message = f"the rule has {len(alternatives)} alternatives; {MOST_CLAUSES} are the most"
        reader.problem("K408", message, "rules", i, "when")
        alternatives = alternatives[:MOST_CLAUSES]
    clauses = tuple(Clause(raw["id"], n, c) for n, c in enumerate(alternatives))
    read = frozenset(_named(raw["when"]))
    if not read <= facts.keys():
        read |= facts.keys()  # which fact was meant is not known: its examples are left in peace
    weight = {kind: float(value) for kind, value in (raw.get("weight") or {}).items()}
    _check_weight(reader, i, owner, weight)
    return Rule(
        id=raw["id"],
        owner=owner,
        clauses=clauses,
        because=raw["because"],
        basis=reader.basis("rules", i, "from"),
        fires=_examples(reader, facts, read, ("rules", i, "fires")),
        quiet=_examples(reader, facts, read, ("rules", i, "quiet")),
        place=reader.place("rules", i),
        loss=_loss(raw),
        loss_from=raw.get("loss_from"),
        weight=weight,
        trial=Trial(raw["trial"]["on"], raw["trial"]["found"]) if "trial" in raw else None,
    )


def _check_weight(reader: Reader, i: int, owner: str, weight: Mapping[str, float]) -> None:
    if not weight:
        return
    for kind in weight:
        if kind not in reader.ids("kind"):
            hint = did_you_mean(kind, reader.ids("kind"))
            where: tuple[Key, ...] = ("rules", i, "weight", kind)
            reader.problem("K201", f"there is no kind `{kind}`", *where, hint=hint, at_key=True)
    if weight.get(owner, 0) <= 0:
        message = f"a rule of {owner} must speak for it (a weight above 0)"
        reader.problem("K409", message, "rules", i, "weight", at_key=True)


def _loss(raw: Mapping[str, Any]) -> dict[str, float]:
    loss = raw.get("loss") or {}
    if "all" in loss:
        return dict.fromkeys(HABIT_CLASSES, float(loss["all"])) | {
            k: float(v) for k, v in loss.items() if k != "all"
        }
    return {k: float(v) for k, v in loss.items()}


def _alternatives(
    reader: Reader, facts: Mapping[str, FactDef], keys: tuple[Key, ...], tier: int
) -> list[tuple[Condition, ...]]:
    """Expand nested all/any into a list of conjunctions."""
    node = reader.get(*keys)
    if "fact" in node:
        condition = build_condition(reader, facts, keys, tier)
        return [(condition,)] if condition else [()]
    if "any" in node:
        return [
            conjunction
            for j in range(len(node["any"]))
            for conjunction in _alternatives(reader, facts, (*keys, "any", j), tier)
        ]
    result: list[tuple[Condition, ...]] = [()]
    for j in range(len(node["all"])):
        part = _alternatives(reader, facts, (*keys, "all", j), tier)
        result = [a + b for a in result for b in part][: MOST_CLAUSES + 1]
    return result


def _named(node: Mapping[str, Any]) -> Iterator[str]:
    """The facts that a `when` names, those of conditions that make no sense too."""
    if "fact" in node:
        yield str(node["fact"])
    for part in (*node.get("any", ()), *node.get("all", ())):
        yield from _named(part)


def build_condition(
    reader: Reader, facts: Mapping[str, FactDef], keys: tuple[Key, ...], tier: int
) -> Condition | None:
    """One test on one fact, None where it makes no sense."""
    node = reader.get(*keys)
    name = node["fact"]
    fact = facts.get(name)
    if fact is None:
        hint = did_you_mean(name, facts)
        reader.problem("K301", f"there is no fact `{name}`", *keys, "fact", hint=hint)
        return None
    first_tier = {"kind.": 2, "cause.": 3}
    if any(name.startswith(p) and tier < t for p, t in first_tier.items()):
        message = f"{name} is not known yet when this rule is read"
        reader.problem("K407", message, *keys, "fact")
    operator = next(k for k in node if k != "fact")
    if fact.is_number != (operator not in {"is", "in"}):
        right = "below, at-least or between" if fact.is_number else "is or in"
        message = (
            f"{name} is a {'number' if fact.is_number else 'choice'}; `{operator}` cannot test it"
        )
        reader.problem("K302", message, *keys, operator, hint=f"use {right}", at_key=True)
        return None
    if fact.is_number:
        return _number_condition(reader, fact, keys, operator)
    return _choice_condition(reader, fact, keys, operator)


def _number_condition(
    reader: Reader, fact: FactDef, keys: tuple[Key, ...], operator: str
) -> Condition | None:
    value = reader.get(*keys, operator)
    low = value if operator == "at-least" else value[0] if operator == "between" else None
    high = value if operator == "below" else value[1] if operator == "between" else None
    span = fact.range
    assert isinstance(span, Span)
    for end in (low, high):
        if end is not None and not span.low <= end <= span.high:
            message = f"{end} lies outside what {fact.id} can plausibly be"
            hint = f"{span.low:g} to {span.high:g} {fact.unit}".rstrip()
            reader.problem("K304", message, *keys, operator, hint=hint)
            return None
    if low is not None and high is not None and low >= high:
        reader.problem("K404", f"between {low} and {high} holds nothing", *keys, operator)
        return None
    condition = Condition(fact.id, frozenset(), low, high)
    _check_decides(reader, fact, condition, (*keys, operator))
    return condition


def _choice_condition(
    reader: Reader, fact: FactDef, keys: tuple[Key, ...], operator: str
) -> Condition | None:
    value = reader.get(*keys, operator)
    names = [value] if operator == "is" else value
    for j, name in enumerate(names):
        if name not in fact.options:
            at = (*keys, operator) if operator == "is" else (*keys, operator, j)
            hint = did_you_mean(name, fact.options) or "one of: " + ", ".join(fact.options)
            reader.problem("K303", f"{fact.id} cannot be `{name}`", *at, hint=hint)
            return None
    condition = Condition(fact.id, frozenset(names))
    _check_decides(reader, fact, condition, (*keys, operator))
    return condition


def _check_decides(
    reader: Reader, fact: FactDef, condition: Condition, keys: tuple[Key, ...]
) -> None:
    """A condition that always or never holds tests nothing."""
    truth = condition.truth(fact.unknown).value
    if truth == "shown":
        reader.problem("K305", f"whatever {fact.id} is, this holds", *keys)
    elif truth == "ruled-out":
        reader.problem("K404", f"whatever {fact.id} is, this cannot hold", *keys)


def _examples(
    reader: Reader, facts: Mapping[str, FactDef], read: frozenset[str], keys: tuple[Key, ...]
) -> tuple[Example, ...]:
    result = []
    for j, raw in enumerate(reader.get(*keys) or []):
        given = {}
        for name in raw["given"]:
            at = (*keys, j, "given", name)
            if name not in facts:
                hint = did_you_mean(name, facts)
                reader.problem("K301", f"there is no fact `{name}`", *at, hint=hint, at_key=True)
            elif name not in read:
                message = f"the rule does not read {name}, so the example need not give it"
                reader.problem("K410", message, *at, at_key=True)
            else:
                given[name] = reader.fact_value(facts[name], *at, codes=("K309", "K304"))
        held = raw.get("held_by", [])
        names = (held,) if isinstance(held, str) else tuple(held)
        for name in names:
            if name not in read:
                hint = did_you_mean(name, read)
                message = f"{name} holds nothing back: the rule does not read it"
                reader.problem("K411", message, *keys, j, "held_by", hint=hint)
        example = Example(raw["name"], given, names, reader.place(*keys, j))
        result.append(example)
    return tuple(result)
