"""Which way is up when the box stands, for every panel and for the art on it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np
import shapely

from tiler.fold.choices import Stands
from tiler.fold.folding import Folding
from tiler.fold.rigid import Array
from tiler.geometry import Point, Rect

Reads = Literal["upright", "upside down", "sideways", "level", "unknown"]
"""How a panel reads when the box stands; level for a panel that lies, unknown without live text."""

_UP: dict[Stands, tuple[float, float, float]] = {
    "root": (0, 0, 1),
    "rim": (0, 0, -1),
    "bottom": (0, -1, 0),
    "top": (0, 1, 0),
    "left": (1, 0, 0),
    "right": (-1, 0, 0),
}
"""The direction that is up, in the frame of the root panel (x right, y down, z away from its print)."""
_LEVEL = 0.35
"""A panel leans so little that no direction on it is up: less than 20 degrees off level."""
_CLEAR = 0.7
"""Cosine of 45 degrees: nearer than this to up is upright."""
_LEAST = 0.3
"""Share of the text on panels that stand which must agree on what is up."""


class Written(Protocol):
    """Live text of a flat."""

    @property
    def text(self) -> str:
        """Its letters."""

    @property
    def box(self) -> Rect:
        """Around it, flat mm."""

    @property
    def angle(self) -> float:
        """Direction of its base line, degrees clockwise."""

    @property
    def size(self) -> float:
        """Type size, pt."""


@dataclass(frozen=True)
class Upright:
    """How one panel stands."""

    panel: str
    up: Point | None
    """Unit vector in the flat that points up when the box stands; None for a panel that lies level."""
    art: Point | None
    """Unit vector in the flat that is up for most of its live text; None without text."""
    reads: Reads

    @property
    def turn(self) -> float | None:
        """Degrees clockwise from the top of the flat to what is up; None for a level panel."""
        return None if self.up is None else math.degrees(math.atan2(self.up.x, -self.up.y))


@dataclass(frozen=True, eq=False)
class Standing:
    """How the box stands: three unit vectors in the frame of the root panel, right-handed."""

    stands: Stands
    """What was chosen or found, never ``auto``."""
    up: Array
    front: Array
    """Towards a person before the box."""
    right: Array
    """To that person's right."""
    panels: tuple[Upright, ...]
    """All panels of the tree."""

    @property
    def upside_down(self) -> tuple[str, ...]:
        """Panels whose text stands on its head in use."""
        return tuple(panel.panel for panel in self.panels if panel.reads == "upside down")


def standing_of(folding: Folding, texts: Iterable[Written] = ()) -> Standing:
    """Find how the box stands: as told, else as most of its text reads, else on its root or its row's end."""
    ups = _art_ups(folding, tuple(texts))
    wanted = folding.choices.stands
    stands = _guess(folding, ups) if wanted == "auto" else wanted
    up = np.array(_UP[stands], dtype=np.float64)
    front = np.array([0.0, 1.0, 0.0]) if stands in ("root", "rim") else np.array([0.0, 0.0, -1.0])
    panels = tuple(_upright(folding, node.panel.id, up, ups) for node in folding.tree.nodes)
    return Standing(stands, up, front, np.cross(up, front), panels)


def _art_ups(folding: Folding, texts: tuple[Written, ...]) -> dict[str, Array]:
    """For every panel with text, the sum of what is up for its letters, weighed by their area."""
    ups: dict[str, Array] = {}
    if not texts:
        return ups
    nodes = folding.tree.nodes
    tree = shapely.STRtree([node.panel.shape for node in nodes])
    middles = shapely.points([text.box.centre for text in texts])
    for text, panel in zip(*tree.query(middles, predicate="within").tolist(), strict=True):
        run = texts[text]
        weight = len(run.text.strip()) * run.size**2
        angle = math.radians(run.angle)
        name = nodes[panel].panel.id
        up = weight * np.array([math.sin(angle), -math.cos(angle), 0.0])
        ups[name] = ups.get(name, np.zeros(3)) + up
    return ups


def _guess(folding: Folding, ups: dict[str, Array]) -> Stands:
    """The direction that most text in it agrees on; text on level panels has no say."""
    row = folding.row if folding.row and folding.tree.root.id in folding.row.panels else None
    upright = row is not None and abs(row.along.y) > _CLEAR
    default: Stands = "bottom" if upright else "root"
    candidates: list[Stands] = ["root", "rim"]
    if row is not None:
        candidates += ["bottom", "top"] if upright else ["left", "right"]
    rises = {
        stands: [float(folding.closed[name].turn @ art @ np.array(_UP[stands])) for name, art in ups.items()]
        for stands in candidates
    }
    best = max(candidates, key=lambda stands: (sum(rises[stands]), stands == default))
    upright_text = sum(abs(rise) for rise in rises[best])
    agrees = sum(rises[best]) > _LEAST * upright_text and sum(rises[best]) > sum(rises[default])
    return best if agrees else default


def _upright(folding: Folding, name: str, up: Array, ups: dict[str, Array]) -> Upright:
    """One panel."""
    rise = (folding.closed[name].turn.T @ up)[:2]
    steep = float(np.hypot(*rise))
    text = ups.get(name)
    art = None if text is None or not text.any() else Point(*(text[:2] / np.hypot(*text[:2])).tolist())
    if steep < _LEVEL:
        return Upright(name, None, art, "level")
    direction = Point(*(rise / steep).tolist())
    if art is None:
        return Upright(name, direction, None, "unknown")
    cosine = direction.x * art.x + direction.y * art.y
    reads: Reads = "upright" if cosine > _CLEAR else "upside down" if cosine < -_CLEAR else "sideways"
    return Upright(name, direction, art, reads)
