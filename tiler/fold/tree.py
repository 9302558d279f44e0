"""The panel tree: which panel hangs on which, from the root that stays where it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tiler.errors import StructureError, UsageError
from tiler.fold.hinges import Hinge, curved_pairs, hinges_of
from tiler.geometry import Point
from tiler.structure.model import Structure
from tiler.structure.panels import Panel

_AS_LARGE = 0.01
"""Panels that differ in area by less than this share count as equally large."""
MOST_PANELS = 150
"""More panels than this that hang together are no box: even large ones have some forty (common
practice, no source), and the edges that meet are looked for in pairs."""
_WALL, _ALL_ROUND = 0.15, 4
"""A wall has at least this share of its base's area, and so many of them go all round."""


@dataclass(frozen=True)
class Node:
    """A panel in the tree."""

    panel: Panel
    hinge: Hinge | None = None
    """What it hangs on; None for the root and for a panel that is stiffly joined."""
    parent: str | None = None
    """None for the root."""

    @property
    def side(self) -> Point:
        """Unit vector square to the hinge, from the parent into the panel.

        Raises:
            AssertionError: The panel hangs on no hinge.
        """
        assert self.hinge is not None, "the root hangs on nothing"
        assert self.parent is not None, "a hinge has a parent"
        return self.hinge.away(self.parent)

    @property
    def depth(self) -> float:
        """How far the panel reaches from its hinge, mm; 0 for the root."""
        if self.hinge is None:
            return 0.0
        side, start = self.side, self.hinge.start
        return max((p.x - start.x) * side.x + (p.y - start.y) * side.y for p in self.panel.polygon)


@dataclass(frozen=True)
class Tree:
    """All panels that hang together, parents before their children."""

    nodes: tuple[Node, ...]
    unused: tuple[Hinge, ...] = ()
    """Hinges that close a ring and are left open."""
    reports: tuple[str, ...] = ()
    """What does not fold, a sentence each."""

    @property
    def root(self) -> Panel:
        """The panel that stays."""
        return self.nodes[0].panel

    def node(self, name: str) -> Node:
        """The node of a panel."""
        return next(node for node in self.nodes if node.panel.id == name)

    def children(self, name: str) -> tuple[Node, ...]:
        """The panels that hang on one."""
        return tuple(node for node in self.nodes if node.parent == name)

    def hinged(self) -> Iterator[tuple[Node, Hinge]]:
        """All panels that hang on a hinge, with it."""
        for node in self.nodes:
            if node.hinge is not None:
                yield node, node.hinge


def grow_tree(structure: Structure, root: str | None = None) -> Tree:
    """Hang the panels on each other, along the longest creases first.

    Args:
        structure: Panels and creases.
        root: Name of the panel that stays; None takes the largest.

    Raises:
        StructureError: There is no panel, or more hang together than a box has.
        UsageError: There is no panel of that name.
    """
    if not structure.panels:
        raise StructureError(
            "the flat has no panels to fold", "its cuts and creases must enclose some: see tiler panels"
        )
    hinges, reports = hinges_of(structure.panels, structure.creases)
    stiff = curved_pairs(structure.creases, hinges)
    start = _root(structure.panels, hinges, root)
    nodes, unused = _hang(structure.panels, start, hinges, stiff)
    if len(nodes) > MOST_PANELS:
        raise StructureError(
            f"the {len(nodes)} panels that hang together are more than a box has, so they are not folded",
            "leave out what is no line of the box, as in --line-as NAME=ignore; tiler panels lists the names",
        )
    reached = {node.panel.id for node in nodes}
    apart = [panel.id for panel in structure.panels if panel.id not in reached]
    found = [*reports, *(_ring_words(hinge) for hinge in unused)]
    if len(structure.panels) == 1:
        found.append("the flat is a single panel, so there is nothing to fold")
    if apart:
        names = ", ".join(apart[:6]) + (" and others" if len(apart) > 6 else "")
        found.append(f"no crease joins {names} to {start.id}, so what hangs there is left out of the fold")
    return Tree(tuple(nodes), tuple(unused), tuple(found))


def _largest(panels: Sequence[Panel], hinges: Sequence[Hinge]) -> Panel:
    """The largest panel; of several as large, as lid and base are, one with walls all round or the first."""
    area = {panel.id: panel.area for panel in panels}
    walls = dict.fromkeys(area, 0)
    for hinge in hinges:
        for panel in (hinge.first, hinge.second):
            walls[panel] += area[hinge.other(panel)] >= _WALL * area[panel]
    least = (1 - _AS_LARGE) * max(area.values())
    return max((p for p in panels if p.area >= least), key=lambda panel: walls[panel.id] >= _ALL_ROUND)


def _root(panels: Sequence[Panel], hinges: Sequence[Hinge], wanted: str | None) -> Panel:
    """The panel of that name, or the largest.

    Raises:
        UsageError: There is none of that name.
    """
    if wanted is None:
        return _largest(panels, hinges)
    for panel in panels:
        if panel.id == wanted.upper():
            return panel
    raise UsageError(f"there is no panel {wanted}", f"the flat has P1 to P{len(panels)}")


def _hang(
    panels: Sequence[Panel], root: Panel, hinges: Sequence[Hinge], stiff: Sequence[tuple[str, str]]
) -> tuple[list[Node], list[Hinge]]:
    """Grow from the root, always by the longest hinge that reaches a new panel; stiff joints come last."""
    by_name = {panel.id: panel for panel in panels}
    nodes, reached = [Node(root)], {root.id}
    left = sorted(hinges, key=lambda hinge: (-round(hinge.length, 1), hinge.start))
    while True:
        step = next((h for h in left if (h.first in reached) != (h.second in reached)), None)
        if step is not None:
            left.remove(step)
            parent = step.first if step.first in reached else step.second
            nodes.append(Node(by_name[step.other(parent)], step, parent))
        else:
            joint = next((p for p in stiff if (p[0] in reached) != (p[1] in reached)), None)
            if joint is None:
                return nodes, [hinge for hinge in left if hinge.first in reached]
            parent, child = joint if joint[0] in reached else joint[::-1]
            nodes.append(Node(by_name[child], None, parent))
        reached.add(nodes[-1].panel.id)


def _ring_words(hinge: Hinge) -> str:
    """What is said of a hinge that closes a ring of panels."""
    x, y = (hinge.start.x + hinge.end.x) / 2, (hinge.start.y + hinge.end.y) / 2
    return (
        f"the crease between {hinge.first} and {hinge.second} at ({x:.0f}, {y:.0f}) mm closes a ring of "
        "panels that no stiff board can fold one by one, so it is left open"
    )
