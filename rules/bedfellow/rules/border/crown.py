"""The room a plant takes: a solid of revolution about its stem.

Every crown is one form: the squared radius is quadratic in height, between two level planes.

    r²(z) = c0 + c1 z + c2 z²        base ≤ z ≤ top

With u = (z − base) / (top − base) from 0 at the foot to 1 at the tip and R half the spread, a habit has r² / R² =

    habit                     r² / R²                          solid
    columnar, mat, climbing   1                                cylinder
    conical                   (1 − u)²                         cone
    rounded                   4 u (1 − u)                      ellipsoid
    vase                      (1/4 + 3/4 u)²                   cone standing on its cut-off tip
    weeping, mound, scrambling  1 − u²                         dome, widest at the foot
    arching                   1 − ((u − 0.55) / 0.6)²          ellipsoid cut above and below, narrow foot
    spreading                 1 − ((u − 0.5) / 0.625)²         ellipsoid cut above and below
    clump                     1 − ((u − 0.6) / 0.75)²          ellipsoid cut above and below, broad top
    rosette                   1 − u                            paraboloid, widest at the foot

The solids are the usual ones of canopy models; which habit gets which is common practice, not measurement: against a
real crown of the same height and spread the volume may be a quarter out, a hedge or a wind-shorn tree more.
All are convex.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import acos, pi, sqrt

PROFILES: dict[str, tuple[float, float, float]] = {
    "columnar": (1.0, 0.0, 0.0),
    "mat": (1.0, 0.0, 0.0),
    "climbing": (1.0, 0.0, 0.0),
    "conical": (1.0, -2.0, 1.0),
    "rounded": (0.0, 4.0, -4.0),
    "vase": (1 / 16, 3 / 8, 9 / 16),
    "weeping": (1.0, 0.0, -1.0),
    "mound": (1.0, 0.0, -1.0),
    "scrambling": (1.0, 0.0, -1.0),
    "arching": (1 - 0.55**2 / 0.36, 1.1 / 0.36, -1 / 0.36),
    "spreading": (1 - 0.25 / 0.625**2, 1 / 0.625**2, -1 / 0.625**2),
    "clump": (1 - 0.36 / 0.5625, 1.2 / 0.5625, -1 / 0.5625),
    "rosette": (1.0, -1.0, 0.0),
}
"""Coefficients of 1, u and u² of r² / R², by habit; the greatest over the crown is 1."""

# Abscissae and weights of Gauss and Legendre's quadrature with six points on (−1, 1), the half at positive abscissae
# (memory; held to closed forms by the tests).
_GAUSS = (
    (0.238619186083197, 0.467913934572691),
    (0.661209386466265, 0.360761573048139),
    (0.932469514203152, 0.171324492379170),
)

# m. At the very tip of a cone radius and slope of the square are both 0: slopes are taken this far inside.
_TIP = 1e-5
# m. Heights closer than this are one.
_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Crown:
    """Solid of revolution: base, top in m above ground; r² = c0 + c1 z + c2 z² in m² between them."""

    base: float
    top: float
    c0: float
    c1: float
    c2: float

    def radius(self, z: float) -> float:
        """Radius in m at z m above ground; 0 outside the crown."""
        if not self.base <= z <= self.top:
            return 0.0
        return sqrt(max(0.0, self.c0 + z * (self.c1 + z * self.c2)))

    @property
    def widest_at(self) -> float:
        """Height in m at which the crown is widest; the lowest where several are."""
        if self.c2 < 0:
            return min(max(-self.c1 / (2 * self.c2), self.base), self.top)
        return self.base if self.radius(self.base) >= self.radius(self.top) else self.top

    @property
    def greatest_radius(self) -> float:
        """m."""
        return self.radius(self.widest_at)

    def height_at(self, distance: float) -> float:
        """Greatest height in m of the crown at a distance in m from its stem; 0 outside it."""
        square = distance * distance
        low, high = self.widest_at, self.top
        if self.radius(low) < distance:
            return 0.0
        if self.radius(high) >= distance:
            return high
        if self.c2 == 0:
            return (square - self.c0) / self.c1
        # Above its widest the radius only falls, so one root lies between; for the cone it is the lower of the two.
        root = sqrt(max(0.0, self.c1 * self.c1 - 4 * self.c2 * (self.c0 - square)))
        return min(max((-self.c1 - root) / (2 * self.c2), low), high)

    def volume(self) -> float:
        """m³."""
        low, high = self.base, self.top
        mean_z = (low + high) / 2
        mean_z2 = (low * low + low * high + high * high) / 3
        return pi * (high - low) * (self.c0 + self.c1 * mean_z + self.c2 * mean_z2)

    def surface(self) -> float:
        """m², with the level faces at foot and tip; by quadrature, within 0.1 % for any crown flatter than 30 to 1."""
        # r √(1 + r'²) = √(r² + (r² ')² / 4), whose square is again quadratic in z.
        q0 = self.c0 + self.c1 * self.c1 / 4
        q1 = self.c1 * (1 + self.c2)
        q2 = self.c2 * (1 + self.c2)
        bends = -q1 / (2 * q2) if q2 else self.base
        middle = min(max(bends, self.base), self.top)
        side = _quadrature(q0, q1, q2, self.base, middle) + _quadrature(q0, q1, q2, middle, self.top)
        return 2 * pi * side + pi * (self.radius(self.base) ** 2 + self.radius(self.top) ** 2)

    def mean_chord(self) -> float:
        """Mean length in m of the chords of lines from all directions.

        A convex body casts on average a shadow of S / 4 (Cauchy; proved in Tsukerman & Veomett, A Simple Proof of
        Cauchy's Surface Area Formula), so its mean chord is 4 V / S.
        """
        return _mean_chord(self)


@lru_cache(maxsize=4096)
def _mean_chord(crown: Crown) -> float:
    # The same crown is asked on every day on which it has its full height.
    return 4 * crown.volume() / crown.surface()


def crown_of(habit: str, height: float, spread: float, base: float = 0.0) -> Crown:
    """The crown of a habit (see the table above), from base to height, `spread` wide at its widest; all in m.

    Raises ValueError for an unknown habit, a spread that is not positive or a base not below the height.
    """
    if habit not in PROFILES:
        raise ValueError(f"{habit!r} is no habit; the habits are {', '.join(sorted(PROFILES))}")
    if not (spread > 0 and 0 <= base < height):
        raise ValueError(f"a crown needs a spread above 0 and a base below its height, not {spread}, {base}, {height}")
    a, b, c = PROFILES[habit]
    square = spread * spread / 4
    b, c = b / (height - base), c / (height - base) ** 2
    c0 = square * (a - b * base + c * base * base)
    return Crown(base, height, c0, square * (b - 2 * c * base), square * c)


def shared_height(a: Crown, b: Crown) -> float:
    """Depth in m of the air that both crowns reach; 0 where they share none."""
    return max(0.0, min(a.top, b.top) - max(a.base, b.base))


def widest_together(a: Crown, b: Crown, least_shared: float = 0.0) -> tuple[float, float] | None:
    """Greatest sum of the radii over the heights that both reach, and that height: (sum, z), m.

    None where they share no height, or less than `least_shared` m.
    Two plants need that sum between their stems. Both radii are concave in z, so the sum has one greatest value.
    """
    low, high = max(a.base, b.base), min(a.top, b.top)
    if high <= low or high - low < least_shared:
        return None
    at_a = min(max(a.widest_at, low), high)
    at_b = min(max(b.widest_at, low), high)
    # One radius still grows and the other shrinks between the two widest places: the greatest sum lies there.
    low, high = min(at_a, at_b), max(at_a, at_b)
    inside = min(_TIP, (high - low) / 3)
    slope_low, slope_high = _slope(a, b, low + inside), _slope(a, b, high - inside)
    if slope_low <= 0 or high - low < _NEAR:
        z = low
    elif slope_high >= 0:
        z = high
    else:
        z = _root(a, b, low + inside, high - inside, slope_low, slope_high)
    return a.radius(z) + b.radius(z), z


def lens(first: float, second: float, distance: float) -> float:
    """Area in m² shared by two circles of given radii in m whose centres lie `distance` m apart."""
    if distance >= first + second:
        return 0.0
    if distance <= abs(first - second):
        return pi * min(first, second) ** 2
    along = (distance * distance + first * first - second * second) / (2 * distance)
    across = sqrt(max(0.0, first * first - along * along))
    angle_1 = acos(min(1.0, max(-1.0, along / first)))
    angle_2 = acos(min(1.0, max(-1.0, (distance - along) / second)))
    return first * first * angle_1 + second * second * angle_2 - distance * across


def _slope(a: Crown, b: Crown, z: float) -> float:
    """Sign of the slope of r_a + r_b at z; written without division, so that a radius of 0 does no harm."""
    return (a.c1 + 2 * a.c2 * z) * b.radius(z) + (b.c1 + 2 * b.c2 * z) * a.radius(z)


def _root(a: Crown, b: Crown, low: float, high: float, slope_low: float, slope_high: float) -> float:
    """Height where the slope is 0, to _NEAR: false position and halving by turns, for slopes are steep near a tip."""
    while high - low > _NEAR:
        for z in ((low * slope_high - high * slope_low) / (slope_high - slope_low), (low + high) / 2):
            if not low < z < high:
                continue
            slope = _slope(a, b, z)
            if slope > 0:
                low, slope_low = z, slope
            else:
                high, slope_high = z, slope
    return (low + high) / 2


def _quadrature(q0: float, q1: float, q2: float, low: float, high: float) -> float:
    """∫ √(q0 + q1 z + q2 z²) dz over two halves of six points each."""
    total = 0.0
    half = (high - low) / 4
    for middle in (low + half, high - half):
        for node, weight in _GAUSS:
            for z in (middle - half * node, middle + half * node):
                total += weight * half * sqrt(max(0.0, q0 + z * (q1 + z * q2)))
    return total
