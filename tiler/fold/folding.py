"""A folded flat: the tree with an angle at every hinge, and where each panel lies, open or closed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from tiler.errors import UsageError
from tiler.fold.choices import DEFAULTS, FoldChoices
from tiler.fold.closing import angle_under, closing_angles, has_open_corners
from tiler.fold.edges import Edge
from tiler.fold.rigid import Rigid, fold_about
from tiler.fold.rows import Row, find_row
from tiler.fold.spatial import contacts, placed_edges
from tiler.fold.tree import Node, Tree, grow_tree
from tiler.structure.model import Structure

How = Literal["told", "ring", "closing edges", "laid under", "laid flat", "default"]
"""Where an angle comes from."""

RIGHT_ANGLE = 90.0
_LEAST, _MOST = 5.0, 179.0
"""A flap that goes under a panel folds by an angle between these, degrees."""
_INNER = (0.75, 1.02)
"""An inner wall reaches this far of its outer wall (common practice, no source)."""
_WALL = 0.9
"""A wall has less than this share of the area of its base; leaves of a folder are all of one size."""
_CLOSE_LENGTH = 0.5
"""Share of a flap's hinge along which the panel over it must end."""


@dataclass(frozen=True)
class Fold:
    """The angle at one hinge."""

    angle: float
    """Degrees when closed; positive folds away from the printed side."""
    how: How


@dataclass(frozen=True)
class Folding:
    """A flat with all its folds known."""

    tree: Tree
    folds: Mapping[str, Fold]
    """By the panel that hangs on the hinge."""
    choices: FoldChoices
    row: Row | None
    """The ring of panels, where there is one."""

    def places(self, opening: float = 0.0) -> dict[str, Rigid]:
        """Where every panel lies; the root stays in the plane of the flat.

        Args:
            opening: 0 is closed, 1 is flat, 0.5 is half open. Flaps that go under a panel fold first, as
                hands do it: they are folded when the box is half open.
        """
        shut = 1 - opening
        early = min(1.0, 2 * shut)
        return _places(
            self.tree,
            {name: f.angle * (early if f.how == "laid under" else shut) for name, f in self.folds.items()},
        )

    @cached_property
    def closed(self) -> dict[str, Rigid]:
        """Where every panel of the closed box lies."""
        return self.places()

    @property
    def reports(self) -> tuple[str, ...]:
        """What does not fold, a sentence each."""
        return self.tree.reports


def fold(structure: Structure, choices: FoldChoices = DEFAULTS) -> Folding:
    """Find the angle of every hinge.

    What the user told comes first, then rings of panels, then closing edges, then flaps that go under a
    panel, then inner walls laid flat; whatever is left folds by 90 degrees.

    Args:
        structure: Panels and creases.
        choices: Root, told angles.

    Raises:
        StructureError: There is no panel.
        UsageError: A named panel or crease does not exist.
    """
    tree = grow_tree(structure, choices.root)
    row = find_row(tree)
    folds = _told(tree, choices)
    _add(folds, _of_row(tree, row), "ring")
    if has_open_corners(tree):
        _add(folds, {node.panel.id: 180 * hinge.sign for node, hinge in tree.hinged()}, "laid flat")
    known = {name: found.angle for name, found in folds.items()}
    _add(folds, closing_angles(tree, known), "closing edges")
    _add(folds, _inner_walls(tree), "laid flat")
    defaults = {node.panel.id: RIGHT_ANGLE * hinge.sign for node, hinge in tree.hinged()}
    _add(folds, _laid_under(tree, {**defaults, **{k: v.angle for k, v in folds.items()}}), "laid under")
    _add(folds, defaults, "default")
    return Folding(tree, folds, choices, row)


def _add(folds: dict[str, Fold], angles: Mapping[str, float], how: How) -> None:
    """Take over angles of hinges that have none yet."""
    for name, angle in angles.items():
        folds.setdefault(name, Fold(angle, how))


def _told(tree: Tree, choices: FoldChoices) -> dict[str, Fold]:
    """Angles that the user gave.

    Raises:
        UsageError: There is no crease between the panels.
    """
    names = {frozenset((hinge.first, hinge.second)): node.panel.id for node, hinge in tree.hinged()}
    folds = {}
    for first, second, angle in choices.angles:
        name = names.get(frozenset((first, second)))
        if name is None:
            raise UsageError(
                f"no straight crease between {first} and {second} is folded",
                "name two panels that share a crease; tiler panels lists them",
            )
        folds[name] = Fold(angle, "told")
    return folds


def _of_row(tree: Tree, row: Row | None) -> dict[str, float]:
    """The angles of a ring, by the panel that hangs."""
    if row is None:
        return {}
    by_hinge = {hinge: node.panel.id for node, hinge in tree.hinged()}
    return {by_hinge[hinge]: angle for hinge, angle in row.angles}


def _inner_walls(tree: Tree) -> dict[str, float]:
    """Walls folded over into the box: as wide as their outer wall and a little less deep."""
    found = {}
    for node, hinge in tree.hinged():
        outer = tree.node(node.parent or "")
        if outer.hinge is None or outer.depth <= 0:
            continue
        base = tree.node(outer.parent or "")
        if hinge.sign != outer.hinge.sign or outer.panel.area > _WALL * base.panel.area:
            continue
        is_opposite = node.side.x * outer.side.x + node.side.y * outer.side.y > 0.999
        is_as_wide = hinge.length >= 0.85 * outer.hinge.length
        if is_opposite and is_as_wide and _INNER[0] <= node.depth / outer.depth <= _INNER[1]:
            found[node.panel.id] = 180.0 * hinge.sign
    return found


def _laid_under(tree: Tree, angles: Mapping[str, float]) -> dict[str, float]:
    """Flaps at the edge of the tree that go under a panel whose free edge comes to their crease."""
    places = _places(tree, angles)
    parents = {node.parent for node in tree.nodes}
    leaves = {node.panel.id: node for node in tree.nodes if node.panel.id not in parents and node.hinge}
    found: dict[str, float] = {}
    for contact in contacts(placed_edges(tree.nodes, places)):
        for flap, over in ((contact.first, contact.second), (contact.second, contact.first)):
            node = leaves.get(flap.edge.panel)
            if node is None or not _is_hinge(node, flap.edge, contact.end - contact.begin):
                continue
            angle = angle_under(node, places[node.parent or ""], over.inward)
            assert node.hinge is not None, "leaves hang on hinges"
            if _LEAST <= angle * node.hinge.sign <= _MOST:
                near_square = abs(abs(angle) - RIGHT_ANGLE) < 1.5
                found.setdefault(node.panel.id, RIGHT_ANGLE * node.hinge.sign if near_square else angle)
    return found


def _is_hinge(node: Node, edge: Edge, common: float) -> bool:
    """True when an edge of a flap is its hinge and most of it lies on another panel's edge."""
    assert node.hinge is not None, "leaves hang on hinges"
    on_line = all(abs(node.hinge.distance(place)) < 0.5 for place in (edge.start, edge.end))
    return on_line and common >= _CLOSE_LENGTH * node.hinge.length


def _places(tree: Tree, angles: Mapping[str, float]) -> dict[str, Rigid]:
    """Where every panel lies for the given angles, degrees."""
    places: dict[str, Rigid] = {}
    for node in tree.nodes:
        if node.parent is None:
            places[node.panel.id] = Rigid()
        elif node.hinge is None:
            places[node.panel.id] = places[node.parent]
        else:
            step = fold_about(node.hinge.start, node.side, angles.get(node.panel.id, 0.0))
            places[node.panel.id] = places[node.parent].after(step)
    return places
