"""What is wrong with a plan, in words for the person who wrote it: what was expected here, and the nearest known word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from bedfellow.schema.place import Path
from bedfellow.schema.units import shown
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

KINDS = {
    "object": "a mapping",
    "array": "a list",
    "string": "a word or text",
    "number": "a number",
    "integer": "a whole number",
}


def explained(data: Any, schema: Mapping[str, Any]) -> Iterator[tuple[Path, str, bool]]:
    """(path, sentence, whether the key and not the value is at fault) for each fault."""
    seen = set()
    for error in Draft202012Validator(schema).iter_errors(data):
        for told in _tell(error):
            if told not in seen:
                seen.add(told)
                yield told


def _tell(error: ValidationError) -> Iterator[tuple[Path, str, bool]]:
    path: Path = tuple(error.absolute_path)
    here: Mapping[str, Any] = error.schema if isinstance(error.schema, dict) else {}
    allowed: Any = error.validator_value
    found: Any = error.instance
    match error.validator:
        case "additionalProperties":
            known = list(here.get("properties", {}))
            for key in found:
                if key not in known and not str(key).startswith("x-"):
                    near = get_close_matches(str(key), known, 1, 0.6)
                    hint = f"; did you mean '{near[0]}'?" if near else f"; known here: {', '.join(sorted(known)[:12])}"
                    yield (*path, key), f"'{key}' is not known here{hint}", True
        case "required":
            for name in allowed:
                if name not in found:
                    about = here.get("properties", {}).get(name, {}).get("description", "")
                    yield path, f"'{name}' is missing{f' ({about})' if about else ''}", False
        case "enum":
            options = [str(option) for option in allowed]
            near = get_close_matches(str(found), options, 1, 0.5)
            hint = f"; nearest: {near[0]}" if near else ""
            yield (
                path,
                f"{shown(found)} is not a word known here; expected one of {', '.join(options)}{hint}",
                False,
            )
        case "anyOf" | "allOf":
            about = here.get("description", "")
            yield path, f"{shown(found)} does not fit here; expected {about or _expected(here)}", False
        case "type":
            wanted = KINDS.get(str(allowed), str(allowed))
            about = here.get("description", "")
            yield path, f"expected {wanted}{f' ({about})' if about else ''}, found {shown(found)}", False
        case "minimum" | "maximum":
            bound = "at least" if error.validator == "minimum" else "at most"
            yield path, f"{shown(found)} is out of range; expected {bound} {allowed:g}", False
        case "minItems" | "maxItems":
            bound = "at least" if error.validator == "minItems" else "at most"
            yield path, f"expected {bound} {allowed} entries here, found {len(list(found))}", False
        case "minLength":
            yield path, "some text is expected here, found none", False
        case "maxLength":
            yield path, f"the text is too long; at most {allowed} characters", False
        case _:
            about = here.get("description", "")
            yield (
                path,
                f"{shown(found)} is not in the form expected here{f': {about}' if about else ''}",
                False,
            )


def _expected(schema: Mapping[str, Any]) -> str:
    return " or ".join(
        KINDS.get(str(branch.get("type")), branch.get("title", "another form")) for branch in schema.get("anyOf", [])
    )
