"""Whether a document is a plan: a generated validator says yes fast; jsonschema explains a no, in the reader's words."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path as FilePath
from typing import Any

from bedfellow.schema.cache import cached
from bedfellow.schema.place import Fault, Path
from bedfellow.schema.reader import Document

SCHEMA = FilePath(__file__).with_name("plan.schema.json")
BUILT = FilePath(__file__).parent / "_built" / "plan_validator.py"
MOST_FAULTS = 20
WORDS = ("title", "description", "examples")
NAMED = ("properties", "patternProperties", "definitions")


def faults(document: Document) -> tuple[Fault, ...]:
    """PLAN-02 faults of a document, in the order of the file; none for a plan. At most MOST_FAULTS."""
    if document.data is None and document.faults:
        return ()
    if accepts(document.data):
        return ()
    return faults_against(document, "plan") or (
        (Fault("PLAN-02", (), None, "this is not a planting plan"),) if document.complete else ()
    )


def faults_against(document: Document, name: str) -> tuple[Fault, ...]:
    """What is wrong with a document by one of our schemas (plan, check, settings), in the order of the file."""
    from bedfellow.schema.explain import explained

    found = [
        Fault("PLAN-02", path, _span(document, path, about_key), text)
        for path, text, about_key in explained(document.data, schema(name), document.complete)
    ]
    return tuple(
        sorted(found, key=lambda fault: (fault.span or (0, 0, 0, 0), fault.path and str(fault.path)))[:MOST_FAULTS]
    )


def _span(document: Document, path: Path, about_key: bool) -> Any:
    return document.key_span(path) if about_key else document.span(path)


@cache
def schema(name: str = "plan") -> dict[str, Any]:
    """One of our schemas, JSON Schema 2020-12."""
    return json.loads(SCHEMA.with_name(f"{name}.schema.json").read_text("utf-8"))  # type: ignore[no-any-return]


def accepts(data: Any) -> bool:
    """The generated validator's answer."""
    module = _validator()
    try:
        module.validate(data)
    except module.JsonSchemaValueException:
        return False
    return True


def write_validator(target: FilePath) -> None:
    """Write the validator that fastjsonschema generates from the plan's schema (read as draft 7: the same keywords)."""
    import fastjsonschema

    plan = {**_bare(schema()), "$schema": "http://json-schema.org/draft-07/schema"}
    code = fastjsonschema.compile_to_code(plan, use_default=False, detailed_exceptions=False)
    # Its messages are never shown, and naming the place in them takes most of its time.
    code = code.replace(".format(**locals())", "")
    # The generated code needs only the library's exceptions, whose import costs more than a plan takes to read.
    target.write_text(re.sub(r"(?m)^from fastjsonschema import (.+)$", _exceptions, code), "utf-8")


def _bare(rule: Any, named: bool = False) -> Any:
    """A schema without its words for people, which only make the code longer. named: the keys are names, not keywords."""
    if isinstance(rule, dict):
        kept = {key: value for key, value in rule.items() if named or key not in WORDS}
        return {key: _bare(value, not named and key in NAMED) for key, value in kept.items()}
    return [_bare(item) for item in rule] if isinstance(rule, list) else rule


def _exceptions(imported: re.Match[str]) -> str:
    body = "(Exception):\n    def __init__(self, message, **more): super().__init__(message)\n"
    return "\n".join(f"class {name.strip()}{body}" for name in imported.group(1).split(","))


@cache
def _validator() -> Any:
    path = (
        BUILT
        if BUILT.exists()
        else cached("plan_validator.py", SCHEMA.read_bytes() + FilePath(__file__).read_bytes(), write_validator)
    )
    spec = spec_from_file_location("bedfellow_plan_validator", path)
    assert spec and spec.loader
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
