"""Turns in space against an independent library."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.fold.rigid import Rigid, fold_about, rotation

# scipy 1.17.1, scipy.spatial.transform.Rotation.from_rotvec(axis · angle).as_matrix(), rounded to 9 decimals.
SCIPY = [
    (
        (1 / 3, 2 / 3, 2 / 3),
        37.0,
        [
            [0.821009342, -0.356462351, 0.44595768],
            [0.44595768, 0.888130839, -0.111109679],
            [-0.356462351, 0.290100337, 0.888130839],
        ],
    ),
    ((0.6, 0.8, 0.0), 90.0, [[0.36, 0.48, 0.8], [0.48, 0.64, -0.6], [-0.8, 0.6, 0.0]]),
    (
        (-2 / 3, 1 / 3, 2 / 3),
        -143.5,
        [
            [-0.0021427, -0.004308556, -0.999988423],
            [-0.797405605, -0.603428321, 0.004308556],
            [-0.603439898, 0.797405605, -0.0021427],
        ],
    ),
]


@pytest.mark.parametrize(("axis", "degrees", "matrix"), SCIPY)
def test_a_turn_is_that_of_scipy(
    axis: tuple[float, float, float], degrees: float, matrix: list[list[float]]
) -> None:
    assert rotation(np.array(axis), degrees) == pytest.approx(np.array(matrix), abs=1e-8)


def test_a_fold_leaves_its_line_and_sends_the_flap_behind_the_print() -> None:
    folded = fold_about((10, 20), (1, 0), 90)
    assert folded.place([(10, 5), (10, 50), (13, 20)]) == pytest.approx(
        np.array([[10, 5, 0], [10, 50, 0], [10, 20, 3]]), abs=1e-12
    )


@pytest.mark.parametrize(("degrees", "depth"), [(90, 3), (-90, -3), (180, 0)])
def test_a_negative_fold_comes_towards_the_print(degrees: float, depth: float) -> None:
    x, _, z = fold_about((10, 20), (1, 0), degrees).place([(13, 20)])[0]
    assert z == pytest.approx(depth, abs=1e-12)
    assert x == pytest.approx(7 if degrees == 180 else 10)


def test_motions_follow_each_other() -> None:
    first, second = fold_about((0, 0), (0, 1), 30), fold_about((5, 5), (0.6, 0.8), -75)
    point = np.array([1.0, 2.0, 3.0])
    assert second.after(first).apply(point) == pytest.approx(second.apply(first.apply(point)))
    assert Rigid().outside == pytest.approx([0, 0, -1])


@pytest.mark.parametrize("degrees", [-170.0, -37.5, 12.25, 90.0, 144.0])
def test_a_turn_has_the_axis_and_the_angle_that_numpy_finds_in_it(degrees: float) -> None:
    axis = np.array([2.0, -3.0, 6.0]) / 7
    turn = rotation(axis, degrees)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1)
    # Euler: a turn by θ has the eigenvalues 1 (its axis) and exp(±iθ).
    values, vectors = np.linalg.eig(turn)
    found = sorted(np.degrees(np.angle(values)).tolist())
    assert found == pytest.approx([-abs(degrees), 0, abs(degrees)], abs=1e-6)
    kept = np.real(vectors[:, int(np.argmin(np.abs(values - 1)))])
    assert abs(kept @ axis) == pytest.approx(1)
