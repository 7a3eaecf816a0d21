"""Why a document is not a plan, in words for the person who wrote it.

jsonschema finds what is wrong; the words are ours. Where a value may take several forms, the form it comes nearest to
is explained. Patterns follow ECMA 262, as JSON Schema asks: ``$`` is the end of the text, never a line break before it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from itertools import islice
from typing import Any

from jsonschema import Draft202012Validator, ValidationError
from jsonschema.validators import extend

from bedfellow.schema.place import Path
from bedfellow.schema.units import shown

MOST_ERRORS = 500
MOST_WORDS = 14

# Words people use for ours; common practice.
_MEANT = {
    "spacing": "centres", "distance": "centres", "qty": "quantity", "number": "quantity", "count": "quantity", "amount": "quantity",
    "position": "at", "location": "at", "plant": "name", "species": "name", "taxon": "name", "aspect": "faces", "orientation": "faces",
    "soil": "texture", "type": "kind", "bed": "border", "beds": "borders", "shape": "outline", "polygon": "outline", "width": "thickness",
    "density": "per_m2", "existing": "retained", "views": "viewing", "paths": "surfaces", "walls": "structures", "fences": "structures",
    "diameter": "stems", "id": "key", "code": "key", "min_temperature": "minimum_temperature", "hardiness": "minimum_temperature",
    "why": "reason", "comment": "note", "notes": "note", "size": "supplied", "pot": "supplied", "date": "planted", "lat": "latitude",
    "long": "longitude", "lon": "longitude", "elevation": "altitude",
}  # fmt: skip


def explained(data: Any, schema: Mapping[str, Any], complete: bool = True) -> Iterator[tuple[Path, str, bool]]:
    """(path, sentence, whether the key and not the value is at fault) for each fault.

    complete: False when part of the file was left out, where whatever is missing may stand.
    """
    words = _Words(schema["definitions"])
    seen = set()
    for error in islice(_Validator(schema).iter_errors(data), MOST_ERRORS):
        for leaf in _leaves(error):
            if leaf.validator == "required" and not complete:
                continue
            for told in _tell(leaf, words):
                if told not in seen:
                    seen.add(told)
                    yield told


def _pattern(_validator: Any, pattern: str, instance: Any, _schema: Any) -> Iterator[ValidationError]:
    if isinstance(instance, str) and not re.search(pattern.replace("$", r"\Z"), instance):
        yield ValidationError("pattern")


_Validator: Any = extend(Draft202012Validator, {"pattern": _pattern})  # type: ignore[no-untyped-call]


def _leaves(error: ValidationError) -> Iterator[ValidationError]:
    """The errors to tell: those of the form that the value comes nearest to, or that no form fits."""
    if error.validator != "anyOf" or not error.context:
        yield error
        return
    branches: dict[int, list[ValidationError]] = {}
    for inner in error.context:
        branches.setdefault(int(inner.schema_path[0]), []).append(inner)
    best = min(branches.values(), key=lambda inner: (any(map(_misses, inner)), len(inner)))
    if any(map(_misses, best)):
        yield error
        return
    for inner in best:
        yield from _leaves(inner)


def _misses(error: ValidationError) -> bool:
    """Whether an error says that the value is of another form altogether."""
    if error.path:
        return False
    if error.validator == "anyOf" and error.context:
        return all(map(_misses, error.context))
    return error.validator in ("type", "enum", "pattern", "const")


def _tell(error: ValidationError, words: _Words) -> Iterator[tuple[Path, str, bool]]:
    path: Path = tuple(error.absolute_path)
    value: Any = error.instance
    schema: Any = error.schema
    wanted: Any = error.validator_value
    match error.validator:
        case "additionalProperties" if isinstance(value, dict):
            known = list(schema.get("properties", {}))
            patterns = schema.get("patternProperties", {})
            for key in value:
                if key not in known and not any(re.search(pattern, key) for pattern in patterns):
                    yield (*path, key), _unknown(key, value, known, schema, words), True
        case "required" if isinstance(value, dict):
            for name in wanted:
                if name not in value:
                    about = schema.get("properties", {}).get(name, {}).get("description", "")
                    yield path, f"'{name}' is missing{': ' + _clause(about) if about else ''}", False
        case "enum" if path == ("format",):
            yield path, _format(value), False
        case _:
            yield path, f"expected {words.of(schema)}, found {_found(value)}{_hint(value, schema, words)}", False


def _clause(about: str) -> str:
    """A description as it stands within a sentence."""
    return (about[:1].lower() + about[1:] if about[1:2].islower() else about).rstrip(".")


def _unknown(key: str, value: dict[str, Any], known: list[str], schema: Any, words: _Words) -> str:
    if key == "<<":
        return "'<<' is not part of YAML 1.2; write the values out"
    if not known:
        forms = [rule for rule in schema.get("patternProperties", {}).values() if rule]
        return f"'{key}' cannot stand here{'; expected keys for ' + words.of(forms[0]) if forms else ''}"
    near = nearest(key, [word for word in known if word not in value]) or nearest(key, known)
    hint = f"; did you mean '{near}'?" if near else f"; known here: {', '.join(sorted(known)[:MOST_WORDS])}"
    return f"'{key}' is not known here{hint}"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was probably meant."""
    plain = {_plain(name): name for name in known}
    meant = _MEANT.get(_plain(word).replace(" ", "_"))
    if meant is not None and _plain(meant) in plain:
        return plain[_plain(meant)]
    close = get_close_matches(_plain(word), plain, n=1, cutoff=0.6)
    return plain[close[0]] if close else None


def _plain(word: str) -> str:
    return word.casefold().replace("_", " ").replace("-", " ").strip()


def _format(value: Any) -> str:
    if isinstance(value, int) and value > 1:
        return f"this plan is written in format {value}, which is newer than this program; it reads format 1"
    return f"expected 1, found {_found(value)}"


def _found(value: Any) -> str:
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return f"a mapping with {', '.join(list(value)[:3])}" if value else "an empty mapping"
    return shown(value)


def _hint(value: Any, schema: Any, words: _Words) -> str:
    if value is None:
        return "; write a value, or take the key out"
    near = (
        nearest(value, [word for word in words.choices(schema) if isinstance(word, str)])
        if isinstance(value, str)
        else None
    )
    if near:
        return f"; nearest: {near}"
    if schema.get("type") == "string" and not isinstance(value, str | list | dict):
        return "; put it in quotes to make it text"
    return ""


class _Words:
    """What a schema asks for, as a noun phrase. Definitions carry theirs as their description."""

    def __init__(self, definitions: Mapping[str, Any]) -> None:
        self.definitions = definitions
        self.described = {id(rule) for rule in definitions.values() if "description" in rule}

    def of(self, schema: Any) -> str:
        """A noun phrase."""
        schema = self._plain(schema)
        if id(schema) in self.described:
            return str(schema["description"])
        match schema:
            case {"anyOf": branches}:
                return ", or ".join(self.of(branch) for branch in branches)
            case {"enum": [True, *_]}:
                return "yes or no"
            case {"enum": words}:
                return _either(words)
            case {"type": "object", "properties": dict() as properties}:
                known = [str(name) for name in properties]
                return f"a mapping with {', '.join(known[:6])}{' and others' if len(known) > 6 else ''}"
            case {"type": "object"}:
                return "a mapping"
            case {"type": "array", "minItems": least, "maxItems": most, "items": items} if least == most:
                return f"a list of exactly {least}, each {self.of(items)}"
            case {"type": "array", "items": items}:
                return f"a list, each {self.of(items)}"
            case {"type": "string", "description": description, "pattern": _}:
                return str(description)
            case {"type": "string"}:
                return "text"
            case {"type": "number" | "integer" as kind}:
                noun = "a whole number" if kind == "integer" else "a number"
                low, high = schema.get("minimum"), schema.get("maximum")
                if low is None and high is None:
                    return noun
                return f"{noun} from {low} to {high}" if high is not None else f"{noun} from {low} up"
            case _:
                return "another value"

    def choices(self, schema: Any) -> list[Any]:
        """Words that a schema takes, of all its forms."""
        schema = self._plain(schema)
        words = list(schema.get("enum", []))
        for branch in schema.get("anyOf", []):
            words += self.choices(branch)
        return words

    def _plain(self, schema: Any) -> Any:
        """The schema behind references."""
        while True:
            if "$ref" in schema:
                schema = self.definitions[schema["$ref"].rsplit("/", 1)[1]]
            elif "allOf" in schema:
                schema = schema["allOf"][0]
            else:
                return schema


def _either(words: list[Any]) -> str:
    texts = [shown(word).strip("'") for word in words]
    return f"one of {', '.join(texts)}" if len(texts) > 2 else " or ".join(texts)
