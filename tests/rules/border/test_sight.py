"""What is seen from the path, against similar triangles."""

import numpy as np
import pytest

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.rays import screens, solids
from bedfellow.rules.border.sight import (
    elevation,
    eyes_facing,
    longest_gap,
    occupied,
    silhouette,
    visible_share,
)

Row = tuple[float, float, float, float, float, float, float, float, int]
BOX = (0.0, 0.0, 9.0, 4.0)
EYE = np.array([[0.0, -2.5, 1.6]])


def row(x: float, y: float, crown: Crown, owner: int) -> Row:
    return (x, y, crown.base, crown.top, crown.c0, crown.c1, crown.c2, crown.mean_chord(), owner)


def test_points_of_a_silhouette_share_out_its_area() -> None:
    cone = crown_of("conical", 2, 1)
    points, shares = silhouette(3, 1.5, cone, across=5, up=40)
    assert shares.sum() == pytest.approx(1)
    assert set(points[:, 1]) == {1.5}
    # The middle of a triangle lies at a third of its height.
    assert (points[:, 2] * shares).sum() == pytest.approx(2 / 3, abs=0.01)
    assert (points[:, 0] * shares).sum() == pytest.approx(3)


def test_a_board_hides_what_similar_triangles_say() -> None:
    # Eye at 1.6 m, board 1.0 m high 3 m away, plants 6 m away: the line over its edge falls to 0.4 m there.
    board = screens([(-9, 0.5, 9, 0.5, 0, 1.0, 0)])
    column = crown_of("columnar", 1.0, 0.4)
    points, shares = silhouette(0, 3.5, column, across=3, up=50)
    seen = visible_share(points, np.full(len(points), 4), EYE, solids([]), np.ones(0), board)
    assert seen[:, 0] @ shares == pytest.approx(0.6, abs=0.02)


def test_a_tall_plant_hides_a_low_one_and_not_the_other_way() -> None:
    tall, low = crown_of("columnar", 1.8, 1.2), crown_of("mound", 0.5, 0.5)
    bed = solids([row(0, 0.5, tall, 1), row(0, 1.6, low, 2)])
    opaque = np.zeros(2)
    shares: dict[int, float] = {}
    for owner, (y, crown) in {1: (0.5, tall), 2: (1.6, low)}.items():
        points, weights = silhouette(0, y, crown)
        seen = visible_share(points, np.full(len(points), owner), EYE, bed, opaque)
        shares[owner] = float(seen[:, 0] @ weights)
    assert shares == {1: pytest.approx(1), 2: pytest.approx(0)}


def test_a_see_through_plant_hides_little() -> None:
    airy = crown_of("columnar", 1.8, 1.2)
    points, weights = silhouette(0, 1.6, crown_of("mound", 0.5, 0.5))
    owners = np.full(len(points), 2)
    seen = visible_share(points, owners, EYE, solids([row(0, 0.5, airy, 1)]), np.array([0.9]))
    assert 0.8 < seen[:, 0] @ weights < 1


def test_a_post_hides_what_is_straight_behind_it() -> None:
    post = crown_of("columnar", 2.0, 0.5)
    points, weights = silhouette(0, 2.0, crown_of("columnar", 1, 0.3))
    owners = np.full(len(points), 2)
    bed = solids([row(0, 0.2, post, 1)])
    seen = visible_share(points, owners, eyes_facing(points, "front", (-3.0, 0.0, 3.0, 4.0)), bed, np.zeros(1))
    assert [float(share) for share in weights @ seen] == pytest.approx([1, 1, 0, 1, 1], abs=1e-9)


def test_eyes_stand_before_each_side() -> None:
    target = np.array([[4.0, 1.0, 0.4]])
    front = eyes_facing(target, "front", BOX, height=1.2)[0]
    assert front[:, 0].tolist() == [2, 3, 4, 5, 6] and set(map(tuple, front[:, 1:])) == {(-2.5, 1.2)}
    back = eyes_facing(target, "back", BOX)[0]
    assert set(map(tuple, back[:, 1:])) == {(6.5, 1.6)}
    left, right = eyes_facing(target, "left", BOX)[0], eyes_facing(target, "right", BOX)[0]
    assert set(left[:, 0]) == {-2.5} and set(right[:, 0]) == {11.5}
    assert left[:, 1].tolist() == right[:, 1].tolist() == [0, 0, 1, 2, 3]


def test_each_target_may_have_its_own_eyes() -> None:
    targets = np.array([[0.5, 1.0, 0.4], [8.0, 2.0, 0.4]])
    eyes = eyes_facing(targets, "front", BOX)
    assert eyes[0, :, 0].tolist() == [0, 0, 0.5, 1.5, 2.5]
    assert eyes[1, :, 0].tolist() == [6, 7, 8, 9, 9]
    bed = solids([row(x, 0.5, crown_of("rounded", 1.5, 0.5), int(x)) for x in range(10)])
    tau, owners = np.full(10, 0.2), np.full(2, -1)
    together = visible_share(targets, owners, eyes, bed, tau)
    for index in (0, 1):
        alone = visible_share(targets[index : index + 1], owners[:1], eyes[index], bed, tau)
        assert together[index] == pytest.approx(alone[0])
    assert together.min() < 0.7


def test_front_elevation() -> None:
    heights = elevation(0, 3, [(1.0, crown_of("columnar", 0.8, 1.0)), (1.2, crown_of("conical", 2.0, 0.8))])
    assert len(heights) == 30
    assert heights[4] == heights[16] == 0
    assert heights[15] == pytest.approx(0.25)
    assert heights[5] == 0.8
    # On the cone 0.05 m from its tip, 2 (1 − 0.05 / 0.4).
    assert heights[11:13] == pytest.approx([1.75, 1.75])
    assert occupied(heights, 0.6) == pytest.approx(10 / 30)
    assert longest_gap(heights, 0.6) == (15, 30)


def test_a_crown_beyond_the_run_is_left_out() -> None:
    assert not any(elevation(0, 2, [(-3.0, crown_of("mat", 1, 1)), (5.0, crown_of("mat", 1, 1))]))
    assert elevation(0, 1, [(0.0, crown_of("mat", 1, 0.6))])[:4] == [1, 1, 1, 0]


def test_gaps() -> None:
    assert longest_gap([1, 1], 0.6) == (0, 0)
    assert longest_gap([0, 1, 0, 0, 1, 0], 0.6) == (2, 4)
    assert longest_gap([0, 0], 0.6) == (0, 2)
