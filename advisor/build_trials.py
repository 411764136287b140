"""Published field trials: from the checked trials.yaml to `FieldTrial`.

Used by `knowledge.py` only. The weed, the source and the rules of each trial must exist; what the
model makes of a trial is for `published`.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor import model as m
from advisor.names import did_you_mean
from advisor.reading import Key, Reader


def build_trials(reader: Reader, causes: Mapping[str, m.Cause]) -> dict[str, m.FieldTrial]:
    """The whole file."""
    rules = {rule.id for cause in causes.values() for rule in cause.rules if rule.loss}
    return {name: _trial(reader, name, rules) for name in reader["trials"]}


def _trial(reader: Reader, name: str, rules: set[str]) -> m.FieldTrial:
    keys = ("trials", name)
    raw = reader.get(*keys)
    named = raw.get("rules") or []
    for i, rule in enumerate(named):
        if rule not in rules:
            message = f"there is no rule of a cause `{rule}` that states a loss"
            reader.problem("K201", message, *keys, "rules", i, hint=did_you_mean(rule, rules))
    return m.FieldTrial(
        id=name,
        weed=reader.reference("weed", *keys, "weed"),
        actives={active: int(group) for active, group in raw["actives"].items()},
        season=None if raw["season"] is None else reader.stretch(*keys, "season"),
        stage=raw.get("stage"),
        applications=_pair(reader, *keys, "applications"),
        interval_days=_pair(reader, *keys, "interval_days") if raw["interval_days"] else None,
        rules=tuple(named),
        measured=raw["measured"],
        control=reader.span(*keys, "control"),
        says=raw["says"],
        note=raw.get("note"),
        basis=reader.basis(*keys, "from"),
        place=reader.place(*keys),
    )


def _pair(reader: Reader, *keys: Key) -> tuple[int, int]:
    span = reader.span(*keys)
    return int(span.low), int(span.high)
