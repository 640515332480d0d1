"""What the reference engine finds, said to a builder: place, fact and remedy, none of its text."""

from __future__ import annotations

import json
import re
from functools import lru_cache
from typing import Any, Callable, Iterable, Iterator, NamedTuple

import jsonschema  # type: ignore[import-untyped]
from jsonschema import validators

from stovelint.place import MOST_MISTAKES, Mistake, Path, Places
from stovelint.quantity.numbers import shown
from stovelint.quantity.spelling import closest
from stovelint.schema.trim import trimmed

MOST_FOUND = 2 * MOST_MISTAKES
NAME_REMEDY = "use small letters, digits and hyphens, beginning with a letter"
_WHOLE = "\0"
"""Stands for what the whole file is called; no text that is quoted can hold it."""
_TYPES = {
    "string": "text",
    "boolean": "true or false",
    "object": "a record of `key: value` entries",
    "array": "a list",
    "integer": "a whole number",
    "number": "a number",
}


class _Said(NamedTuple):
    """A mistake before it is placed; `at_key`: it concerns the key rather than the value."""

    path: Path
    at_key: bool
    message: str
    remedy: str
    missing: tuple[str, ...] = ()
    near: tuple[str, ...] = ()


def _pattern(validator: Any, pattern: str, instance: Any, schema: Any) -> Iterator[Any]:
    """`$` is the end of the text, as in ECMA 262; in Python it would also match before a break."""
    if isinstance(instance, str) and re.search(pattern.replace("$", r"\Z"), instance) is None:
        yield jsonschema.ValidationError("pattern")


@lru_cache(maxsize=None)
def _engine(schema_json: str) -> tuple[dict[str, Any], Any]:
    schema = json.loads(schema_json)
    engine = validators.extend(jsonschema.Draft202012Validator, {"pattern": _pattern})
    return schema, engine(schema)


def list_mistakes(tree: dict[str, Any], places: Places, schema_json: str) -> tuple[Mistake, ...]:
    """All mistakes of an invalid tree, sorted by place, without those that only follow."""
    schema, engine = _engine(schema_json)
    called = schema.get("x-called", "the plan")
    said: set[_Said] = set()
    for fault in engine.iter_errors(trimmed(tree)):
        said.update(_reword(fault, schema["$defs"]))
        if len(said) > MOST_FOUND:
            break  # more than anyone reads in one go
    found = [
        Mistake(
            span=places.key(one.path) if one.at_key else places.value(one.path),
            path=one.path, message=one.message.replace(_WHOLE, called), remedy=one.remedy,
        )
        for one in _without_echoes(said)
    ]  # fmt: skip
    return tuple(sorted(found, key=Mistake.sort_key))


def _without_echoes(said: set[_Said]) -> Iterator[_Said]:
    """Drop a missing key where a misspelt one beside it is surely what was meant."""
    meant = {(one.path[:-1], word) for one in said for word in one.near}
    for one in said:
        if not any((one.path[:-1], key) in meant for key in one.missing):
            yield one


def _reword(fault: Any, defs: dict[str, Any]) -> Iterable[_Said]:
    path: Path = tuple(fault.absolute_path)
    if "propertyNames" in fault.relative_schema_path:
        key = str(fault.instance)
        return [_Said((*path, key), True, f"name `{shown(key)}` cannot be used", NAME_REMEDY)]
    if fault.validator in ("oneOf", "not") and not isinstance(fault.instance, dict):
        return ()  # what asks for keys is idle here: the wrong type is told already
    words = _KEYWORDS.get(fault.validator)
    if words is None:
        return [_Said(path, False, f"{_thing(path)} is not as expected", "see the format")]
    return words(fault, path, defs)


def _thing(path: Path) -> str:
    """How to call what stands at a path: `thickness`, `bell-cap`, `layers` entry 2."""
    if not path:
        return _WHOLE
    last = path[-1]
    if isinstance(last, int):
        return f"{_thing(path[:-1])} entry {last + 1}"
    return f"`{shown(last)}`"


def _hint(prop: dict[str, Any], defs: dict[str, Any]) -> str:
    """What may stand there: allowed words, or examples, or nothing."""
    rule = {**_target(prop, defs), **prop}
    if "enum" in rule:
        return "one of: " + ", ".join(str(word) for word in rule["enum"])
    if "const" in rule:
        return str(rule["const"])
    return "for instance " + " or ".join(rule["examples"]) if "examples" in rule else ""


def _target(prop: dict[str, Any], defs: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = defs.get(str(prop.get("$ref", "")).removeprefix("#/$defs/"), {})
    return found


def _unknown(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    known = fault.schema["properties"]
    for key in fault.instance:
        if key in known:
            continue
        near = [word for word in closest(key, known) if word not in fault.instance]
        if key[:1].isdigit():
            remedy = "a comma ends an entry here; mark decimals with a point"
        elif near:
            remedy = "did you mean " + " or ".join(f"`{word}`" for word in near) + "?"
        else:
            remedy = "known here: " + ", ".join(known)
        message = f"unknown key `{shown(key)}` in {_thing(path)}"
        yield _Said((*path, key), True, message, remedy, near=tuple(near))


def _missing(key: str, fault: Any, path: Path, defs: dict[str, Any]) -> _Said:
    hint = _hint(fault.schema.get("properties", {}).get(key, {}), defs)
    remedy = f"add `{key}`" + (f": {hint}" if hint else "")
    message = f"`{key}` is missing in {_thing(path)}"
    return _Said((*path, key), True, message, remedy, missing=(key,))


def _required(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    for key in fault.validator_value:
        if key not in fault.instance:
            yield _missing(key, fault, path, defs)


def _depends(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    rivals = [branch["required"][0] for branch in fault.schema.get("oneOf", ())]
    if sum(key in fault.instance for key in rivals) > 1:
        return
    for cause, keys in fault.validator_value.items():
        if cause in fault.instance:
            for key in keys:
                if key not in fault.instance:
                    yield _missing(key, fault, path, defs)


def _one_of(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    keys = [branch["required"][0] for branch in fault.validator_value]
    either = " and ".join(f"`{key}`" for key in keys)
    given = [key for key in keys if key in fault.instance]
    if given:
        yield _Said(
            (*path, given[-1]), True, f"{_thing(path)} has both {either}", "keep one of the two"
        )
    else:
        neither = " or ".join(f"`{key}`" for key in keys)
        message = f"{neither} is missing in {_thing(path)}"
        yield _Said((*path, keys[0]), True, message, f"add {neither}", missing=tuple(keys))


def _not(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    first, second = fault.validator_value["required"]
    message = f"{_thing(path)} has both `{first}` and `{second}`"
    yield _Said((*path, second), True, message, "keep one of the two")


def _type(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    thing, value = _thing(path), fault.instance
    wanted = fault.validator_value
    kinds = [wanted] if isinstance(wanted, str) else list(wanted)
    expected = " or ".join(_TYPES[kind] for kind in kinds)
    examples = " or ".join(fault.schema.get("examples", ()))
    write = f"write it with its unit, for instance {examples}" if examples else f"give {expected}"
    if value is None:
        yield _Said(path, False, f"{thing} is empty", f"{write}, or delete the line")
    elif "x-quantity" in fault.schema and isinstance(value, (int, float)):
        if isinstance(value, bool):
            yield _Said(path, False, f"{thing} is no quantity", write)
        else:
            yield _Said(path, False, f"{thing} has no unit: {value}", write)
    else:
        yield _Said(path, False, f"{thing} is not {expected}", write)


def _enum(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    words = fault.validator_value
    value = fault.instance
    text = value if isinstance(value, str) else json.dumps(value)
    near = closest(text, words)
    remedy = "use one of: " + ", ".join(words)
    if near:
        remedy += f"; did you mean `{near[0]}`?"
    yield _Said(path, False, f"{_thing(path)} cannot be `{shown(text)}`", remedy)


def _const(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    message = f"{_thing(path)} `{shown(json.dumps(fault.instance))}` is not known"
    yield _Said(path, False, message, f"write {fault.validator_value}")


def _name(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
    remedy = NAME_REMEDY
    if "until" in path[-1:]:
        remedy = "write year, month and day: 2027-06-30"
    elif path[:1] == ("variances",) and path[-1] in ("rule", "part"):
        remedy = f"name one {path[-1]}; a variance holds for one rule at one part, never for all"
    message = f"{_thing(path)} cannot be `{shown(fault.instance)}`"
    yield _Said(path, False, message, remedy)


def _simply(words: str, remedy: str) -> Callable[[Any, Path, dict[str, Any]], Iterable[_Said]]:
    def say(fault: Any, path: Path, defs: dict[str, Any]) -> Iterable[_Said]:
        value = fault.validator_value
        yield _Said(path, False, f"{_thing(path)} {words.format(value)}", remedy.format(value))

    return say


_KEYWORDS: dict[str, Callable[[Any, Path, dict[str, Any]], Iterable[_Said]]] = {
    "additionalProperties": _unknown,
    "required": _required,
    "dependentRequired": _depends,
    "oneOf": _one_of,
    "not": _not,
    "type": _type,
    "enum": _enum,
    "const": _const,
    "pattern": _name,
    "minLength": _simply("is empty", "write something, or delete the line"),
    "maxLength": _simply("is longer than {} signs", "say it shorter"),
    "minItems": _simply("has fewer than {} entries", "list at least {}"),
    "maxItems": _simply("has more than {} entries", "list at most {}"),
    "uniqueItems": _simply("names something twice", "name each once"),
    "minProperties": _simply("is empty", "add at least {}"),
    "maxProperties": _simply("has more than {} entries", "keep at most {}; is this one heater?"),
    "minimum": _simply("is less than {}", "write {} or more"),
    "maximum": _simply("is more than {}", "write {} or less"),
}
