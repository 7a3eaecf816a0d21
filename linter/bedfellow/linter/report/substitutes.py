"""What could stand in a plant's place, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import filled, left_out, told, year
from bedfellow.linter.report.plain import as_json
from bedfellow.linter.table import share, table
from bedfellow.rules.swap.role import differences
from bedfellow.rules.words import listed, metres, months

if TYPE_CHECKING:
    from bedfellow.linter.repair.substitute import Substitute, Substitutes
    from bedfellow.rules.border.planting import Planting
    from bedfellow.rules.swap.role import Role


def in_words(planting: Planting, elsewhere: list[str], answer: Substitutes) -> str:
    """The role, a table of those that keep it, one of those that do nearly, and what each would change.

    elsewhere: keys of the plan's other lines of the same plant.
    """
    parts = [filled(_of(planting, answer))]
    if elsewhere:
        parts.append(filled(f"The plan has it in {listed(elsewhere)} too; ask for each, as its place may differ."))
    for heading, some in (("These keep its role.", answer.good), ("These lose one thing of it.", answer.near)):
        if some:
            rows = [(one.candidate.traits.name, share(one.fit), _size(one.role), year(one.role.months)) for one in some]
            lines = "".join(filled(_changes(answer.role, one), "    ") for one in some)
            parts.append(f"{heading}\n\n{table(('plant', 'fit', 'height × spread', 'to look at'), rows)}\n{lines}")
    if not answer.good and not answer.near:
        parts.append("No plant of the store is known to do in its place.\n")
    parts += [filled(text) for text in left_out(answer.refused)]
    if answer.left:
        parts.append(filled(f"{answer.left:,} more were not tried."))
    return "\n".join([*parts, filled(CAUTION)])


def _of(planting: Planting, answer: Substitutes) -> str:
    role = answer.role
    said = [f"{_size(role)} in season 10", "evergreen" if role.evergreen else "not evergreen"]
    said += [f"to look at {_when(role.months)}"] if role.months else []
    said += [f"{organ.replace('_', ' ')} {listed(role.colours[organ])}" for organ in role.showiest]
    said += [f"in {' or '.join(answer.light)}"] if answer.light else []
    return f"{planting.title} is {'; '.join(said)}."


def _when(numbers: tuple[int, ...]) -> str:
    return "all year" if len(numbers) == 12 else f"in {months(numbers)}"


def _size(role: Role) -> str:
    return " × ".join(metres(round(figure, 2)) if figure else "?" for figure in (role.height, role.spread))


def changes(old: Role, one: Substitute) -> list[str]:
    """What would change with it, in words: what is lost first."""
    gone = sorted({finding.code for finding in one.outcome.gone})
    said = [*differences(old, one.role, one.lost), *([f"clears {listed(gone)}"] if gone else [])]
    return said + (["in the border already"] if one.known else [])


def _changes(old: Role, one: Substitute) -> str:
    return f"{one.candidate.traits.name}: {'; '.join(changes(old, one)) or 'nothing that is known'}."


def as_data(planting: Planting, elsewhere: list[str], answer: Substitutes) -> str:
    """The same as JSON."""
    return as_json(
        {
            "key": planting.key, "name": planting.traits.name, "also_in": elsewhere, "role": _role(answer.role),
            "light": answer.light, "caution": CAUTION,
            **{
                kind: [_row(answer.role, one) for one in some]
                for kind, some in (("keep_its_role", answer.good), ("lose_one_thing", answer.near), ("refused", answer.refused))
            },
            "not_tried": answer.left,
        }
    )  # fmt: skip


def _role(role: Role) -> dict[str, object]:
    rounded = {
        name: round(value, 3) if value else None for name, value in (("height", role.height), ("spread", role.spread))
    }
    return {**role._asdict(), **rounded}


def _row(old: Role, one: Substitute) -> dict[str, object]:
    return {
        "name": one.candidate.traits.name, "fit": one.fit, "role": _role(one.role),
        "lost": [loss._asdict() for loss in one.lost], "changes": changes(old, one),
        "reasons": [
            {"asked": part.asked.text, "fit": part.share, "source": part.fact.source if part.fact else None}
            for part in one.candidate.fits
        ],
        "in_the_border": one.known, "new": [told(finding) for finding in one.outcome.new],
        "gone": [told(finding) for finding in one.outcome.gone],
    }  # fmt: skip
