"""How messages say numbers: metres and centimetres, months by name, lists in a sentence; and templates filled with them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from string import Formatter
from typing import Any

from bedfellow.schema.values import MONTHS


def metres(value: float) -> str:
    """``85 cm`` below a metre, ``1.95 m`` above."""
    return f"{round(value * 100)} cm" if value < 0.995 else f"{value:.2f} m"


def month(number: int) -> str:
    """Name of a month from 1."""
    return MONTHS[number - 1]


def capital(text: str) -> str:
    """The text with a capital at its beginning, and all else as it is."""
    return text[:1].upper() + text[1:]


def listed(words: Sequence[object]) -> str:
    """``a, b and c``."""
    texts = [str(word) for word in words]
    return " and ".join([", ".join(texts[:-1]), texts[-1]]) if len(texts) > 1 else "".join(texts)


def months(numbers: Sequence[int]) -> str:
    """``March, April and May``."""
    return listed([month(number) for number in numbers])


FORMS: Mapping[str, Callable[[Any], str]] = {"metres": metres, "month": month, "months": months, "listed": listed}


class _Words(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        return FORMS[format_spec](value) if format_spec in FORMS else str(super().format_field(value, format_spec))


_NUMBER_FORM = re.compile(r"[-+ ]?0?[0-9]{0,3}[,_]?(\.[0-9]{1,2})?[dfgs%]?")


class BadTemplate(ValueError):
    """What is wrong with a template, in words."""


def names_in(template: str) -> list[str]:
    """The names of the values that a template is filled with. Raises BadTemplate for one that cannot be filled."""
    try:
        parts = [(name, form) for _, name, form, _ in _Words().parse(template) if name is not None]
    except ValueError as error:
        raise BadTemplate(f"the message cannot be filled: {error}") from None
    for name, form in parts:
        if not name.isidentifier():
            raise BadTemplate(f"{{{name}}} is no name of a value")
        if form and form not in FORMS and _NUMBER_FORM.fullmatch(form) is None:
            raise BadTemplate(
                f"{{{name}:{form}}}: the forms are {', '.join(FORMS)} and those of numbers, such as .0f or .0%"
            )
    return [name for name, _ in parts]


def told(template: str, values: Mapping[str, object]) -> str:
    """A template filled with named values: ``{distance:metres}``, ``{when:month}``, ``{share:.0%}``.

    Forms are those of ``FORMS`` and of Python's format. Raises KeyError for a name that no value has.
    """
    return " ".join(_Words().vformat(template, (), values).split())
