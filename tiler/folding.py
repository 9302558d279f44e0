"""How a loaded flat folds, in the words of the marks: what is up, which edges meet, and a picture."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from tiler.errors import StructureError
from tiler.geometry import Point
from tiler.job import Job
from tiler.load import Loaded

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from tiler.fold.box import FoldedBox
    from tiler.fold.choices import FoldChoices
    from tiler.fold.meetings import Side
    from tiler.marks.box_picture import BoxPicture
    from tiler.marks.facts import FoldFacts, MeetingEdge

MOST_PANELS = 40
"""Flats of more panels are no box that a map could show; they are folded only when that is asked for."""
MOST_PICTURED = 24
"""Flats of more panels get no picture: hidden parts are worked out pair by pair."""
MOST_MEETINGS = 48
"""Where more edges meet than this, the panels are rolled up rather than folded, and no name helps."""
BESIDE = (5.0, 3.5)
"""Distances on paper of a name's middle from its edge, mm: beyond a bleed, else nearer (house style)."""
_SLACK = 0.5
"""A name's middle is no nearer to any panel than to its own edge less this, mm on paper."""
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along its edge a name may stand, best first."""


@dataclass(frozen=True, eq=False)
class Fold:
    """A flat folded by one set of choices, which holds for every choice of paper."""

    box: FoldedBox
    flat_width: float
    """True size, mm."""
    has_inside: bool
    """True when there is an inside print."""

    @cached_property
    def picture(self) -> BoxPicture | None:
        """The closed box as the map shows it; None for one of very many panels."""
        if len(self.box.folding.tree.nodes) > MOST_PICTURED:
            return None
        from tiler.fold.camera import CORNERS
        from tiler.fold.scene import scene_of
        from tiler.fold.strips import picture_of

        scene = scene_of(self.box, CORNERS["front-right"])
        return picture_of(scene, self.flat_width, self.has_inside) if scene.facets else None


def fold_of(loaded: Loaded, choices: FoldChoices) -> Fold:
    """The flat, folded; remembered.

    Raises:
        StructureError: It has no panels.
        UsageError: A named panel or crease does not exist.
    """
    from tiler.fold.box import fold_flat

    if choices not in loaded.folds:
        box = fold_flat(loaded.structure, loaded.texts, choices)
        loaded.folds[choices] = Fold(box, loaded.flat.size.width, loaded.inside is not None)
    return loaded.folds[choices]


def fold_facts(job: Job, loaded: Loaded) -> FoldFacts | None:
    """What the sheets say about folding; None for a flat that is no box.

    Raises:
        UsageError: A panel or crease that the job names does not exist.
    """
    fold = _fold_for(job, loaded)
    if fold is None or fold.box.size is None:
        return None
    from tiler.fold.size import caliper_words
    from tiler.marks.facts import FoldFacts

    box, known = fold.box, fold.box.size
    scale, caliper = job.scale, job.fold.caliper
    length, width, depth = (side * scale for side in known.size)
    return FoldFacts(
        size=(length, width, depth),
        ups=tuple((panel.panel, panel.turn) for panel in box.standing.panels),
        upside_down=tuple(sorted(box.standing.upside_down, key=lambda name: int(name[1:]))),
        edges=_edges(box, scale),
        picture=fold.picture,
        board="" if caliper is None or scale != 1 else caliper_words(known, caliper),
    )


def fold_warnings(job: Job, loaded: Loaded) -> tuple[str, ...]:
    """Why the flat does not fold, or what of it does not; only when the job says anything about folding.

    Raises:
        UsageError: A panel or crease that the job names does not exist.
    """
    if not is_asked_for(job):
        return ()
    try:
        return fold_of(loaded, job.fold).box.reports
    except StructureError as error:
        return (str(error),)


def is_asked_for(job: Job) -> bool:
    """True when the job makes choices about folding, or wants the corner strips."""
    from tiler.fold.choices import DEFAULTS

    return job.fold != DEFAULTS or job.corners


def _fold_for(job: Job, loaded: Loaded) -> Fold | None:
    """The box; None for a flat without panels, or with more than a box has."""
    count = len(loaded.structure.panels)
    if not count or (count > MOST_PANELS and not is_asked_for(job)):
        return None
    try:
        return fold_of(loaded, job.fold)
    except StructureError:
        return None


def _edges(box: FoldedBox, scale: float) -> tuple[MeetingEdge, ...]:
    """Both edges of every meeting, on paper; none of very many."""
    import shapely

    if len(box.meetings) > MOST_MEETINGS:
        return ()
    board = shapely.union_all([node.panel.shape for node in box.folding.tree.nodes])
    return tuple(
        _edge(meeting.id, side, board, scale) for meeting in box.meetings for side in (meeting.a, meeting.b)
    )


def _edge(text: str, side: Side, board: BaseGeometry, scale: float) -> MeetingEdge:
    """One edge, its name in the waste where there is any beside it, else on the panel."""
    import shapely

    from tiler.marks.facts import MeetingEdge

    spots: list[Point] = []
    for far in BESIDE:
        places = [
            side.start.shifted(
                share * (side.end.x - side.start.x) - far / scale * side.inward.x,
                share * (side.end.y - side.start.y) - far / scale * side.inward.y,
            )
            for share in _SHARES
        ]
        free = shapely.distance(board, shapely.points(places)) >= (far - _SLACK) / scale
        spots += [place for place, is_free in zip(places, free, strict=True) if is_free]
    away = Point(-side.inward.x, -side.inward.y) if spots else side.inward
    return MeetingEdge(
        text,
        _on_paper(side.start, scale),
        _on_paper(side.end, scale),
        away,
        tuple(_on_paper(spot, scale) for spot in spots),
    )


def _on_paper(at: Point, scale: float) -> Point:
    return Point(at.x * scale, at.y * scale)
