"""Things that lie together are told once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from typing import TypeVar

import numpy as np
import shapely

from tiler.geometry import Rect

MOST = 4000
"""More things of one kind than this are told as one, wherever they lie."""

Item = TypeVar("Item")


def clusters(boxes: Sequence[Rect], distance: float) -> list[list[int]]:
    """Indices of boxes that lie within ``distance`` mm of each other, directly or through others."""
    if len(boxes) > MOST:
        return [list(range(len(boxes)))]
    if len(boxes) < 2:
        return [[index] for index in range(len(boxes))]
    edges = np.array([(box.x, box.y, box.right, box.bottom) for box in boxes])
    shapes = shapely.box(*edges.T)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=distance)
    parent = list(range(len(boxes)))

    def root(index: int) -> int:
        while parent[index] != index:
            parent[index] = parent[parent[index]]
            index = parent[index]
        return index

    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        if a < b:
            parent[root(b)] = root(a)
    groups: dict[int, list[int]] = defaultdict(list)
    for index in range(len(boxes)):
        groups[root(index)].append(index)
    return list(groups.values())


def grouped(
    items: Sequence[Item],
    box_of: Callable[[Item], Rect],
    key_of: Callable[[Item], Hashable],
    distance: float,
) -> list[list[Item]]:
    """Items of one key that lie within ``distance`` mm of each other, in their order."""
    by_key: dict[Hashable, list[Item]] = defaultdict(list)
    for item in items:
        by_key[key_of(item)].append(item)
    return [
        [same[index] for index in cluster]
        for same in by_key.values()
        for cluster in clusters([box_of(item) for item in same], distance)
    ]


def around(boxes: Sequence[Rect]) -> Rect:
    """The upright rectangle around at least one box."""
    box = boxes[0]
    for other in boxes[1:]:
        box = box.union(other)
    return box
