"""What is to be seen of a plant in a month: leaves, flowers, fruit and stems, with their colours as sRGB."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from bedfellow.rules.border import interest
from bedfellow.rules.border.seasons import within
from bedfellow.schema.colours import srgb
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

GREEN = "moderate yellow green"  # of leaves whose colour is not known
GREY = "#8a8a8a"
OPEN = ("flower", "fruit", "seedhead", "bark", "autumn_colour")


class Shown(NamedTuple):
    """leaf: ISCC-NBS name of the leaves, empty where it has none in the middle of the month; known: the colour is recorded;
    organs: what else is to be seen for a good part of it, with its colours, as recorded; standing: dead stems."""

    leaf: str
    known: bool
    organs: dict[str, tuple[str, ...]]
    standing: bool


def shown(border: Border, planting: Planting, month: int) -> Shown:
    """What of a planting is to be seen in a month (1 to 12)."""
    day, cut = middle_of(month), border.cut_down(planting, month)
    found = interest.shown(border, planting, month)
    organs = {organ: found[organ].colours for organ in OPEN if organ in found}
    leafy = border.in_leaf(planting, day)
    colours = organs.get("autumn_colour") or planting.traits.words("leaf_colour")
    stems = border.window(planting, "standing_stems")
    standing = not leafy and not cut and stems is not None and within(stems, day)
    return Shown((colours[0] if colours else GREEN) if leafy else "", bool(colours), organs, standing)


def paint(colour: str, white: float = 0.0) -> str:
    """The sRGB of a colour as recorded, ``#rrggbb``, mixed with a share of white; of what is no colour a grey."""
    value = srgb(colour) or GREY
    channels = (int(value[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(channel + (255 - channel) * white):02x}" for channel in channels)
