"""What holds for every call: order is nothing, knowing more overturns nothing, shares add up.

Calls are generated (see `strategies`); every example call of the knowledge base is tried as well.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from strategies import Data, call_texts, calls, shuffled, text_of

from advisor.call import Call, load_call, parse_call
from advisor.diagnosis import Advisor, Diagnosis
from advisor.facts import gather
from advisor.kinds import weigh_kinds
from advisor.knowledge import shipped
from advisor.model import KnowledgeBase
from advisor.problem import ProblemsFound
from advisor.render.document import diagnosis_document
from advisor.terms import Options, Span, Truth, Value
from advisor.tiers import Finding, as_fact
from advisor.weighing import Scales

EXAMPLES = sorted((Path(__file__).parent.parent / "knowledge" / "examples").rglob("*.yaml"))
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def few(examples: int) -> settings:
    """Settings for a property whose every example is a whole diagnosis."""
    return settings(max_examples=examples, deadline=None, suppress_health_check=SLOW)


@pytest.fixture(scope="session")
def other(base: KnowledgeBase) -> Advisor:
    """An advisor on the second engine."""
    return Advisor(base, "clips")


@pytest.fixture(scope="session")
def first(base: KnowledgeBase) -> Advisor:
    """An advisor on durable-rules, where it can be had."""
    pytest.importorskip("durable")
    return Advisor(base, "durable")


def document(found: Diagnosis, base: KnowledgeBase) -> Data:
    """The answer as plain data, without the name of the engine."""
    return {**diagnosis_document(found, base), "engine": ""}


def gist(found: Diagnosis, base: KnowledgeBase) -> Data:
    """The answer without the lines and words it comes from, which follow the order of a file."""
    result = document(found, base)
    facts = result["facts"]
    for own in (facts["call"], *facts["applications"]):
        for fact in own.values():
            del fact["origin"]
    result["conflicts"] = [(c["fact"], c["application"]) for c in result["conflicts"]]
    return result


# ---- order -------------------------------------------------------------------------------------


@few(40)
@given(data=st.data())
def test_order_changes_nothing(advisor: Advisor, base: KnowledgeBase, data: st.DataObject) -> None:
    """A call whose keys, events, features and partners stand in another order has one answer."""
    call = data.draw(calls())
    mixed = data.draw(shuffled(call))
    one, two = (parse_call(text_of(c), "call.yaml", base) for c in (call, mixed))
    assert gist(advisor.diagnose(one), base) == gist(advisor.diagnose(two), base)


@few(15)
@given(text=call_texts())
def test_the_same_call_twice(advisor: Advisor, base: KnowledgeBase, text: str) -> None:
    """The same text gives the same document, to the last word."""
    one, two = (advisor.diagnose(parse_call(text, "call.yaml", base)) for _ in range(2))
    assert json.dumps(document(one, base)) == json.dumps(document(two, base))


# ---- figures -----------------------------------------------------------------------------------


@few(50)
@given(text=call_texts())
def test_figures_are_shares(advisor: Advisor, base: KnowledgeBase, text: str) -> None:
    """Chances, shares and control lie in [0, 1], and what belongs together adds up."""
    found = advisor.diagnose(parse_call(text, "call.yaml", base))
    weighing = found.weighing
    assert math.fsum(k.chance for k in found.kinds) == pytest.approx(1)
    chances = [k.chance for k in found.kinds] + [f.chance for f in weighing.causes]
    chances += [g.chance for f in weighing.causes for g in f.findings]
    assert all(0 <= c <= 1 for c in chances)
    assert all(0 <= f.lost <= 1 and 0 <= f.won <= 1 for f in weighing.causes)
    shares = math.fsum(weighing.share(f) for f in weighing.causes)
    assert shares == pytest.approx(1) if weighing.gap > 1e-9 else shares == 0
    for control in (weighing.done, weighing.possible):
        assert 0 <= control.low <= control.expected <= control.high <= 1
    for end in ("low", "expected", "high"):
        assert getattr(weighing.done, end) <= getattr(weighing.possible, end) + 1e-12
    assert all(0 <= q.value <= 1 for q in found.questions)


@few(20)
@given(text=call_texts())
def test_documents_fit_their_schema(advisor: Advisor, base: KnowledgeBase, text: str) -> None:
    """Every answer fits the schema of diagnosis documents and survives a trip through JSON."""
    found = document(advisor.diagnose(parse_call(text, "call.yaml", base)), base)
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    schema = json.loads((shipped("schemas") / "diagnosis.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(found)


@few(30)
@given(text=call_texts())
def test_what_is_certain_is_not_asked(advisor: Advisor, base: KnowledgeBase, text: str) -> None:
    """No question is on a fact of which all is told, or whose value is one point or option."""
    found = advisor.diagnose(parse_call(text, "call.yaml", base))
    for question in found.questions:
        fact = found.facts.at(question.application or 0)[question.fact]
        assert not fact.origin.firm
        if isinstance(fact.value, Options):
            assert len(fact.value.possible) > 1


# ---- knowing more ------------------------------------------------------------------------------


def truths(advisor: Advisor, call: Call, values: list[dict[str, Value]]) -> dict[Any, Truth]:
    """What every rule that can hold, every kind, cause and stop is, on the values of a call."""
    base, tiers = advisor.base, advisor.tiers
    told = [dict(v) for v in values]
    found: list[Finding] = tiers.kinds(told[-1])
    kinds = {k.kind.id: k.truth for k in weigh_kinds(found, base)}
    result: dict[Any, Truth] = {("kind", k): truth for k, truth in kinds.items()}
    for name, truth in kinds.items():
        for one in told:
            one[f"kind.{name}"] = as_fact(f"kind.{name}", truth).value
    causes = [f for n in range(len(told)) for f in tiers.causes(told[n], n)]
    scales = Scales(call, gather(call, base), base, advisor.expectations)
    for cause in scales.weigh(causes, kinds, told).causes:
        result["cause", cause.cause.id] = cause.truth
        result["explains", cause.cause.id] = cause.explains
    for name in base.causes:
        known = as_fact(f"cause.{name}", result.get(("cause", name), Truth.RULED_OUT))
        told[-1][known.id] = known.value
    stops = tiers.stops(told[-1])
    for f in (*found, *causes, *stops):
        result["rule", f.rule.id, f.application] = f.truth
    return result


def narrower(value: Value) -> st.SearchStrategy[Value]:
    """A value that says at least as much as the one given."""
    if isinstance(value, Options):
        chosen = st.sets(st.sampled_from(sorted(value.possible)), min_size=1)
        return chosen.map(lambda names: Options(frozenset(names)))
    inside = st.floats(value.low, value.high, allow_nan=False)
    return st.tuples(inside, inside).map(lambda pair: Span(min(pair), max(pair)))


@few(100)
@given(data=st.data())
def test_knowing_more_overturns_nothing(
    advisor: Advisor, base: KnowledgeBase, data: st.DataObject
) -> None:
    """Narrowing one fact leaves shown what is shown and ruled out what is ruled out: rules, kinds
    and causes.
    """
    call = parse_call(data.draw(call_texts()), "call.yaml", base)
    facts = gather(call, base)
    values = [facts.values(n) for n in range(len(facts.of_applications))]
    before = truths(advisor, call, values)
    read = sorted({n for r in base.rules() for n in r.facts} & values[-1].keys())
    name = data.draw(st.sampled_from([n for n in read if width(values[-1][n])] or read))
    value = data.draw(narrower(values[-1][name]))
    of_call = base.facts[name].scope == "call"
    told = [
        {**v, name: value} if of_call or n == len(values) - 1 else v for n, v in enumerate(values)
    ]
    after = truths(advisor, call, told)
    for key, was in before.items():
        if key[0] == "explains" and key not in after:
            continue  # no rule of the cause can hold any more
        assert was in (Truth.OPEN, after.get(key, Truth.RULED_OUT)), key
    assert {k for k in after if k[0] in ("rule", "cause")} <= before.keys()


def width(value: Value) -> bool:
    """Whether there is anything left to know."""
    return len(value.possible) > 1 if isinstance(value, Options) else value.low < value.high


# ---- engines -----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_engines_agree_on_the_examples(
    first: Advisor, other: Advisor, base: KnowledgeBase, path: Path
) -> None:
    """Both engines give the same document on an example call, to the last word."""
    call = load_call(path, base)
    one, two = (document(a.diagnose(call), base) for a in (first, other))
    assert one == two


@few(20)
@given(text=call_texts())
def test_engines_agree_on_any_call(
    first: Advisor, other: Advisor, base: KnowledgeBase, text: str
) -> None:
    """Both engines give the same document on generated calls."""
    call = parse_call(text, "call.yaml", base)
    one, two = (document(a.diagnose(call), base) for a in (first, other))
    assert one == two


# ---- anything at all ---------------------------------------------------------------------------


def read(text: str | bytes, advisor: Advisor, base: KnowledgeBase) -> None:
    """Read a text as a call: problems, or a call that gets an answer."""
    try:
        call = parse_call(text, "call.yaml", base)
    except ProblemsFound as found:
        problems = found.problems
    else:
        document(advisor.diagnose(call), base)
        return
    assert problems
    assert all("\n" not in p.message for p in problems)


@settings(max_examples=100, deadline=None)
@given(text=st.one_of(st.text(), st.binary()))
def test_any_text_is_read(advisor: Advisor, base: KnowledgeBase, text: str | bytes) -> None:
    """Any text and any bytes as a call file give problems or a call, never another exception."""
    read(text, advisor, base)


PIECES = (
    *("", "\n", ":", ": ", "- ", "  ", "{", "}", "[", "]", "unknown", "none", "null", "true", "~"),
    *("0", "-1", "1e999", "99999999999", ".nan", "2024-02-29", "2026-02-30", "about ", "between "),
    *("&a ", "*a", "!!int ", "<<", "#", '"', "'", "\t", "é", "\u2028", "\x00", "% ", " F", " gal"),
)


@few(100)
@given(data=st.data())
def test_a_damaged_call_is_read(advisor: Advisor, base: KnowledgeBase, data: st.DataObject) -> None:
    """An example call with pieces cut out and put in gives problems or a call with an answer."""
    text = data.draw(st.sampled_from(EXAMPLES)).read_text(encoding="utf-8")
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 12)))
        piece = data.draw(st.one_of(st.sampled_from(PIECES), st.text(max_size=4)))
        text = text[:start] + piece + text[end:]
    read(text, advisor, base)


WORDS = (
    "unknown",
    "none",
    "0",
    "1",
    "-5",
    "2 fl oz",
    "3 h",
    "40 F",
    "yes",
    "no",
    "x",
    "2026-09-13",
)


@few(100)
@given(data=st.data())
def test_a_call_with_any_value_anywhere(
    advisor: Advisor, base: KnowledgeBase, data: st.DataObject
) -> None:
    """A call in which any values are replaced by others gives problems or a call with an answer."""
    call = data.draw(calls())
    places = list(leaves(call))
    assume(places)
    for holder, key in data.draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
        holder[key] = data.draw(
            st.one_of(st.sampled_from(WORDS), st.integers(), st.floats(), st.none(), st.just([]))
        )
    read(text_of(call), advisor, base)


def leaves(value: Any) -> Any:
    """The places of a call's data: each mapping or list with a key of it."""
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in items:
        yield value, key
        if isinstance(inner, dict | list):
            yield from leaves(inner)


@few(50)
@given(text=call_texts())
def test_generated_calls_are_calls(base: KnowledgeBase, text: str) -> None:
    """What the strategies generate can be read: the properties above speak of calls."""
    assert isinstance(parse_call(text, "call.yaml", base), Call)
