"""The whole chain behind one conclusion: from what was told to what would undo it.

For a cause, a kind of comeback or a stop it walks every rule, condition by condition, with the
value and the origin of each fact.
"""

from __future__ import annotations

from advisor.diagnosis import Diagnosis
from advisor.model import KnowledgeBase, Rule
from advisor.render import say
from advisor.render.layout import BOLD, Page
from advisor.terms import Clause, Condition, Truth
from advisor.wordings import ORDER, clause_truth, told_what

WORDS = {Truth.SHOWN: "shown", Truth.OPEN: "open", Truth.RULED_OUT: "ruled out"}


def names(base: KnowledgeBase) -> list[str]:
    """Everything that can be asked about."""
    return sorted([*base.causes, *base.kinds, *base.stops])


def why_page(name: str, found: Diagnosis, base: KnowledgeBase, page: Page) -> str:
    """Explain one cause, kind or stop of a diagnosis."""
    owner = base.causes.get(name) or base.kinds.get(name) or base.stops[name]
    judged = [
        (rule, n, *_judge(rule, n, found))
        for rule in owner.rules
        for n in _where(rule, found, base)
    ]
    truth = min((t for _, _, t, _ in judged), key=ORDER.__getitem__, default=Truth.RULED_OUT)
    page.head(f"{say.title(owner.title)}: {WORDS[truth]}")
    page.text(told_what(owner, found.values[-1]))
    _standing(name, found, base, page)
    for rule, n, rule_truth, clause in sorted(judged, key=lambda j: (ORDER[j[2]], j[1])):
        _rule(rule, n, rule_truth, clause, found, base, page)
    return str(page)


def _where(rule: Rule, found: Diagnosis, base: KnowledgeBase) -> list[int]:
    """The applications a rule is judged at; a rule on the call alone is judged once."""
    last = len(found.values) - 1
    if rule.owner in base.causes and any(base.facts[f].scope == "application" for f in rule.facts):
        return list(range(last + 1))
    return [last]


def _judge(rule: Rule, n: int, found: Diagnosis) -> tuple[Truth, Clause]:
    """The truth of a rule and the alternative that comes nearest to holding."""
    values = found.values[n]
    judged = [(clause_truth(clause, values), clause) for clause in rule.clauses]
    return min(judged, key=lambda pair: (ORDER[pair[0]], pair[1].number))


def _standing(name: str, found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    """What the conclusion means for the answer as a whole."""
    for cause in found.weighing.causes:
        if cause.cause.id != name:
            continue
        kinds = ", ".join(base.kinds[k].title for k in cause.cause.explains)
        page.text(f"It can explain: {kinds}.")
        if cause.explains is Truth.RULED_OUT:
            page.text("None of these is what came back here, so it is no reason for this call.")
            return
        share = say.percent(found.weighing.share(cause))
        won = say.percent(cause.won)
        page.text(f"Chance {cause.chance * 100:.0f} in 100. Share of what was lost: {share}. "
                  f"The change that puts it right wins back {won} control.")  # fmt: skip
    for kind in found.kinds:
        if kind.kind.id == name:
            met = f"before any evidence {kind.kind.how_often * 100:.0f} in 100"
            page.text(f"Chance among the kinds {kind.chance * 100:.0f} in 100, {met}.")


def _rule(
    rule: Rule,
    n: int,
    truth: Truth,
    clause: Clause,
    found: Diagnosis,
    base: KnowledgeBase,
    page: Page,
) -> None:
    page.blank()
    several = len(found.values) > 1 and any(
        base.facts[f].scope == "application" for f in rule.facts
    )
    at = f", spraying {n + 1}" if several else ""
    page.item("*", f"{rule.id}{at}: {WORDS[truth]}", 0, BOLD)
    if truth is not Truth.RULED_OUT:
        page.text(say.because(rule, found, base, n))
    for condition in clause.conditions:
        _condition(condition, n, found, base, page)
    if truth is Truth.SHOWN:
        _undo(clause, base, page)
    page.text(f"From: {_basis(rule, base)}.")


def _undo(clause: Clause, base: KnowledgeBase, page: Page) -> None:
    """What would have kept the rule from holding, of what whoever sprays can change."""
    for who, words in (
        ("sprayer", "It would not hold with"),
        ("time", "At another time it would not hold with"),
    ):
        undo = [
            f"{base.facts[c.fact].says} {say.otherwise(c, base.facts[c.fact])}"
            for c in clause.conditions
            if base.facts[c.fact].change == who
        ]
        if undo:
            page.text(f"{words}: {'; or '.join(undo)}.")
    if all(base.facts[c.fact].change == "nobody" for c in clause.conditions):
        page.text("Nobody can change that; it can only be worked with.")


def _condition(
    condition: Condition, n: int, found: Diagnosis, base: KnowledgeBase, page: Page
) -> None:
    fact = base.facts[condition.fact]
    value = found.values[n][condition.fact]
    truth = condition.truth(value)
    known = found.facts.at(n).get(condition.fact)
    origin = str(known.origin) if known else "worked out: from the step before"
    wanted = say.condition(condition, fact)
    verb = {Truth.SHOWN: "holds", Truth.OPEN: "could hold", Truth.RULED_OUT: "does not hold"}[truth]
    page.item("-", f"{fact.says}: {say.value(fact, value)} [{origin}]", 4)
    page.text(f"needs {wanted}: {verb}", 6)


def _basis(rule: Rule, base: KnowledgeBase) -> str:
    if rule.basis.source is None:
        return {"demo": "an estimate of this demo", "memory": "memory, to be checked"}.get(
            rule.basis.kind, rule.basis.kind.replace("-", " ")
        )
    source = base.sources[rule.basis.source]
    year = f", {source.year}" if source.year else ""
    return f"{source.title}, {source.publisher}{year}"
