"""Load a flat: read it and look at it once, at true size, before any choice of paper is made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from tiler.errors import StructureError, UsageError
from tiler.flat.read import Flat, Wanted, read_flat
from tiler.job import Job

if TYPE_CHECKING:
    from tiler.flat.layers import Key
    from tiler.flat.raster import Mask
    from tiler.flat.text import TextRun
    from tiler.fold.choices import FoldChoices
    from tiler.folding import Fold
    from tiler.structure.lines import Found
    from tiler.structure.model import Structure
    from tiler.structure.scope import Overrides

Progress = Callable[[str, float], None]
"""Called with what is being done, in words, and the share of the whole that is done (0 to 1).

It may raise to stop the run; nothing is written then.
"""


@dataclass(frozen=True)
class Loaded:
    """A flat with what was found on it, at true size; it holds for every choice of paper and marks."""

    flat: Flat
    structure: Structure
    """Cuts, creases and panels; empty where the flat tells of none."""
    texts: tuple[TextRun, ...] = ()
    """Text that is live in the file."""
    inside: Flat | None = None
    """The inside print, of the flat's size; None without one."""

    @cached_property
    def ink(self) -> Mask:
        """Where the flat has ink, or its inside print behind it; looked at only when it is needed."""
        from tiler.flat.raster import ink_mask
        from tiler.inside import both_inks

        ink = ink_mask(self.flat)
        return ink if self.inside is None else both_inks(ink, ink_mask(self.inside))

    @cached_property
    def folds(self) -> dict[FoldChoices, Fold]:
        """The flat as it has been folded so far, by the choices made."""
        return {}

    def look_for_ink(self, meanwhile: Callable[[], object]) -> None:
        """Find the ink now, and do something else where a second process can draw."""
        if "ink" not in self.__dict__:
            from tiler.flat.raster import ink_mask

            self.__dict__["ink"] = ink_mask(self.flat, meanwhile)  # where the cached property keeps it

    @property
    def structure_layers(self) -> frozenset[Key]:
        """Layers that hold structure lines and nothing else to print."""
        return frozenset(layer.key for layer in self.structure.layers if layer.key != (0, 0))


def quietly(stage: str, share: float) -> None:
    """A ``Progress`` that tells nobody."""


def load(job: Job, progress: Progress = quietly) -> Loaded:
    """Read the flat and find its lines and texts.

    Raises:
        TilerError: The flat or its line file cannot be read.
    """
    from tiler.inside import read_inside

    progress("reading the flat", 0.0)
    flat = read_flat(job.flat, job.wanted)
    inside = read_inside(job, flat)
    progress("looking for cuts and creases", 0.05)
    structure = find_structure(job, flat)
    progress("looking for text", 0.2)
    return Loaded(flat, structure, _texts(flat), inside)


def look_again(job: Job, loaded: Loaded) -> Loaded:
    """The loaded flat with its structure as the job's choices now have it.

    Raises:
        TilerError: The line file cannot be read.
    """
    return replace(loaded, structure=find_structure(job, loaded.flat))


def find_structure(job: Job, flat: Flat) -> Structure:
    """Cuts, creases and panels of a flat, from the line file where the job names one.

    Raises:
        TilerError: The line file cannot be read or does not fit the flat, or a kind is unknown.
    """
    from tiler.structure.model import Structure

    found = _with_told_creases(job, _lines(job, flat, _overrides(job)))
    if not found.lines:
        return Structure(candidates=found.candidates, layers=found.layers, reports=found.reports)
    from tiler.structure.structure import read_structure

    return read_structure(found)


def _lines(job: Job, flat: Flat, overrides: Overrides) -> Found:
    """Lines that files tell of."""
    from tiler.flat.limits import raised_limits, readable
    from tiler.flat.pdf import PdfFlat
    from tiler.structure.find import find_lines, lines_from_other
    from tiler.structure.lines import Found

    if job.lines is not None:
        other = read_flat(job.lines, Wanted(box=_same_box(flat)))
        if not isinstance(other.source, PdfFlat):
            raise StructureError(
                f"{job.lines.name}: is a picture and holds no lines", "name a PDF with --lines"
            )
        with raised_limits(other.source.file_size), readable(other.path.name):
            view = other.source.seen
            return lines_from_other(other.source.page, view.to_flat, view.size, flat.size, overrides)
    if isinstance(flat.source, PdfFlat):
        with raised_limits(flat.source.file_size), readable(flat.path.name):
            view = flat.source.seen
            return find_lines(flat.source.page, view.to_flat, view.size, overrides)
    return Found()


def _same_box(flat: Flat) -> str:
    """The box of a line file that lies on the flat's; a picture has no boxes."""
    from tiler.flat.pdf import PdfFlat

    return flat.box if isinstance(flat.source, PdfFlat) else "auto"


def _overrides(job: Job) -> Overrides:
    """Kinds that the user gave to names.

    Raises:
        UsageError: A kind is none of ours.
    """
    from tiler.structure.kinds import LineKind

    kinds: dict[str, LineKind | None] = {}
    for name, kind in job.line_as:
        if kind == "ignore":
            kinds[name] = None
        elif kind in list(LineKind):
            kinds[name] = LineKind(kind)
        else:
            words = ", ".join([*LineKind, "ignore"])
            raise UsageError(f"'{kind}' is no kind of line", f"choose one of {words}")
    return kinds


def _with_told_creases(job: Job, found: Found) -> Found:
    """The lines with those that the user gave by hand."""
    if not job.creases:
        return found
    from tiler.structure.lines import Line

    told = tuple(Line.between(*start, *end) for start, end in job.creases)
    return replace(found, lines=(*found.lines, *told))


def _texts(flat: Flat) -> tuple[TextRun, ...]:
    """Live text; nothing where a glance shows that there is none."""
    from tiler.flat.glance import may_hold_text

    if not may_hold_text(flat):
        return ()
    from tiler.flat.text import text_runs

    return text_runs(flat)
