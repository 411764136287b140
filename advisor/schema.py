"""Checks the shape of a document against its JSON Schema and says what is wrong in plain words.

The loaders call `Schemas.check` between reading a file and building from it. Every mistake comes
back as one `Problem` at the key or value a person has to change; what names refer to in other
files, units and the sense of figures are not looked at here.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from advisor.names import did_you_mean, nearest
from advisor.problem import Problem, sorted_unique
from advisor.yamlfile import Document, Key
from advisor.yamlsyntax import shown

SUFFIX: Final = ".schema.json"
SHARED: Final = "common"
MOST_LISTED: Final = 16
"""Valid words are listed in a hint when there are no more than these."""

_WORDS: Final[dict[str, str]] = {
    "object": "keys with values",
    "array": "a list",
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "null",
}


class Schemas:
    """The schemas of a folder, each compiled when it is first needed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._validators: dict[str, Any] = {}

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of file that have a schema."""
        names = (path.name.removesuffix(SUFFIX) for path in self.folder.glob(f"*{SUFFIX}"))
        return tuple(sorted(name for name in names if name != SHARED))

    def check(self, kind: str, document: Document) -> list[Problem]:
        """Everything in the document that does not fit the schema of its kind, by place."""
        if not self._validators:
            self._validators = _compile(self.folder)
        by_path: dict[tuple[Key, ...], list[Any]] = {}
        for error in self._validators[kind].iter_errors(document.data):
            by_path.setdefault(tuple(error.absolute_path), []).append(error)
        problems: list[Problem] = []
        for path, errors in by_path.items():
            problems += _Translation(document, path).problems(errors)
        return list(sorted_unique(problems))


def _compile(folder: Path) -> dict[str, Any]:
    """A validator for every schema; imported here because the import takes a tenth of a second."""
    from jsonschema import Draft202012Validator, validators  # noqa: PLC0415
    from referencing import Registry, Resource  # noqa: PLC0415

    plain_ref: Any = Draft202012Validator.VALIDATORS["$ref"]

    def ref(validator: Any, target: Any, instance: Any, schema: Any) -> Iterator[Any]:
        # What stands beside a $ref is nearer to the place than what is behind it.
        for error in plain_ref(validator, target, instance, schema):
            if not error.path and "examples" in schema:
                error.cameback_examples = schema["examples"]
            yield error

    def whole(_: Any, value: object) -> bool:
        # JSON Schema counts 2.0 as whole; the builders want what is written without a point.
        return isinstance(value, int) and not isinstance(value, bool)

    checker = Draft202012Validator.TYPE_CHECKER.redefine("integer", whole)
    extend: Any = validators.extend
    validator_class = extend(Draft202012Validator, {"$ref": ref}, type_checker=checker)
    schemas = {
        path.name.removesuffix(SUFFIX): json.loads(path.read_text(encoding="utf-8"))
        for path in sorted(folder.glob(f"*{SUFFIX}"))
    }
    resources = [(each["$id"], Resource.from_contents(each)) for each in schemas.values()]
    registry: Any = Registry().with_resources(resources)
    return {name: validator_class(each, registry=registry) for name, each in schemas.items()}


class _Translation:
    """Turns the validator's errors at one path into problems, one for each mistake."""

    def __init__(self, document: Document, path: tuple[Key, ...]) -> None:
        self.document = document
        self.path = path

    def problems(self, errors: Sequence[Any]) -> Iterator[Problem]:
        """The problems behind the errors; those that only follow from another are left out."""
        of_keys = [error for error in errors if "propertyNames" in error.schema_path]
        for error in of_keys:
            yield from self._value(error, (*self.path, error.instance), at_key=True)
        errors = [error for error in errors if error not in of_keys]
        wrong_type = [error for error in errors if error.validator == "type"]
        if wrong_type:
            # Behind if/then the same value may fail two types; the first one names them all.
            yield self._type(wrong_type[0])
            return
        unknown = dict(self._unknown_keys(errors))
        for key, (candidates, near) in unknown.items():
            hint = did_you_mean(key, [near] if near else [])
            hint = hint or _listed("valid here: ", candidates)
            message = f"`{shown(key)}` is not a key known here"
            yield self._problem("K101", message, hint, (*self.path, key), at_key=True)
        meant = {near for _, near in unknown.values()}
        for error in errors:
            if error.validator == "required":
                yield from self._missing(error, meant)
            elif error.validator == "oneOf":
                yield from self._exactly_one(error, bool(unknown))
            elif error.validator == "not":
                message = f"`{self.path[-1]}` does not belong here"
                hint = error.schema["description"]
                yield self._problem("K101", message, hint, self.path, at_key=True)
            elif error.validator != "additionalProperties":
                yield from self._value(error, self.path)

    # ---- keys ------------------------------------------------------------------------------

    def _unknown_keys(
        self, errors: Iterable[Any]
    ) -> Iterator[tuple[str, tuple[list[str], str | None]]]:
        """Each unknown key, with the keys valid there and the one that was probably meant."""
        for error in errors:
            if error.validator != "additionalProperties":
                continue
            known = list(error.schema.get("properties", {}))
            absent = [key for key in known if key not in error.instance]
            for key in error.instance:
                if key not in known:
                    yield key, (known, nearest(key, absent) or nearest(key, known))

    def _missing(self, error: Any, meant: set[str | None]) -> Iterator[Problem]:
        properties: Mapping[str, Any] = error.schema.get("properties", {})
        # jsonschema gives one error for each missing key, and names it only in its message.
        for key in error.validator_value:
            if key in error.instance or key in meant:
                continue
            said = properties.get(key) or {}
            hint = f"{key}: {said['description']}" if "description" in said else ""
            yield self._problem("K102", f"the key `{key}` is missing", hint)

    def _exactly_one(self, error: Any, follows: bool) -> Iterator[Problem]:
        """Every oneOf in the schemas is a list of `required` with one key each."""
        keys = [branch["required"][0] for branch in error.validator_value]
        there = [key for key in error.instance if key in keys]
        needed = f"exactly one of {_quoted(keys)} is needed here"
        if there:
            message = f"{needed}, not {_quoted(there, 'and')}"
            yield self._problem("K109", message, "", (*self.path, there[1]), at_key=True)
        elif not follows:
            yield self._problem("K109", needed)

    # ---- values ----------------------------------------------------------------------------

    def _type(self, error: Any) -> Problem:
        wanted = error.validator_value
        wanted = [wanted] if isinstance(wanted, str) else wanted
        needed = _joined([_WORDS[name] for name in wanted])
        hint = _listed("one of: ", error.schema.get("enum", ())) or _example(error)
        if "string" in wanted and isinstance(error.instance, bool):
            hint = "write yes or no"
        elif "string" in wanted and isinstance(error.instance, int | float) and not hint:
            hint = f'in quotes it is text: "{_plain(error.instance)}"'
        elif isinstance(error.instance, str) and not hint and {"number", "integer"} & {*wanted}:
            hint = "write it plainly and without a unit, like 24 or 0.5"
        verb = "are" if wanted[0] == "object" else "is"
        message = f"{needed} {verb} needed here, not {_type_of(error.instance, wanted)}"
        return self._problem("K103", message, hint)

    def _value(self, error: Any, path: tuple[Key, ...], at_key: bool = False) -> Iterator[Problem]:
        keyword, value, schema = error.validator, error.instance, error.schema
        if keyword == "enum":
            near = did_you_mean(value, error.validator_value) if isinstance(value, str) else ""
            hint = near or _listed("one of: ", error.validator_value)
            title = schema.get("title")
            wrong = f"`{_plain(value)}` is not one of the words possible here"
            message = f"{title} is needed here, not `{_plain(value)}`" if title else wrong
            hint = near if title else hint
            yield self._problem("K104", message, hint, path, at_key)
        elif keyword in {"minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"}:
            message = f"{_bounds(schema)} is needed here, not {_plain(value)}"
            yield self._problem("K105", message, "", path, at_key)
        elif keyword in {"pattern", "minLength"}:
            needed = schema.get("title", "text" if keyword == "minLength" else "another form")
            given = f"not `{_plain(value)}`" if value.strip() else "and this is empty"
            message = f"{needed} is needed here, {given}"
            yield self._problem("K106", message, _example(error), path, at_key)
        elif keyword == "uniqueItems":
            seen: list[Any] = []
            for number, entry in enumerate(value):
                if entry in seen:
                    message = f"`{_plain(entry)}` is in the list twice"
                    yield self._problem("K108", message, "", (*path, number))
                seen.append(entry)
        elif keyword in {"minItems", "maxItems", "minProperties", "maxProperties"}:
            message = f"{_count(schema, keyword)} needed here, not {len(value)}"
            yield self._problem("K107", message, _example(error), path, at_key)
        else:
            message = f"`{_plain(value)}` is not what is needed here"
            yield self._problem("K106", message, schema.get("description", ""), path, at_key)

    def _problem(
        self,
        code: str,
        message: str,
        hint: str = "",
        path: tuple[Key, ...] | None = None,
        at_key: bool = False,
    ) -> Problem:
        keys = self.path if path is None else path
        at = self.document.key_at if at_key else self.document.value_at
        return Problem(self.document.path, *at(*keys), code, message, hint)


# ---- words --------------------------------------------------------------------------------------


def _plain(value: Any) -> str:
    """A value as it could be written in the file."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | dict):
        return "[...]" if isinstance(value, list) else "{...}"
    return shown(str(value))


def _type_of(value: Any, wanted: Sequence[str]) -> str:
    if value is None:
        return "an empty value"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"text (`{shown(value)}`)" if value else "an empty text"
    if isinstance(value, int | float):
        return _plain(value) if "integer" in wanted else f"a number ({_plain(value)})"
    return _WORDS["array"] if isinstance(value, list) else _WORDS["object"]


def _bounds(schema: Mapping[str, Any]) -> str:
    low, high = schema.get("minimum"), schema.get("maximum")
    if low is not None and high is not None:
        return f"a number from {low} to {high}"
    if low is not None:
        return f"a number of {low} or more"
    if high is not None:
        return f"a number of {high} or less"
    if "exclusiveMinimum" in schema:
        return f"a number above {schema['exclusiveMinimum']}"
    return f"a number below {schema['exclusiveMaximum']}"


def _count(schema: Mapping[str, Any], keyword: str) -> str:
    thing = "key" if keyword.endswith("Properties") else "entry"
    least = schema.get("minItems", schema.get("minProperties"))
    most = schema.get("maxItems", schema.get("maxProperties"))
    number = most if keyword.startswith("max") else least
    how = "exactly" if least == most else "at most" if keyword.startswith("max") else "at least"
    things = thing if number == 1 else {"key": "keys", "entry": "entries"}[thing]
    return f"{how} {number} {things} {'is' if number == 1 else 'are'}"


def _example(error: Any) -> str:
    examples = getattr(error, "cameback_examples", None) or error.schema.get("examples", ())
    return (
        "for example: " + "; ".join(_written(example) for example in examples) if examples else ""
    )


def _written(value: Any) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_written(entry) for entry in value) + "]"
    return _plain(value)


def _listed(start: str, words: Sequence[str]) -> str:
    return start + ", ".join(words) if 0 < len(words) <= MOST_LISTED else ""


def _quoted(keys: Sequence[str], last: str = "or") -> str:
    return _joined([f"`{key}`" for key in keys], last)


def _joined(words: Sequence[str], last: str = "or") -> str:
    *most, end = words
    return f"{', '.join(most)} {last} {end}" if most else end
