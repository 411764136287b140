"""Reads a call file: one visit to one lawn about one weed, in the caller's own words.

The call goes from here to `facts`. Times become intervals, amounts become intervals with units and
every entry keeps its words and its line, so that an explanation can quote them. Nothing is
concluded here: what was not told stays untold.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from advisor.knowledge import shipped
from advisor.model import KnowledgeBase
from advisor.names import did_you_mean
from advisor.problem import ProblemsFound, sorted_unique
from advisor.reading import Key, Reader
from advisor.schema import Schemas
from advisor.terms import Options, Span, Value
from advisor.units import Amount
from advisor.when import When, WhenError, parse_when
from advisor.yamlfile import Document, read_file, read_text

RATE = ("volume-per-area", "mass-per-area")
PUT_IN = ("volume", "mass")

TOLD_IN_TREATMENT = {
    "form": "formulation",
    "surfactant": "surfactant",
    "mix_order": "mix_order",
    "coverage": "coverage",
    "passes": "passes",
    "droplets": "droplets",
    "stage": "stage",
    "grass_height": "grass_height",
    "product_age": "product_age",
    "stored": "stored",
    "water_hardness": "water_hardness",
}
TOLD_AS_FELT = {"air": "air_temp", "wind": "wind", "soil": "soil_moisture", "frost": "frost"}
TOLD_IN_LOOK = ("symptoms", "where", "plants", "left", "others", "grass")
MOST_APPLICATIONS = 12


@dataclass(frozen=True, slots=True)
class Told:
    """Something the caller said: the value, the words, the line of the file."""

    value: Value
    words: str
    line: int


@dataclass(frozen=True, slots=True)
class Event:
    """Something else that happened. `when` is None where the caller says it did not happen."""

    what: str
    when: When | None
    amount: Amount | None
    words: str
    line: int


@dataclass(frozen=True, slots=True)
class Look:
    """One observation of the weed."""

    on: When
    told: Mapping[str, Told]
    line: int


@dataclass(frozen=True, slots=True)
class Application:
    """One time it was sprayed or spread."""

    sprayed: When | None
    product: str | None
    amount: Amount | None
    water: Amount | None
    area: Amount | None
    in_tank: tuple[str, ...] | None
    told: Mapping[str, Told]
    line: int


@dataclass(frozen=True, slots=True)
class LabelTold:
    """What the caller read out from a label; None where it was not read."""

    rate: Amount | None = None
    controls: tuple[str, ...] | None = None
    suppresses: tuple[str, ...] | None = None
    not_for: tuple[str, ...] | None = None
    rainfast_h: float | None = None
    interval_days: float | None = None
    per_year: int | None = None
    temperature: Span | None = None
    turf: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Call:
    """One call, as told."""

    reference: str
    path: str
    reported: dt.date
    region: str | None
    turf: str | None
    mowing_height: Amount | None
    features: tuple[str, ...]
    weed: str | None
    weed_treated: str | None
    traits: Mapping[str, str]
    product: str | None
    actives: tuple[str, ...]
    label: LabelTold
    applications: tuple[Application, ...]
    events: tuple[Event, ...]
    looks: tuple[Look, ...]
    weather: str | None
    told: Mapping[str, Told] = field(default_factory=dict)


def load_call(path: Path, base: KnowledgeBase, *, today: dt.date | None = None) -> Call:
    """Read a call file.

    Args:
        path: the file.
        base: the knowledge base its ids belong to.
        today: a call reported after this day is an error; None allows any day.

    Raises:
        ProblemsFound: with every mistake in the file.
    """
    return _build(read_file(path), base, today)


def parse_call(
    text: str | bytes, name: str, base: KnowledgeBase, *, today: dt.date | None = None
) -> Call:
    """Read a call from text, as `load_call` does from a file; `name` stands in messages."""
    return _build(read_text(text, name), base, today)


def _build(document: Document, base: KnowledgeBase, today: dt.date | None) -> Call:
    problems = _schemas().check("call", document)
    if problems:
        raise ProblemsFound(tuple(sorted_unique(problems)))
    ids: dict[str, Collection[str]] = {
        "weed": base.weeds,
        "product": base.products,
        "region": base.regions,
        "turf": base.turf,
        "site": base.sites,
        "active": {a for w in base.weeds.values() for a in w.control},
    }
    retired = {old: r.successor for old, r in base.retired.items()}
    reader = _CallReader(document, problems, ids=ids, retired=retired)
    call = reader.call(base, today)
    if problems:
        raise ProblemsFound(tuple(sorted_unique(problems)))
    return call


_SCHEMAS: list[Schemas] = []


def _schemas() -> Schemas:
    if not _SCHEMAS:
        _SCHEMAS.append(Schemas(shipped("schemas")))
    return _SCHEMAS[0]


class _CallReader(Reader):
    """Reads the entries of one call file."""

    def call(self, base: KnowledgeBase, today: dt.date | None) -> Call:
        self.base = base
        reported = self._date("reported")
        if today is not None and reported > today:
            self.problem("C104", f"reported on {reported}, after today ({today})", "reported")
        self.reported = When(
            dt.datetime.combine(reported, dt.time()),
            dt.datetime.combine(reported, dt.time()) + dt.timedelta(days=1),
            str(reported),
        )
        applications = self._applications()
        known = [a.sprayed for a in applications if a.sprayed is not None]
        self.anchor = known[-1] if known else None
        features = self.references("site", "site", "features")
        return Call(
            reference=str(self.get("call") or Path(self.document.path).stem),
            path=self.document.path,
            reported=reported,
            region=self._optional_id("region", "site", "region"),
            turf=self._optional_id("turf", "site", "turf"),
            mowing_height=self._known_amount("site", "mowing_height", dimension="length"),
            features=features,
            weed=self._optional_id("weed", "weed"),
            weed_treated=self._optional_id("weed", "weed_treated"),
            traits={k: str(v) for k, v in (self.get("traits") or {}).items()},
            product=self._optional_id("product", "product"),
            actives=tuple(self._active(name) for name in self.get("actives") or {}),
            label=self._label(),
            applications=applications,
            events=self._events(),
            looks=self._looks(),
            weather=self.get("weather"),
            told=self._told_of_call(features),
        )

    # ---- parts -----------------------------------------------------------------------------

    def _applications(self) -> tuple[Application, ...]:
        entries = self.get("treatment") or []
        if len(entries) > MOST_APPLICATIONS:
            message = f"{len(entries)} applications in one call; {MOST_APPLICATIONS} are the most"
            self.problem("C106", message, "treatment", MOST_APPLICATIONS)
        return tuple(self._application("treatment", i) for i in range(len(entries)))

    def _application(self, *keys: Key) -> Application:
        told = self._told(keys, TOLD_IN_TREATMENT)
        told |= self._told((*keys, "felt"), TOLD_AS_FELT)
        told |= self._answers((*keys, "answers"), scope="application")
        sprayed = self._when(*keys, "sprayed")
        if sprayed is not None and sprayed.low >= self.reported.high:
            message = f"sprayed {sprayed.text}, after the call was reported ({self['reported']})"
            self.problem("C105", message, *keys, "sprayed")
        tank = self.get(*keys, "also_in_tank")
        in_tank = None
        if tank is not None and tank != "unknown":
            in_tank = tuple(
                self.reference("product", *keys, "also_in_tank", i, "product")
                for i in range(len(tank))
            )
        return Application(
            sprayed=sprayed,
            product=self._optional_id("product", *keys, "product"),
            amount=self._known_amount(*keys, "amount", dimension=PUT_IN),
            water=self._known_amount(*keys, "water", dimension="volume"),
            area=self._known_amount(*keys, "area", dimension="area"),
            in_tank=in_tank,
            told=told,
            line=self.place(*keys).line,
        )

    def _label(self) -> LabelTold:
        if self.get("label") in (None, "unknown"):
            return LabelTold()
        temperature = self._known_amount("label", "temperature", dimension="temperature")
        rainfast = self._known_amount("label", "rainfast", dimension="time")
        interval = self._known_amount("label", "interval", dimension="time")
        return LabelTold(
            rate=self._known_amount("label", "rate", dimension=RATE),
            controls=self._ids_told("weed", "controls"),
            suppresses=self._ids_told("weed", "suppresses"),
            not_for=self._ids_told("turf", "not_for"),
            rainfast_h=None if rainfast is None else rainfast.to("h").high,
            interval_days=None if interval is None else interval.to("days").high,
            per_year=self.get("label", "per_year"),
            temperature=None if temperature is None else temperature.to("F"),
            turf=self._ids_told("turf", "turf"),
        )

    def _ids_told(self, kind: str, key: str) -> tuple[str, ...] | None:
        return None if self.get("label", key) is None else self.references(kind, "label", key)

    def _events(self) -> tuple[Event, ...]:
        events = []
        for i, entry in enumerate(self.get("events") or []):
            what = next(k for k in entry if k != "amount")
            text = str(entry[what])
            when = None if text == "none" else self._when("events", i, what, anchored=True)
            amount = self._known_amount("events", i, "amount", dimension="length")
            if text != "none" and when is None:
                continue
            if when is not None and when.low >= self.reported.high:
                message = f"{what} {text}, after the call was reported ({self['reported']})"
                self.problem("C105", message, "events", i, what)
            line = self.place("events", i).line
            events.append(Event(what, when, amount, f"{what} {text}", line))
        return tuple(events)

    def _looks(self) -> tuple[Look, ...]:
        seen = self.get("seen")
        paths: list[tuple[Key, ...]]
        if seen is None:
            return ()
        paths = [("seen", i) for i in range(len(seen))] if isinstance(seen, list) else [("seen",)]
        looks = []
        for keys in paths:
            on = self._when(*keys, "on", anchored=True) or self.reported
            if on.low >= self.reported.high:
                message = f"seen {on.text}, after the call was reported ({self['reported']})"
                self.problem("C105", message, *keys, "on")
            told = self._told(keys, {name: name for name in TOLD_IN_LOOK})
            looks.append(Look(on, told, self.place(*keys).line))
        return tuple(looks)

    def _told_of_call(self, features: tuple[str, ...]) -> dict[str, Told]:
        told = self._told(("site",), {"cover": "cover"})
        told |= self._told(("site", "irrigation"), {"days_per_week": "irrigation_days"})
        for i, feature in enumerate(features):
            fact = self.base.facts.get(f"site.{feature}")
            if fact is not None:
                line = self.place("site", "features", i).line
                told[fact.id] = Told(Options.of("yes"), feature, line)
        return told | self._answers(("answers",), scope="call")

    # ---- entries ---------------------------------------------------------------------------

    def _told(self, keys: tuple[Key, ...], names: Mapping[str, str]) -> dict[str, Told]:
        result = {}
        for key, fact in names.items():
            raw = self.get(*keys, key)
            if raw is None or raw == "unknown":
                continue
            codes = ("C101", "C102")
            value = self.fact_value(self.base.facts[fact], *keys, key, codes=codes)
            result[fact] = Told(value, f"{key}: {raw}", self.place(*keys, key).line)
        return result

    def _answers(self, keys: tuple[Key, ...], *, scope: str) -> dict[str, Told]:
        """Answers to the questions that were asked, by fact."""
        result = {}
        open_facts = {
            n for n, f in self.base.facts.items() if not n.startswith(("kind.", "cause."))
        }
        for name in self.get(*keys) or {}:
            fact = self.base.facts.get(name) if name in open_facts else None
            if fact is None:
                hint = did_you_mean(name, open_facts)
                message = f"there is no fact `{name}` to answer"
                self.problem("C103", message, *keys, name, hint=hint, at_key=True)
                continue
            if fact.scope != scope:
                where = (
                    "under its entry of treatment" if fact.scope == "application" else "at the top"
                )
                message = f"{name} is answered {where}"
                self.problem("C103", message, *keys, name, at_key=True)
                continue
            value = self.fact_value(fact, *keys, name, codes=("C101", "C102"))
            words = f"{fact.says}: {self.get(*keys, name)}"
            result[name] = Told(value, words, self.place(*keys, name).line)
        return result

    def _optional_id(self, kind: str, *keys: Key) -> str | None:
        raw = self.get(*keys)
        if raw is None or raw == "unknown":
            return None
        return self.reference(kind, *keys, code="C103")

    def _active(self, name: str) -> str:
        if name not in self.ids("active"):
            hint = did_you_mean(name, self.ids("active"))
            message = f"there is no active `{name}` in the knowledge base"
            self.problem("C103", message, "actives", name, hint=hint, at_key=True)
        return name

    def _known_amount(self, *keys: Key, dimension: str | tuple[str, ...]) -> Amount | None:
        raw = self.get(*keys)
        return None if raw in (None, "unknown") else self.amount(*keys, dimension=dimension)

    def _date(self, *keys: Key) -> dt.date:
        when = self._when(*keys)
        if when is None:
            return dt.date(1970, 1, 1)
        if (when.high - when.low) > dt.timedelta(days=1):
            message = "the day of the call must be one day, written YYYY-MM-DD"
            self.problem("C101", message, *keys)
        return when.low.date()

    def _when(self, *keys: Key, anchored: bool = False) -> When | None:
        raw = self.get(*keys)
        if raw is None or raw == "unknown":
            return None
        try:
            return parse_when(str(raw), self.anchor if anchored else None)
        except WhenError as error:
            self.problem("C107", error.message, *keys, hint=error.hint)
            return None
