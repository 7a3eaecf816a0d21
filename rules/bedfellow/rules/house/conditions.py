"""A house rule's condition, read once and asked of every subject.

Conditions are in the Common Expression Language (https://cel.dev): they end, since there are no loops but over lists and
these have a bound, and they reach nothing but the facts that they are given. A fact that is not known makes the rule say
that it could not judge.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.house import facts
from bedfellow.schema.traits import trait_table

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.declaration import Declaration

LONGEST = 2000  # characters of an expression
SEASON = 10
_QUOTED = re.compile(r"'(?:[^'\\]|\\.)*'|\"(?:[^\"\\]|\\.)*\"")
_FIELD = re.compile(r"\b([a-z_]\w*)\.([a-z_]\w*)(?:\.([a-z_]\w*))?")
_ABSENT = re.compile(r'Key not found in map : "?([^"]*)"?')


class BadCondition(ValueError):
    """What is wrong with an expression, in words."""


class NoLanguage(BadCondition):
    """The library that reads conditions is not installed."""


def compiled(text: str, each: str, settings: Mapping[str, Any]) -> Any:
    """The expression, ready to be asked. Raises BadCondition for one that is none, or names what is not there."""
    if len(text) > LONGEST:
        raise BadCondition(f"is {len(text)} characters long; at most {LONGEST}")
    _named(text, each, settings)
    cel = _language()
    try:
        return _environment(cel, each).compile(text)
    except RuntimeError as error:
        raise BadCondition(_in_words(str(error))) from None


def judge(rule: Declaration, border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """What a house rule finds in a border. Raises ValueError where an expression cannot be worked out."""
    house = rule.house
    assert house is not None
    each, season = house["each"], house.get("season", SEASON)
    unless, evidence = house.get("unless") or {}, house.get("evidence") or {}
    texts = [house["if"], *unless.values(), *evidence.values()]
    condition = compiled(house["if"], each, rule.settings)
    exceptions = [compiled(text, each, rule.settings) for text in unless.values()]
    told = {name: compiled(text, each, rule.settings) for name, text in evidence.items()}
    words = {word for text in texts for word in re.findall(r"\w+", text)}
    common = facts.whole(border, limits)
    for subject in facts.subjects(border, each, season, words):
        known = {**common, **subject.facts}
        key = subject.keys[0] if len(subject.keys) == 1 else ""
        try:
            if not _answer(condition, known) or any(_answer(case, known) for case in exceptions):
                continue
            values = {name: _answer(expression, known) for name, expression in told.items()}
        except _NotKnown as absent:
            yield Unjudged(key, (str(absent),), subject.at)
            continue
        yield Finding(
            rule.level,
            subject.keys,
            subject.at,
            {**subject.titles, "key": key, **values, "season": season},
            apart=subject.apart,
        )


class _NotKnown(Exception):
    """The fact that is not known."""


def _answer(expression: Any, known: Mapping[str, Any]) -> Any:
    try:
        value = expression.eval(data=known)
    except RuntimeError as error:
        raise BadCondition(_in_words(str(error))) from None
    if value.type().name() != "*error*" and value.type() != _language().Type.ERROR:
        return value.plain_value()
    text = str(value.value())
    if found := _ABSENT.search(text):
        raise _NotKnown(found.group(1))
    raise BadCondition(_in_words(text))


def _language() -> Any:
    try:
        from cel_expr_python import cel
    except ImportError:
        raise NoLanguage("house rules need the package cel-expr-python: pip install 'bedfellow[house]'") from None
    return cel


def _environment(cel: Any, each: str) -> Any:
    names = (*facts.NAMES[each], *facts.ALWAYS)
    return cel.NewEnv(variables=dict.fromkeys(names, cel.Type.DYN))


def _named(text: str, each: str, settings: Mapping[str, Any]) -> None:
    """Raises BadCondition for a fact, a trait or a setting that there is none of."""
    roots = {**facts.NAMES[each], "limits": tuple(settings)}
    for root, name, below in _FIELD.findall(_QUOTED.sub("''", text)):
        known = roots.get(root)
        if known and name not in known:
            raise BadCondition(f"there is no {root}.{name}{_near(name, known)}")
        if name == "traits" and below and below not in trait_table().traits:
            raise BadCondition(f"there is no trait {below}{_near(below, trait_table().traits)}")
        if root == "traits" and name not in trait_table().traits:
            raise BadCondition(f"there is no trait {name}{_near(name, trait_table().traits)}")


def _near(word: str, known: Any) -> str:
    near = get_close_matches(word, list(known), 1)
    return f"; is '{near[0]}' meant?" if near else f"; there is {', '.join(list(known)[:12])}" if known else ""


def _in_words(text: str) -> str:
    if "ndeclared reference" in text:
        name = re.search(r"reference to '([^']*)'", text)
        return f"nothing is called '{name.group(1) if name else '?'}' here"
    if "udget" in text:
        return "takes too long: lists within lists of this many plants are not gone through"
    if "recursion limit" in text:
        return "is nested too deep"
    if "divide by zero" in text or "modulus by zero" in text:
        return "divides by zero"
    if "o matching overload" in text:
        return f"joins values that do not go together ({text.rpartition(':')[2].strip()}); every number is a fraction: write 1.0, not 1"
    first = text.replace("INVALID_ARGUMENT:", "").replace("ERROR: <input>:", "").strip().splitlines()
    return f"cannot be read: {first[0][:160]}" if first else "cannot be read"
