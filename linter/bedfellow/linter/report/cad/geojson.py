"""A plan as GeoJSON (RFC 7946): longitude and latitude in WGS 84, and nothing else, which its section 4 demands.

The garden is laid on the plane that touches the ellipsoid at the site. A plan that does not say where on the globe it lies,
and which way it faces, cannot be GeoJSON: coordinates in metres under that name would put it into the sea off Africa.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from math import cos, hypot, radians, sin, sqrt, tan
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.cad.placed import placed
from bedfellow.linter.report.plain import plain
from bedfellow.rules.words import listed, metres
from bedfellow.schema.geometry import Point

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

EQUATOR, FLATTENING = 6_378_137.0, 1 / 298.257223563  # WGS 84 (NIMA TR8350.2)
DEGREE = 111_320.0  # m of a degree on the equator


class NoPlace(ValueError):
    """What the plan does not say of where it lies, in words."""


def collection(border: Border, season: int) -> str:
    """Plants, drifts, beds, structures and surfaces as features. Raises NoPlace."""
    place = _Plane(border)
    features = [_feature(place, *entry) for entry in _things(border, season)]
    data = {"type": "FeatureCollection", "features": features}
    return json.dumps(data, ensure_ascii=True, indent=1, allow_nan=False) + "\n"


class _Plane:
    """The plane that touches the ellipsoid at the site; the plan's origin lies there.

    Radii of curvature: in the meridian M = a(1 - e²)/w³, across it N = a/w, w = √(1 - e² sin² latitude).
    """

    def __init__(self, border: Border) -> None:
        site = border.plan.site
        known = {"latitude": site.latitude, "longitude": site.longitude}
        wanting = [name for name, value in known.items() if value is None]
        if site.faces is None and site.north is None:
            wanting.append("faces (or north)")
        if wanting or site.latitude is None or site.longitude is None:
            raise NoPlace(
                f"GeoJSON places everything on the globe (RFC 7946), and the plan's site does not say {listed(wanting)}; "
                "write a .dxf or .csv for metres of its own"
            )
        if abs(site.latitude) > 85:
            raise NoPlace("so near to a pole nothing is placed on a plane by longitude")
        self.latitude, self.longitude = site.latitude, site.longitude
        squared = FLATTENING * (2 - FLATTENING)
        w = sqrt(1 - squared * sin(radians(self.latitude)) ** 2)
        self.north, self.across = EQUATOR * (1 - squared) / w**3, EQUATOR / w
        self.turn = radians(border.bearing((0.0, 0.0), (0.0, 1.0)))

    def at(self, point: Point) -> list[float]:
        """[longitude, latitude] in degrees, to a tenth of a millimetre."""
        x, y = point
        east, north = x * cos(self.turn) + y * sin(self.turn), y * cos(self.turn) - x * sin(self.turn)
        longitude = self.longitude + east / (radians(1) * self.across * cos(radians(self.latitude)))
        latitude = self.latitude + north / (radians(1) * self.north)
        return [round((longitude + 180) % 360 - 180, 9), round(latitude, 9)]


def accuracy(border: Border) -> str:
    """How far off it may lie, in words: as a whole by the site's digits, and in itself by the plane."""
    site = border.plan.site
    assert site.latitude is not None and site.longitude is not None
    step = max(_step(site.latitude), _step(site.longitude) * cos(radians(site.latitude)))
    whole = step / 2 * DEGREE * sqrt(2)
    points = [point for bed in border.plan.borders for point in bed.outline] + [
        p for planting in border.standing for p in planting.points
    ]
    reach = max((hypot(*point) for point in points), default=0.0)
    # The first term that the plane leaves out: d² tan latitude / N, by the meridians' coming together.
    bent = reach**2 * abs(tan(radians(site.latitude))) / EQUATOR
    far = metres(whole) if whole < 1000 else f"{whole / 1000:.0f} km"
    return (
        f"The plan's origin lies at {site.latitude:g}, {site.longitude:g} as the site has it: by its digits the whole may lie "
        f"{far} off. In itself it is right to {0.1 + 1000 * bent:.1f} mm."
    )


def _step(degrees: float) -> float:
    """What the last digit of a figure is worth."""
    return 10.0 ** -len(f"{degrees!r}".partition(".")[2].rstrip("0"))


def _things(border: Border, season: int) -> Iterator[tuple[str, str, Sequence[Point], dict[str, Any]]]:
    """(what it is, kind of geometry, its points, more of its properties)."""
    for bed in border.plan.borders:
        yield "bed", "Polygon", bed.outline, {"name": bed.name or None}
    for one in placed(border, season):
        said = {
            "key": one.line.key, "name": one.line.name, "quantity": one.line.number, "season": season,
            "there": one.there, "height": one.height and round(one.height, 2), "spread": one.spread and round(one.spread, 2),
        }  # fmt: skip
        if one.drift:
            yield "drift", "Polygon", one.line.outline, said
        for point in one.points:
            yield "plant", "Point", [point], said
    for plant in border.plan.retained:
        said = {"key": plant.key, "name": plant.name, "action": plant.action, "height": plant.height}
        yield "retained plant", "Point", [plant.at], said
    for group in (border.plan.structures, border.plan.surfaces):
        for entry in group:
            said = {"key": entry.key}
            if entry.outline:
                yield entry.kind, "Polygon", entry.outline, said
            elif entry_points := (entry.ends if hasattr(entry, "ends") else entry.points):
                yield entry.kind, "LineString" if len(entry_points) > 1 else "Point", entry_points, said


def _feature(place: _Plane, what: str, form: str, points: Sequence[Point], said: dict[str, Any]) -> dict[str, Any]:
    found = [place.at(point) for point in points]
    coordinates: Any = found[0] if form == "Point" else found
    if form == "Polygon":
        coordinates = [_ring(found)]
    properties = {"what": what} | {
        name: plain(value) if isinstance(value, str) else value for name, value in said.items()
    }
    return {"type": "Feature", "geometry": {"type": form, "coordinates": coordinates}, "properties": properties}


def _ring(corners: list[list[float]]) -> list[list[float]]:
    """Closed and against the clock, as section 3.1.6 of the standard has the outer ring."""
    turned = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))
    ring = corners if turned > 0 else corners[::-1]
    return [*ring, ring[0]]
