"""Faces of the network of border lines, sorted into panels, holes and waste.

A *body* is a set of faces joined to each other by folds. Faces without folds are holes when they lie inside
a body or a panel, waste when they only touch it, and panels of their own (a loose part, a label) when they
stand alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import Polygon

from tiler.structure.lines import Line
from tiler.structure.mend import counted
from tiler.structure.network import Floats, Network

SLIVER = 0.1
"""Area over half the perimeter below which a face is no place but two lines side by side, mm."""
LEAST_PART = 100.0
"""A closed shape by itself smaller than this is a mark or a letter, no part, mm²."""


class Face(NamedTuple):
    """One face and the edges around it."""

    polygon: Polygon
    edges: frozenset[int]


@dataclass(frozen=True)
class Sorted:
    """Faces by what they are."""

    panels: tuple[Face, ...]
    holes: tuple[Face, ...]
    waste: tuple[Face, ...]
    reports: tuple[str, ...]


def faces_of(network: Network) -> list[Face]:
    """All faces that the edges enclose."""
    if not len(network.edges):
        return []
    number = {tuple(place): index for index, place in enumerate(network.nodes.tolist())}
    by_nodes = {(int(a), int(b)): index for index, (a, b) in enumerate(network.edges)}
    geometries = shapely.linestrings(network.ends.reshape(-1, 2, 2))
    faces = []
    for polygon in shapely.get_parts(shapely.polygonize(geometries)):
        edges: set[int] = set()
        for ring in (polygon.exterior, *polygon.interiors):
            nodes = [number[tuple(place)] for place in shapely.get_coordinates(ring).tolist()]
            edges.update(by_nodes[min(a, b), max(a, b)] for a, b in pairwise(nodes))
        faces.append(Face(polygon, frozenset(edges)))
    return faces


def sorted_faces(network: Network, lines: Sequence[Line]) -> Sorted:
    """Tell panels from holes and waste."""
    faces = faces_of(network)
    solid = [face for face in faces if 2 * face.polygon.area / face.polygon.length > SLIVER]
    reports = []
    if len(solid) < len(faces):
        reports.append(f"{counted(len(faces) - len(solid), 'sliver')} between lines side by side left out")
    is_fold = np.array([line.kind.is_fold for line in lines], dtype=bool)[network.owner]
    sides = sides_of(solid)
    groups = _groups(len(solid), [pair for edge, pair in sides.items() if len(pair) == 2 and is_fold[edge]])
    bodies = [group for group in groups if len(group) > 1]
    kinds = _kinds(solid, groups, bodies, sides)
    small = sum(1 for face, kind in zip(solid, kinds, strict=True) if kind == "mark")
    if small:
        reports.append(f"{counted(small, 'small closed shape')} beside the outline taken for marks")

    def of(*wanted: str) -> tuple[Face, ...]:
        return tuple(face for face, kind in zip(solid, kinds, strict=True) if kind in wanted)

    return Sorted(of("panel"), of("hole"), of("waste", "mark"), tuple(reports))


def sides_of(faces: Sequence[Face]) -> dict[int, tuple[int, ...]]:
    """Edge to the one or two faces it borders."""
    sides: dict[int, list[int]] = defaultdict(list)
    for number, face in enumerate(faces):
        for edge in face.edges:
            sides[edge].append(number)
    return {edge: tuple(numbers) for edge, numbers in sides.items()}


def _groups(count: int, pairs: Sequence[tuple[int, ...]]) -> list[list[int]]:
    """Faces joined by pairs, directly or through others."""
    parent = list(range(count))

    def root(face: int) -> int:
        while parent[face] != face:
            parent[face] = parent[parent[face]]
            face = parent[face]
        return face

    for first, second in pairs:
        parent[root(first)] = root(second)
    groups: dict[int, list[int]] = defaultdict(list)
    for face in range(count):
        groups[root(face)].append(face)
    return list(groups.values())


def _kinds(
    faces: Sequence[Face], groups: list[list[int]], bodies: list[list[int]], sides: dict[int, tuple[int, ...]]
) -> list[str]:
    """``panel``, ``hole``, ``waste`` or ``mark`` for every face."""
    kinds = ["panel"] * len(faces)
    points = shapely.get_coordinates([face.polygon.representative_point() for face in faces])
    areas = np.array([face.polygon.area for face in faces])
    blanks = {id(group): _filled([faces[face].polygon for face in group]) for group in bodies}
    inside = _inside(bodies, [blanks[id(group)] for group in bodies], points, areas)
    for group in bodies:
        if all(inside[face] for face in group):
            for face in group:
                kinds[face] = "hole"
    singles = [group[0] for group in groups if len(group) == 1]
    if not bodies:
        _sort_singles(faces, singles, points, kinds)
        return kinds
    standing = {face for group in bodies for face in group if kinds[face] == "panel"}
    touching = {face for pair in sides.values() if not standing.isdisjoint(pair) for face in pair}
    frames = set(_around(faces, singles, points[sorted(standing)]))
    for face in singles:
        if inside[face]:
            kinds[face] = "hole"
        elif face in touching or face in frames:
            kinds[face] = "waste"
        elif areas[face] < LEAST_PART:
            kinds[face] = "mark"
    return kinds


def _around(faces: Sequence[Face], singles: list[int], points: Floats) -> list[int]:
    """The single faces that have one of the points inside their outline, holes not minded."""
    blanks = _blanks([faces[face].polygon for face in singles])
    found = shapely.STRtree(blanks).query(shapely.points(points), predicate="within")[1]
    return [singles[index] for index in found]


def _sort_singles(faces: Sequence[Face], singles: list[int], points: Floats, kinds: list[str]) -> None:
    """Without any fold: what lies inside a larger face is a hole, whatever stands free a panel."""
    blanks = _blanks([faces[face].polygon for face in singles])
    tree = shapely.STRtree(blanks)
    inner, outer = tree.query(shapely.points(points[singles]), predicate="within")
    for first, second in zip(inner, outer, strict=True):
        if first != second and blanks[first].area < blanks[second].area:
            kinds[singles[first]] = "hole"
    free = [face for face in singles if kinds[face] == "panel"]
    if any(faces[face].polygon.area >= LEAST_PART for face in free):
        for face in free:
            if faces[face].polygon.area < LEAST_PART:
                kinds[face] = "mark"


def _inside(
    bodies: list[list[int]], blanks: list[Polygon], points: np.ndarray, areas: np.ndarray
) -> np.ndarray:
    """(n,): True for faces that lie inside the outline of a larger body they are no part of."""
    inside = np.zeros(len(points), dtype=bool)
    size_of = np.array([areas[group].sum() for group in bodies])
    of_body = np.full(len(points), -1)
    for number, group in enumerate(bodies):
        of_body[group] = number
    for number, blank in enumerate(blanks):
        shapely.prepare(blank)
        within = shapely.contains_xy(blank, points[:, 0], points[:, 1])
        within[bodies[number]] = False
        own = np.where(of_body >= 0, size_of[of_body], areas)
        inside |= within & (own < size_of[number])
    return inside


def _blanks(polygons: Sequence[Polygon]) -> list[Polygon]:
    """Each polygon with its holes filled."""
    return list(shapely.polygons(shapely.get_exterior_ring(polygons)))


def _filled(polygons: Sequence[Polygon]) -> Polygon:
    """The outline of the polygons together, holes filled."""
    union = shapely.unary_union(polygons)
    return shapely.unary_union([Polygon(part.exterior) for part in shapely.get_parts(union)])
