"""How messages say numbers: metres and centimetres, months by name, lists in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from bedfellow.schema.values import MONTHS


def metres(value: float) -> str:
    """``85 cm`` below a metre, ``1.95 m`` above."""
    return f"{round(value * 100)} cm" if value < 0.995 else f"{value:.2f} m"


def month(number: int) -> str:
    """Name of a month from 1."""
    return MONTHS[number - 1]


def listed(words: Sequence[str]) -> str:
    """``a, b and c``."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)
