"""The job's check points in the words of the marks: each with a letter, and whether it lies in the waste."""

from __future__ import annotations

from tiler.geometry import Point, Size
from tiler.job import Job
from tiler.load import Loaded
from tiler.marks.facts import CheckSpot
from tiler.units import format_number

LETTERS = "abcdefghjkmnpqrstuvwxyz"
"""Small, for tiles have capitals, and without those that read as a figure (ISO 5457 leaves out I and O)."""

CLEAR = 3.0
"""A spot nearer to a panel than this counts as on it, mm."""


def sign_of(index: int) -> str:
    """The letter of a check point, counted from 0.

    >>> sign_of(0), sign_of(8), sign_of(22), sign_of(23), sign_of(46)
    ('a', 'j', 'z', 'aa', 'ba')
    """
    before, letter = divmod(index, len(LETTERS))
    return (sign_of(before - 1) if before else "") + LETTERS[letter]


def check_spots(job: Job, loaded: Loaded) -> tuple[CheckSpot, ...]:
    """The check points, on paper."""
    if not job.check_points:
        return ()
    waste = _in_waste(loaded, [point.at for point in job.check_points])
    return tuple(
        CheckSpot(sign_of(index), point.name, Point(point.at.x * job.scale, point.at.y * job.scale), outside)
        for index, (point, outside) in enumerate(zip(job.check_points, waste, strict=True))
    )


def spot_warnings(job: Job, flat: Size) -> tuple[str, ...]:
    """Check points that are nowhere on the flat.

    Args:
        job: Names the points.
        flat: True size of the flat, mm.
    """
    return tuple(
        f"the check point '{point.name}' at {format_number(point.at.x)}, {format_number(point.at.y)} mm lies "
        f"beside the flat, which is {format_number(flat.width)} × {format_number(flat.height)} mm"
        for point in job.check_points
        if not (0 <= point.at.x <= flat.width and 0 <= point.at.y <= flat.height)
    )


def _in_waste(loaded: Loaded, points: list[Point]) -> list[bool]:
    """Which points lie so far outside all panels that a ring round them stays there; none without panels."""
    rings = loaded.structure.polygons
    if not rings:
        return [False] * len(points)
    import shapely

    board = shapely.union_all([shapely.Polygon(ring) for ring in rings])
    return [bool(far >= CLEAR) for far in shapely.distance(board, shapely.points(points))]
