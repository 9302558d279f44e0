"""What the sheets say about the job, and which marks they carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tiler.geometry import Point, Rect, Size
from tiler.marks.box_picture import BoxPicture

Show = Literal["full", "tabs", "none"]
"""Registration marks on both sides of a seam, only off the face, or none."""

GuideMode = Literal["full", "ticks", "none"]
"""Crease guides on the face with ticks beyond, only the ticks, or none."""

Flip = Literal["long", "short"]
"""The edge of the paper over which a sheet printed on both sides is turned."""

GuideKind = Literal["crease", "perforation", "cut", "partial cut"]
"""What is done along a guide line."""


@dataclass(frozen=True)
class GuideLine:
    """A straight line of the structure, in plan coordinates (after the job's scale), mm."""

    start: Point
    end: Point
    kind: GuideKind = "crease"
    ticks: bool = True
    """True when there is waste or paper beyond both ends, where ticks may stand."""


@dataclass(frozen=True)
class PanelName:
    """The name of a panel, and where to write it."""

    text: str
    centre: Point
    """Plan coordinates (after the job's scale), mm."""


@dataclass(frozen=True)
class CheckSpot:
    """A check point of the job."""

    sign: str
    """The letter that stands for it on the map and on the sheets."""
    name: str
    at: Point
    """Plan coordinates (after the job's scale), mm."""
    in_waste: bool = False
    """True outside all panels, so that it may be marked where it is."""


@dataclass(frozen=True)
class MeetingEdge:
    """One of the two edges that come together in the closed box."""

    text: str
    """The meeting's name, such as ``m3``; it stands at both edges."""
    start: Point
    """Plan coordinates (after the job's scale), mm."""
    end: Point
    away: Point
    """Unit vector from the edge to its name: into the waste, else into the panel."""
    spots: tuple[Point, ...] = ()
    """Middles for the name in the waste, where a sheet may print it, best first; plan coordinates, mm."""


@dataclass(frozen=True)
class FoldFacts:
    """The box that the flat folds into."""

    size: tuple[float, float, float]
    """Length, width and depth after scaling, mm."""
    ups: tuple[tuple[str, float | None], ...] = ()
    """Each panel with the degrees clockwise from the flat's top to what is up when the box stands; None for
    one that lies level."""
    upside_down: tuple[str, ...] = ()
    """Panels whose text stands on its head in use."""
    edges: tuple[MeetingEdge, ...] = ()
    """Both edges of every meeting."""
    picture: BoxPicture | None = None
    """The box from before its right corner; None when there is nothing to see."""
    board: str = ""
    """A sentence on the paper mock against the real board; empty when its caliper is not known."""


@dataclass(frozen=True)
class InsidePrint:
    """The print on the backs of the tiles."""

    name: str
    """File and page, such as ``lid.pdf, page 2``."""
    size: Size
    """True size of its box, before scaling, mm."""
    flip: Flip = "long"


@dataclass(frozen=True)
class Facts:
    """All that is printed about a job. The plan itself holds the geometry."""

    file_name: str
    """Name of the flat's file, without its folder."""
    page: int
    """Page of that file, counted from 1."""
    box: str
    """The tiled page box, such as ``bleed``; empty for an image."""
    revision: str
    """First 8 hex digits of the flat's SHA-256."""
    date: str
    """As printed, ISO 8601, such as ``2026-01-05``."""
    scale: float
    """1.0 prints at true size."""
    flat: Size
    """True size of the tiled box, before scaling, mm."""
    sheet_count: int
    """Tiles in the whole plan, whether printed this time or not."""
    printer: str | None = None
    """Name of the printer profile; None without one."""
    correction: str = ""
    """What the profile corrects, such as ``across +0.3 %, down -0.1 %``; empty when nothing is known."""
    folded: tuple[float, float, float] | None = None
    """Length, width and depth of the folded box after scaling, mm; None when not known."""
    guides: tuple[GuideLine, ...] = ()
    """Creases, cuts and perforations."""
    panels: tuple[PanelName, ...] = ()
    """Panels to name on the map page."""
    marks: Show = "full"
    """Which registration marks the tiles carry, so that the instructions speak of no other."""
    part: str = ""
    """Part and side, such as ``lid outside``; empty when the job has one part."""
    inside: InsidePrint | None = None
    """What the backs of the tiles carry; None leaves them blank."""
    fold: FoldFacts | None = None
    """How the box folds and stands; None when it is not known."""
    check_points: tuple[CheckSpot, ...] = ()
    """Spots to inspect, in the job's order."""
    numbers: tuple[tuple[str, Point], ...] = ()
    """Number and middle of each text on the proof list, plan coordinates, mm; empty without that list."""
    replaces: str = ""
    """Revision whose sheets these replace, written as ``revision`` is; empty for a whole pack."""


@dataclass(frozen=True)
class MarkOptions:
    """Which marks the tiles carry."""

    marks: Show = "full"
    guides: GuideMode = "full"
    lighten: float = 0.0
    """Share of white laid over the artwork, 0 to 0.9."""
    avoid: tuple[Rect, ...] = ()
    """Places in plan coordinates, mm, that registration marks keep off where they can."""


def scale_words(scale: float) -> str:
    """The scale as people say it.

    >>> scale_words(1.0), scale_words(0.5), scale_words(2.0), scale_words(0.3)
    ('true size', 'scale 1:2', 'scale 2:1', 'scale 30 %')
    """
    if abs(scale - 1) < 1e-9:
        return "true size"
    for larger, form in ((1 / scale, "scale 1:{}"), (scale, "scale {}:1")):
        if larger > 1 and abs(larger - round(larger)) < 1e-6:
            return form.format(round(larger))
    return f"scale {scale * 100:g} %"
