"""Reads the entries of one checked call file into a `Call`, and notes each mistake where it stands.

`call` hands it a document of the right shape; what it makes of it goes to `facts`. It concludes
nothing: what was not told stays untold, and what cannot be read counts as not told once it has been
noted.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from advisor.account import Application, Call, Event, LabelTold, Look, Told, name_of, oldest_first
from advisor.model import KnowledgeBase
from advisor.names import did_you_mean
from advisor.plausible import SPRAYER, odd_spray, outside, too_much
from advisor.reading import Key, Reader
from advisor.terms import Options
from advisor.units import Amount, UnitError, parse_amount
from advisor.when import When, WhenError, parse_when

RATE = ("volume-per-area", "mass-per-area")
PUT_IN = ("volume", "mass")
STRENGTH = ("volume-per-volume", "mass-per-volume")
CONTENT = ("mass-per-volume", "share")

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
EVENTS = (
    *("mowed", "watered", "rained", "seeded", "raked", "tilled"),
    *("cored", "pulled", "fed", "frosted", "flooded"),
)
LONG_AGO = parse_when("1970-01-01")
MOST_APPLICATIONS = 12
MOST_A_YEAR = 24
UNREADABLE, IMPLAUSIBLE, NO_SUCH_NAME = "C101", "C102", "C103"


class CallReader(Reader):
    """Reads the entries of one call file."""

    def call(self, base: KnowledgeBase, today: dt.date | None) -> Call:
        """The call; only where no problem was noted is it what the file says."""
        self.base = base
        self.reported = self._reported(today)
        applications = self._applications()
        self.anchor = self._anchor(applications)
        features = self._names("site", "site", "features")
        return Call(
            reference=str(self.get("call") or name_of(self.document.path)),
            path=self.document.path,
            reported=self.reported.first_day if self.reported else dt.date.min,
            region=self._optional_id("region", "site", "region"),
            turf=self._optional_id("turf", "site", "turf"),
            mowing_height=self._known_amount(
                "site", "mowing_height", dimension="length", limits="mowing_height"
            ),
            features=features,
            weed=self._optional_id("weed", "weed"),
            weed_treated=self._optional_id("weed", "weed_treated"),
            traits=self._traits(),
            product=self._optional_id("product", "product"),
            actives=tuple(self._active(name) for name in self.get("actives") or {}),
            label=self._label(),
            applications=applications,
            events=self._events(),
            looks=self._looks(),
            weather=self.get("weather"),
            told=self._told_of_call(features),
            answers=self._answers(("answers",), scope="call"),
            weather_at=self.document.value_at("weather"),
        )

    def _reported(self, today: dt.date | None) -> When | None:
        """The day of the call; None where the file does not give one, which is a problem."""
        when = self._when("reported")
        if when is None:
            if self.get("reported") == "unknown":
                hint = "Write the day somebody called, as YYYY-MM-DD."
                self.problem("C104", "a call needs its day", "reported", hint=hint)
            return None
        if when.high - when.low > dt.timedelta(days=1):
            message = "the day of the call must be one day, written YYYY-MM-DD"
            self.problem(UNREADABLE, message, "reported")
            return None
        day = when.first_day
        if today is not None and day > today:
            self.problem("C104", f"reported on {day}, after today ({today})", "reported")
        start = dt.datetime.combine(day, dt.time())
        return When(start, start + dt.timedelta(days=1), str(day))

    def _anchor(self, applications: Sequence[Application]) -> When | None:
        """The spraying that other times are told by.

        Where its date cannot be read, any other will do: that is one problem and not several.
        """
        known = [a.sprayed for a in applications if a.sprayed is not None]
        told = [self.get("treatment", i, "sprayed") for i in range(len(applications))]
        unreadable = any(text not in (None, "unknown") for text in told)
        return known[-1] if known else LONG_AGO if unreadable else None

    def _not_after(self, when: When | None, said: str, *keys: Key) -> None:
        if when is not None and self.reported is not None and when.low >= self.reported.high:
            message = f"{said}, after the call was reported ({self.reported.text})"
            self.problem("C105", message, *keys)

    # ---- parts -----------------------------------------------------------------------------

    def _applications(self) -> tuple[Application, ...]:
        entries = self.get("treatment") or []
        if len(entries) > MOST_APPLICATIONS:
            message = f"{len(entries)} applications in one call; {MOST_APPLICATIONS} are the most"
            self.problem("C106", message, "treatment", MOST_APPLICATIONS)
        found = [self._application("treatment", i) for i in range(len(entries))]
        return tuple(found[i] for i in oldest_first([a.sprayed for a in found]))

    def _application(self, *keys: Key) -> Application:
        told = self._told(keys, TOLD_IN_TREATMENT)
        told |= self._told((*keys, "felt"), TOLD_AS_FELT)
        sprayed = self._when(*keys, "sprayed")
        self._not_after(sprayed, f"sprayed {sprayed.text if sprayed else ''}", *keys, "sprayed")
        amount, water, area = self._mix(*keys)
        return Application(
            sprayed=sprayed,
            product=self._optional_id("product", *keys, "product"),
            amount=amount,
            water=water,
            area=area,
            in_tank=self._in_tank(*keys, "also_in_tank"),
            told=told,
            line=self.place(*keys).line,
            answers=self._answers((*keys, "answers"), scope="application"),
            sprayer=self._sprayer(*keys),
            drops=self.get(*keys, "drops"),
        )

    def _sprayer(self, *keys: Key) -> dict[str, Amount]:
        found = {k: self._known_amount(*keys, k, dimension=d, limits=k) for k, d in SPRAYER.items()}
        return {key: amount for key, amount in found.items() if amount is not None}

    def _mix(self, *keys: Key) -> tuple[Amount | None, Amount | None, Amount | None]:
        """Product, water and area; together they must make a rate that can be meant."""
        amount = self._known_amount(*keys, "amount", dimension=(*PUT_IN, *STRENGTH, *RATE))
        water = self._known_amount(*keys, "water", dimension="volume", limits="water")
        area = self._known_amount(*keys, "area", dimension="area", limits="area")
        if amount is not None and (hint := too_much(amount, area)):
            on = f" on `{area.text}`" if area is not None else ""
            message = f"`{amount.text}`{on} is not plausible"
            self.problem(IMPLAUSIBLE, message, *keys, "amount", hint=hint)
        if area is not None and water is not None and (hint := odd_spray(water, area)):
            message = f"`{water.text}` of water on `{area.text}` is not plausible"
            self.problem(IMPLAUSIBLE, message, *keys, "water", hint=hint)
        return amount, water, area

    def _in_tank(self, *keys: Key) -> tuple[str | None, ...] | None:
        tank = self.get(*keys)
        if tank is None or tank == "unknown":
            return None
        for i in range(len(tank)):
            self._known_amount(*keys, i, "amount", dimension=PUT_IN)
        return tuple(self._optional_id("product", *keys, i, "product") for i in range(len(tank)))

    def _label(self) -> LabelTold:
        if self.get("label") in (None, "unknown"):
            return LabelTold()
        temperature = self._of_label("temperature", "temperature")
        rainfast = self._of_label("rainfast", "time")
        interval = self._of_label("interval", "time")
        per_year = self.get("label", "per_year")
        if per_year is not None and per_year > MOST_A_YEAR:
            message = "so many applications a year are not plausible"
            self.problem(IMPLAUSIBLE, message, "label", "per_year", hint=f"1 to {MOST_A_YEAR}")
        return LabelTold(
            rate=self._known_amount("label", "rate", dimension=RATE),
            controls=self._ids_told("weed", "controls"),
            suppresses=self._ids_told("weed", "suppresses"),
            not_for=self._ids_told("turf", "not_for"),
            rainfast_h=None if rainfast is None else rainfast.to("h").high,
            interval_days=None if interval is None else interval.to("days").high,
            per_year=per_year,
            temperature=None if temperature is None else temperature.to("F"),
            turf=self._ids_told("turf", "turf"),
        )

    def _of_label(self, key: str, dimension: str) -> Amount | None:
        return self._known_amount("label", key, dimension=dimension, limits=key)

    def _ids_told(self, kind: str, key: str) -> tuple[str, ...] | None:
        return None if self.get("label", key) is None else self._names(kind, "label", key)

    def _events(self) -> tuple[Event, ...]:
        events = []
        for i, entry in enumerate(self.get("events") or []):
            what = next((k for k in entry if k in EVENTS), None)
            if what is None:
                continue  # its key is unknown, and so it was noted
            text = str(entry[what])
            when = None if text == "none" else self._when("events", i, what, anchored=True)
            amount = self._known_amount(
                "events", i, "amount", dimension="length", limits="water on the lawn"
            )
            if text != "none" and when is None:
                continue
            self._not_after(when, f"{what} {text}", "events", i, what)
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
            told = self._told(keys, {name: name for name in TOLD_IN_LOOK})
            if on is None:
                continue
            self._not_after(on, f"seen {on.text}", *keys, "on")
            looks.append(Look(on, told, self.place(*keys).line))
        return tuple(looks[i] for i in oldest_first([look.on for look in looks]))

    def _told_of_call(self, features: tuple[str, ...]) -> dict[str, Told]:
        told = self._told(("site",), {"cover": "cover"})
        told |= self._told(("site", "irrigation"), {"days_per_week": "irrigation_days"})
        for i, feature in enumerate(features):
            fact = self.base.facts.get(f"site.{feature}")
            if fact is not None:
                line = self.place("site", "features", i).line
                told[fact.id] = Told(Options.of("yes"), feature, line)
        return told

    def _traits(self) -> dict[str, str]:
        """What the plant looks like, in the words that the weeds are described in."""
        result = {}
        for name, raw in (self.get("traits") or {}).items():
            known = {w.traits[name] for w in self.base.weeds.values() if name in w.traits}
            if not known:
                hint = did_you_mean(name, self.ids("trait"))
                message = f"there is no trait `{name}`"
                self.problem(NO_SUCH_NAME, message, "traits", name, hint=hint, at_key=True)
            elif raw not in (*known, "unknown"):
                hint = did_you_mean(str(raw), known) or "one of: " + ", ".join(sorted(known))
                message = f"{name} cannot be `{raw}`"
                self.problem(UNREADABLE, message, "traits", name, hint=hint)
            if raw != "unknown":
                result[name] = str(raw)
        return result

    # ---- entries ---------------------------------------------------------------------------

    def _told(self, keys: tuple[Key, ...], names: Mapping[str, str]) -> dict[str, Told]:
        result = {}
        for key, fact in names.items():
            raw = self.get(*keys, key)
            if raw is None or raw == "unknown":
                continue
            codes = (UNREADABLE, IMPLAUSIBLE)
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
                self.problem(NO_SUCH_NAME, message, *keys, name, hint=hint, at_key=True)
                continue
            if fact.scope != scope:
                where = (
                    "under its entry of treatment" if fact.scope == "application" else "at the top"
                )
                message = f"{name} is answered {where}"
                self.problem(NO_SUCH_NAME, message, *keys, name, at_key=True)
                continue
            value = self.fact_value(fact, *keys, name, codes=(UNREADABLE, IMPLAUSIBLE))
            words = f"{fact.says}: {self.get(*keys, name)}"
            result[name] = Told(value, words, self.place(*keys, name).line)
        return result

    def _optional_id(self, kind: str, *keys: Key) -> str | None:
        raw = self.get(*keys)
        if raw is None or raw == "unknown":
            return None
        return self.reference(kind, *keys, code=NO_SUCH_NAME)

    def _names(self, kind: str, *keys: Key) -> tuple[str, ...]:
        """A list of ids of a kind."""
        count = len(self.get(*keys) or ())
        return tuple(self.reference(kind, *keys, i, code=NO_SUCH_NAME) for i in range(count))

    def _active(self, name: str) -> str:
        if name not in self.ids("active"):
            hint = did_you_mean(name, self.ids("active"))
            message = f"there is no active `{name}` in the knowledge base"
            self.problem(NO_SUCH_NAME, message, "actives", name, hint=hint, at_key=True)
        self._known_amount("actives", name, dimension=CONTENT)
        return name

    def _known_amount(
        self, *keys: Key, dimension: str | tuple[str, ...], limits: str = ""
    ) -> Amount | None:
        """An amount, where one is told; one that makes no sense is a problem and counts as none."""
        raw = self.get(*keys)
        if raw in (None, "unknown"):
            return None
        try:
            amount = parse_amount(str(raw), dimension)
        except UnitError as error:
            self.problem(UNREADABLE, error.message, *keys, hint=error.hint)
            return None
        if limits and (hint := outside(amount, limits)):
            self.problem(IMPLAUSIBLE, f"`{raw}` is not plausible here", *keys, hint=hint)
            return None
        return amount

    def _when(self, *keys: Key, anchored: bool = False) -> When | None:
        raw = self.get(*keys)
        if raw is None or raw == "unknown":
            return None
        try:
            return parse_when(str(raw), self.anchor if anchored else None)
        except WhenError as error:
            self.problem("C107", error.message, *keys, hint=error.hint)
            return None
