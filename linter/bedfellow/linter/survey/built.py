"""Beds, structures, surfaces, services, boundaries and retained plants of a drawing, as the plan has them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

from bedfellow.linter.survey.drawn import Drawing, Label, Mark, Shape
from bedfellow.linter.survey.wording import LONGEST_KEY, LONGEST_NAME, clean, corners, pair

WHY_NOTHING = "nothing says which plant it is"


def lists_of(
    drawing: Drawing, marks: Iterable[tuple[Mark, str]], shapes: Iterable[tuple[Shape, Label | None]], notes: list[str]
) -> dict[str, list[dict[str, Any]]]:
    """The plan's lists by name; what cannot be said is counted in `drawing.left`, what is odd told in notes."""
    lists: dict[str, list[dict[str, Any]]] = {}
    for shape, label in shapes:
        said = {"KEY": label.text, **label.said} if label else {}
        group = shape.role.group
        if group == "beds":
            lists.setdefault("borders", []).append(
                {**_text(said, "name", "NAME", "KEY"), "outline": corners(shape.points)}
            )
        elif group == "boundaries" or (
            group in ("structures", "surfaces", "services") and (not shape.closed or group == "services")
        ):
            lists.setdefault(group, []).extend(_legs(shape, said))
        elif group in ("structures", "surfaces"):
            built: dict[str, Any] = {**_text(said, "key", "KEY"), "kind": shape.role.kind}
            lists.setdefault(group, []).append({**built, "outline": corners(shape.points), **_size(group, said)})
    for mark, text in marks:
        group = mark.role.group
        if group == "retained":
            key, name = clean(mark.said.get("KEY", "")), clean(mark.said.get("NAME", "")) or clean(mark.word or text)
            if not name and not key:
                drawing.left[mark.layer, mark.where.split()[0], WHY_NOTHING] += 1
                continue
            lists.setdefault("retained", []).append(_retained(mark, key, name or key))
        elif group in ("structures", "services", "surfaces"):
            if not mark.role.kind:
                drawing.left[mark.layer, mark.where.split()[0], f"which kind? say --layer {mark.layer}=…"] += 1
                continue
            entry: dict[str, Any] = {"kind": mark.role.kind, "at": pair(mark.at)}
            lists.setdefault(group, []).append(
                entry if group == "services" else {**_text(mark.said, "key", "KEY"), **entry, **_size(group, mark.said)}
            )
    for group, some in lists.items():
        keys = Counter(entry["key"] for entry in some if "key" in entry)
        if twice := sorted(key for key, number in keys.items() if number > 1):
            notes.append(f"{group}: {', '.join(twice)} stands at more than one of them.")
    return lists


def _legs(shape: Shape, said: Mapping[str, str]) -> list[dict[str, Any]]:
    """An entry for each straight leg of a line."""
    points = (*shape.points, shape.points[0]) if shape.closed else shape.points
    group, legs = shape.role.group, []
    for number, (start, end) in enumerate(pairwise(points), 1):
        key = clean(said.get("KEY", ""))
        key = f"{key[: LONGEST_KEY - 5]}-{number}" if key and len(points) > 2 else key
        entry: dict[str, Any] = {"key": key} if key and group != "services" else {}
        entry |= {"kind": shape.role.kind} if shape.role.kind else {}
        legs.append(
            {
                **entry,
                "from": pair(start),
                "to": pair(end),
                **(_size(group, said) if group in ("structures", "surfaces") else {}),
            }
        )
    return legs


def _size(group: str, said: Mapping[str, str]) -> dict[str, float]:
    word = "height" if group == "structures" else "width"
    value = _metres(said.get(word.upper(), ""))
    return {word: value} if value is not None else {}


def _retained(mark: Mark, key: str, name: str) -> dict[str, Any]:
    entry: dict[str, Any] = {"key": key[:LONGEST_KEY]} if key else {}
    entry |= {"name": name[:LONGEST_NAME], "at": pair(mark.at)}
    entry |= {
        word: value
        for word in ("height", "clear_stem")
        if (value := _metres(mark.said.get(word.upper(), ""))) is not None
    }
    entry |= {"crown": round(mark.radius, 3)} if mark.radius else {}
    stems = [value for part in mark.said.get("STEMS", "").split() if (value := _metres(part)) is not None]
    entry |= {"stems": stems} if stems else {}
    return entry | ({"action": mark.said["ACTION"]} if mark.said.get("ACTION") in ("keep", "move", "remove") else {})


def _metres(text: str) -> float | None:
    from bedfellow.schema.units import length

    try:
        value = length(float(text) if text.replace(".", "", 1).isdigit() else text)
    except ValueError:
        return None
    return round(value, 3) if value > 0 else None


def _text(said: Mapping[str, str], word: str, *names: str) -> dict[str, str]:
    text = next((found for name in names if (found := clean(said.get(name, "")))), "")
    return {word: text[:LONGEST_KEY]} if text else {}
