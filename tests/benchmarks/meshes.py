"""Crowns as closed meshes of triangles under a general-purpose ray caster (Embree): a witness from outside the project."""

from __future__ import annotations

from math import pi

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene

from bedfellow.rules.border.crown import Crown
from bedfellow.rules.border.rays import Array, Solids, Whole

STEP = 1e-4
"""m by which a ray is set on beyond a triangle that it has met; far more than the caster's single precision loses."""


def mesh(crown: Crown, around: int, up: int, grown: float = 0.0) -> tuple[Array, Whole]:
    """Corners (v, 3) in m about the stem and triangles (f, 3), outward, of a mesh of 2 · around · (up + 1) at most.

    Its corners lie on the crown, so that it lies inside. grown: how far it is blown up from its middle, 1 until the crown
    lies inside it.
    """
    # Rings lie closer at foot and tip, where a crown turns most.
    heights = crown.base + (crown.top - crown.base) * (1 - np.cos(np.linspace(0, pi, up + 1))) / 2
    heights[-1] = crown.top
    turn = np.arange(around) * 2 * pi / around
    corners = np.concatenate(
        [np.column_stack([r * np.cos(turn), r * np.sin(turn), np.full(around, z)]) for z in heights for r in [crown.radius(z)]]
        + [[[0, 0, crown.base], [0, 0, crown.top]]]
    )  # fmt: skip
    here, after = np.arange(around), (np.arange(around) + 1) % around
    foot, tip = len(corners) - 2, len(corners) - 1
    faces = [np.column_stack([after, here, np.full(around, foot)])]
    for low, high in zip(range(0, up * around, around), range(around, foot, around), strict=True):
        faces.append(np.column_stack([low + here, low + after, high + after]))
        faces.append(np.column_stack([low + here, high + after, high + here]))
    faces.append(np.column_stack([up * around + here, up * around + after, np.full(around, tip)]))
    triangles = np.concatenate(faces)
    a, b, c = (corners[triangles[:, n]] for n in range(3))
    triangles = triangles[np.linalg.norm(np.cross(b - a, c - a), axis=1) > 1e-14]
    if grown:
        middle = np.array([0, 0, (crown.base + crown.top) / 2])
        normals, offsets = planes(corners - middle, triangles)
        # How far the crown reaches along each normal; those of one slope are alike, for both are turned about the stem.
        slopes = np.unique(normals[:, 2].round(9), return_index=True)[1]
        z = np.linspace(crown.base, crown.top, 2001)
        level, radii = np.hypot(normals[slopes, :1], normals[slopes, 1:2]), np.array([crown.radius(at) for at in z])
        reach = (level * radii + normals[slopes, 2:] * (z - middle[2])).max(axis=1)
        corners = middle + (corners - middle) * (1 + grown * ((reach / offsets[slopes]).max() - 1))
    return corners, triangles


def planes(corners: Array, triangles: Whole) -> tuple[Array, Array]:
    """Outward unit normals (f, 3) and distances from the origin (f,) of the triangles' planes."""
    a, b, c = (corners[triangles[:, n]] for n in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    return normals, np.einsum("ij,ij->i", normals, a)


class Caster:
    """Triangles under the general-purpose caster, which says which of them a ray meets first."""

    def __init__(self, corners: Array, triangles: Whole) -> None:
        self.normals, self.offsets = planes(corners, triangles)
        self.scene = EmbreeScene()
        TriangleMesh(self.scene, corners.astype(np.float32), triangles.astype(np.int32))

    def first(self, origins: Array, directions: Array) -> tuple[Whole, Array, Array]:
        """Per ray, (n,): its first triangle, -1 for none; distance to it in m; how steeply it comes out there, below 0 in."""
        met = self.scene.run(origins.astype(np.float32), directions.astype(np.float32))
        normals = self.normals[met]
        steep = np.einsum("ij,ij->i", normals, directions)
        away = self.offsets[met] - np.einsum("ij,ij->i", normals, origins)
        return met, away / np.where(steep == 0, 1.0, steep), steep

    def chords(self, origins: Array, directions: Array, far: float) -> Array:
        """m of each ray within one convex mesh, (n,), looked at from its start and from `far` m on, which lies past the mesh."""
        met, into, steep = self.first(origins, directions)
        out = far - self.first(origins + far * directions, -directions)[1]
        return np.where(met >= 0, np.maximum(out - np.where(steep > 0, 0.0, into), 0.0), 0.0)


class Bed:
    """All crowns of a bed as one mesh; rays are set on from triangle to triangle until they are through."""

    def __init__(self, solids: Solids, around: int, up: int) -> None:
        parts, starts, count = [], [], 0
        shapes: dict[Crown, tuple[Array, Whole]] = {}
        for n in range(len(solids)):
            crown = Crown(*(float(getattr(solids, name)[n]) for name in Crown.__dataclass_fields__))
            if crown not in shapes:
                shapes[crown] = mesh(crown, around, up, grown=0.5)
            corners, triangles = shapes[crown]
            parts.append((corners + np.array([solids.x[n], solids.y[n], 0]), triangles + count))
            starts.append(np.full(len(triangles), n))
            count += len(corners)
        self.of = np.concatenate(starts)
        self.caster = Caster(np.concatenate([c for c, _ in parts]), np.concatenate([t for _, t in parts]))

    def passed(self, origins: Array, owners: Whole, directions: Array, solids: Solids, transmittance: Array) -> Array:
        """As ``rays.transmitted`` for endless rays with shared directions, (m, k); transmittance (n, k)."""
        m, k = len(origins), len(directions)
        dulling = np.log(np.clip(transmittance, 1e-300, 1.0)) / solids.mean_chord[:, None]
        sums = np.zeros(m * k)
        ray = np.arange(m * k)
        start, gone = np.repeat(origins, k, axis=0), np.zeros(m * k)
        way = np.tile(directions, (m, 1))
        last = np.full(m * k, -1)
        while len(ray):
            met, away, steep = self.caster.first(start, way)
            hit = met >= 0
            ray, start, gone, way, last = ray[hit], start[hit], gone[hit], way[hit], last[hit]
            met, away, steep = met[hit], np.maximum(away[hit], 0.0), steep[hit]
            crown = self.of[met]
            counts = (met != last) & (solids.owner[crown] != owners[ray // k])
            # Where it comes out less where it came in; what it started within counts from 0.
            sums[ray] += np.where(counts, np.sign(steep) * (gone + away) * dulling[crown, ray % k], 0.0)
            on = away + STEP
            start, gone, last = start + way * on[:, None], gone + on, met
        return np.exp(np.minimum(sums, 0.0)).reshape(m, k)
