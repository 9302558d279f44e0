"""A job: every choice of a mock with its default. Both front ends take them from here; neither has a copy."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from tiler.checks.waiver import Waiver
from tiler.flat.read import Wanted
from tiler.fold.choices import FoldChoices
from tiler.geometry import Margins, Point
from tiler.plan.request import Forbidden, Nudge, Pin
from tiler.plan.sheet import Sheet


@dataclass(frozen=True)
class CheckPoint:
    """A spot of the flat that the user wants to inspect on the mock."""

    name: str
    at: Point
    """True-size flat millimetres."""


@dataclass(frozen=True)
class Job:
    """All choices of one mock."""

    flat: Path
    sheet: Sheet
    """The paper in the printer."""
    wanted: Wanted = field(default=Wanted())
    """Page, box, picture size, password."""
    margins: Margins | None = None
    """Unprintable edges of the upright sheet, mm; None takes the profile's, else ``UNKNOWN_PRINTER``."""
    overlap: float = 12.0
    """Width of a glue tab, mm (common practice 10 to 15 mm, no source)."""
    scale: float = 1.0
    """1.0 is true size."""
    layout: Literal["strips", "grid"] = "strips"
    """Strips with seams of their own, or a plain grid."""
    orientation: Literal["auto", "portrait", "landscape"] = "auto"
    marks: Literal["full", "tabs", "none"] = "full"
    """Registration marks on both sides of a seam, only off the face, or none."""
    lighten: float = 0.0
    """Share of white laid over the artwork, 0 to 0.9."""
    tiles: tuple[str, ...] = ()
    """Labels of the tiles to print; empty prints all."""
    guides: Literal["full", "ticks", "none"] = "full"
    """Crease guides on the face with ticks beyond, only the ticks, or none."""
    lines: Path | None = None
    """A separate line file that holds the structure."""
    line_as: tuple[tuple[str, str], ...] = ()
    """Layer or spot colour names with the kind that the user gives them; ``ignore`` leaves a name out."""
    creases: tuple[tuple[Point, Point], ...] = ()
    """Creases told by hand, true-size flat millimetres."""
    pins: tuple[Pin, ...] = ()
    """Where a seam must lie, millimetres on paper."""
    forbidden: tuple[Forbidden, ...] = ()
    """Where no seam may lie, millimetres on paper."""
    nudges: tuple[Nudge, ...] = ()
    """Seams moved by hand after planning, millimetres on paper."""
    check_points: tuple[CheckPoint, ...] = ()
    """Spots to inspect, which seams keep away from."""
    printer: str | None = None
    """Name of a printer profile, whose margins and correction hold then; None without one."""
    inside: Path | None = None
    """File of the inside print, seen from inside, for the backs of the tiles; None leaves them blank."""
    inside_page: int = 1
    """Page of that file, counted from 1."""
    flip: Literal["long", "short"] = "long"
    """The edge of the paper over which sheets with an inside print are turned."""
    proof: bool = False
    """True adds the proof list to the pack: every text, number and check point, to be ticked."""
    corners: bool = False
    """True adds the corner strips to the pack: the art of both sides of every meeting, edge to edge."""
    limits: Path | None = None
    """File with limits of the house for the checks; None takes the built-in ones."""
    words: Path | None = None
    """File with the words that spelling is held against; None takes the system's, if it has one."""
    waivers: tuple[Waiver, ...] = ()
    """Findings set aside by a person, each with a reason."""
    fold: FoldChoices = field(default=FoldChoices())
    """How the flat is folded."""

    @property
    def inputs(self) -> tuple[Path, ...]:
        """Files that are read and must not be written."""
        paths = (self.flat, self.lines, self.inside, self.limits, self.words)
        return tuple(path for path in paths if path is not None)
