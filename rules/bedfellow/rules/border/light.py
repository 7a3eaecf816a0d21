"""How much sun a place gets: hours, and share of the clear-sky beam, on the days of a year that matter.

    hours    time with the sun above 5°, each moment weighted by what passes crowns and screens on the way
    share    clear-sky beam on level ground, summed likewise, over what an open site receives with a flat horizon

Only the direct beam counts in these. Light from the sky is `sky`, by itself: a place with a share of 0 is not dark, and a
crown's shade on a cloudy day is milder than here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bedfellow.rules.border.rays import Array, Screens, Solids, Whole, tiles, transmitted
from bedfellow.rules.border.sun import track

JUNE_DAY, MARCH_DAY = 172, 74
GROWING_DAYS = (99, 114, 129, 144, 160, 175, 190, 205, 221, 236, 251, 266)
"""Two days a month from April to September, in twelve equal parts of the half year."""

_BANDS, _SECTORS = 12, 48
_ROWS = 2_000
"""Places worked at once."""


@dataclass(frozen=True, slots=True)
class Daily:
    """Sun at m places on d days, each (m, d).

    hours, midday (11 to 16 h), morning (before 10 h): h of sun; beam: kWh/m² on level ground under a clear sky.
    open_beam: the same on the open site, (d,).
    """

    hours: Array
    midday: Array
    morning: Array
    beam: Array
    open_beam: Array


@dataclass(frozen=True, slots=True)
class Light:
    """Sun through the growing season at m places, each (m,).

    june_hours, midday_june_hours (11 to 16 h): h on 21 June; march_hours: h on 15 March; share: 0 to 1, April to
    September.
    """

    june_hours: Array
    midday_june_hours: Array
    march_hours: Array
    share: Array


def days(latitude: float) -> tuple[int, ...]:
    """Days of the year that `light` looks at, (14,): 21 June, 15 March, GROWING_DAYS; in the south half a year on."""
    northern = (JUNE_DAY, MARCH_DAY, *GROWING_DAYS)
    return northern if latitude >= 0 else tuple((day + 182) % 365 + 1 for day in northern)


def clear_beam(elevation: Array) -> Array:
    """Clear-sky beam in kW/m² across the ray, the sun at `elevation` degrees, at sea level.

    1.353 · 0.7^(m^0.678) (Meinel & Meinel 1976, as given by Honsberg & Bowden, pveducation.org), with the air mass m
    of Kasten & Young 1989, Revised optical air mass tables (second-hand). Only ratios are used, so its scale does
    not matter.
    """
    height = np.maximum(elevation, 0.0)
    mass = 1 / (np.sin(np.radians(height)) + 0.50572 * (height + 6.07995) ** -1.6364)
    return np.asarray(np.where(elevation > 0, 1.353 * 0.7 ** (mass**0.678), 0.0), dtype=np.float64)


def directions_to(elevation: Array, azimuth: Array, faces: float) -> Array:
    """Unit vectors in the plan's frame, (k, 3), of places in the sky, (k,) degrees.

    faces: bearing of the front, which looks along −y; so +y has the bearing faces + 180 and +x faces + 270.
    """
    up, turn = np.radians(elevation), np.radians(azimuth - faces - 180)
    return np.column_stack([np.cos(up) * np.sin(turn), np.cos(up) * np.cos(turn), np.sin(up)])


def daily(
    receivers: Array,
    owners: Whole,
    latitude: float,
    faces: float,
    solids: Solids,
    transmittance: Array,
    screens: Screens | None = None,
    horizon: Sequence[tuple[float, float]] = (),
    on_days: Sequence[float] = (),
    above: float = 5.0,
    step_minutes: float | Sequence[float] = 15.0,
) -> Daily:
    """Sun at each place on each day.

    receivers: m, (m, 3); owners: (m,), the planting that does not shade a place, -1 for none.
    transmittance: of each crown by day, (n, d); 1 for a plant that is not up. A crown has one size on all the days.
    horizon: (bearing, elevation) in degrees, joined by straight lines around the circle. step_minutes: of each day,
    or one for all; the edge of a shadow is known to half of it.
    The sun below `above` degrees counts in nothing, open site included: of the beam on level ground, under 0.4 % at 5°
    from April to September at 40 to 60° N.
    """
    steps = step_minutes if isinstance(step_minutes, Sequence) else [step_minutes] * len(on_days)
    tracks = [track(latitude, day, length, above) for day, length in zip(on_days, steps, strict=True)]
    elevation = np.concatenate([one.elevation for one in tracks])
    azimuth = np.concatenate([one.azimuth for one in tracks])
    hour = np.concatenate([one.hour for one in tracks])
    step = np.concatenate([np.full(len(one.hour), one.step) for one in tracks])
    of_day = np.repeat(np.arange(len(tracks)), [len(one.hour) for one in tracks])
    power = step * clear_beam(elevation) * np.sin(np.radians(elevation))

    seen = elevation > _skyline(horizon, azimuth)
    columns = np.eye(len(tracks))[of_day]
    # Each kind of sum is a column of weights for every day, so that one product gives them all.
    weights = np.concatenate(
        [
            columns * (step * seen)[:, None],
            columns * (seen * _within(hour, step, 11, 16))[:, None],
            columns * (seen * _within(hour, step, 0, 10))[:, None],
            columns * (power * seen)[:, None],
        ],
        axis=1,
    )
    directions = directions_to(elevation, azimuth, faces)
    by_direction = transmittance[:, of_day]
    sums = np.empty((len(receivers), 4 * len(tracks)))
    for part in tiles(receivers, _ROWS):
        passed = transmitted(receivers[part], owners[part], directions, np.inf, solids, by_direction, screens)
        sums[part] = passed @ weights
    hours, midday, morning, beam = np.split(sums, 4, axis=1)
    return Daily(hours, midday, morning, beam, power @ columns)


def light(
    receivers: Array,
    owners: Whole,
    latitude: float,
    faces: float,
    solids: Solids,
    transmittance: Array,
    screens: Screens | None = None,
    horizon: Sequence[tuple[float, float]] = (),
    above: float = 5.0,
) -> Light:
    """Sun through the growing season; arguments as of `daily`, transmittance (n, 14) on the `days` of the latitude.

    Steps are of 10 minutes on 21 June and 15 March and of 30 minutes on the twelve days of the share. Against every day
    in steps of 2 minutes the share was within 0.025 everywhere and 0.004 on average, beside long fences at 40 to 60° N.
    """
    on_days = days(latitude)
    steps = (10.0, 10.0) + (30.0,) * len(GROWING_DAYS)
    sun = daily(receivers, owners, latitude, faces, solids, transmittance, screens, horizon, on_days, above, steps)
    share = sun.beam[:, 2:].sum(axis=1) / max(float(sun.open_beam[2:].sum()), 1e-12)
    return Light(sun.hours[:, 0], sun.midday[:, 0], sun.hours[:, 1], share)


def sky(
    receivers: Array,
    owners: Whole,
    faces: float,
    solids: Solids,
    transmittance: Array,
    screens: Screens | None = None,
    horizon: Sequence[tuple[float, float]] = (),
) -> Array:
    """Share of the light of an evenly bright sky that reaches level ground at each place, (m,), 0 to 1.

    transmittance: of each crown, (n,). Directions are the middles of 12 x 48 parts of the sky that give level ground the same
    light. Beside an endless wall of elevation β it is (1 + cos β) / 2, met within 0.01.
    """
    # Equal parts of sin² of the elevation light level ground alike.
    heights = np.degrees(np.arcsin(np.sqrt((np.arange(_BANDS) + 0.5) / _BANDS)))
    elevation = np.repeat(heights, _SECTORS)
    azimuth = np.tile((np.arange(_SECTORS) + 0.5) * 360 / _SECTORS, _BANDS)
    seen = (elevation > _skyline(horizon, azimuth)).astype(np.float64)
    directions = directions_to(elevation, azimuth, faces)
    through = np.repeat(transmittance[:, None], len(azimuth), axis=1)
    shares = np.empty(len(receivers))
    for part in tiles(receivers, _ROWS):
        passed = transmitted(receivers[part], owners[part], directions, np.inf, solids, through, screens)
        shares[part] = passed @ seen / len(azimuth)
    return shares


def _within(hour: Array, step: Array, first: float, last: float) -> Array:
    """The part in h of each step, `hour` at its middle, that lies between two hours of the day."""
    inside = np.minimum(hour + step / 2, last) - np.maximum(hour - step / 2, first)
    return np.asarray(np.maximum(inside, 0.0), dtype=np.float64)


def _skyline(horizon: Sequence[tuple[float, float]], azimuth: Array) -> Array:
    """Elevation of the horizon in degrees by azimuth; -90 where none is given."""
    if not horizon:
        return np.full(len(azimuth), -90.0)
    bearings, heights = zip(*sorted((bearing % 360, height) for bearing, height in horizon), strict=True)
    return np.asarray(np.interp(azimuth, bearings, heights, period=360), dtype=np.float64)
