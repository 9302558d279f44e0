"""The slow work behind the screen: load, plan, write and draw, through the same core as the command line.

Nothing here knows of widgets. A crash becomes a sentence; a run that is called off raises ``Stopped``.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from tiler.errors import PasswordError, PlanError, TilerError
from tiler.flat.limits import pdfium
from tiler.geometry import Rect, Size
from tiler.job import Job
from tiler.load import Loaded, load, look_again
from tiler.run import Outcome, Prepared, plan_sheets, write
from tiler.tui.pixels import PixelStore
from tiler.tui.state import reseated
from tiler.units import POINTS_PER_MM

Asked = Callable[[], bool]
"""True when the work is no longer wanted."""

Tell = Callable[[str, float], None]
"""Takes what is being done and the share of the whole that is done."""


class Stopped(Exception):  # it is no error
    """The user has called the work off."""


@dataclass(frozen=True)
class Problem:
    """What went wrong, for a notice."""

    sentence: str
    remedy: str = ""
    needs_password: bool = False


def never() -> bool:
    """An ``Asked`` for work that is always wanted."""
    return False


def problem_of(error: BaseException, doing: str) -> Problem:
    """An error as a notice; a crash is told as one, without a traceback."""
    if isinstance(error, TilerError):
        return Problem(error.message, error.remedy, isinstance(error, PasswordError))
    if isinstance(error, MemoryError):
        return Problem("there is not enough memory for this flat", "close other programs or simplify it")
    detail = (str(error).splitlines() or [""])[0][:100]
    kind = type(error).__name__
    return Problem(
        f"{doing} has failed unexpectedly ({kind}{': ' + detail if detail else ''})",
        "your choices are kept; change one, or save the ticket",
    )


def load_flat(job: Job, tell: Tell, is_off: Asked = never) -> Loaded:
    """Read the flat."""
    return load(job, watched(tell, is_off))


def read_for_screen(job: Job, tell: Tell, is_off: Asked = never) -> tuple[Loaded, PixelStore]:
    """Read the flat and make it ready to be drawn.

    Raises:
        TilerError: It cannot be read.
        Stopped: It is not wanted any more.
    """
    from tiler.flat.coarse import ScreenPreview

    loaded = load_flat(job, tell, is_off)
    return loaded, PixelStore(ScreenPreview(loaded.flat).render, Rect(0, 0, *loaded.flat.size))


def look_flat(job: Job, loaded: Loaded) -> Loaded:
    """Find the lines of a flat anew, as the job's choices have them."""
    return look_again(job, loaded)


def plan_flat(job: Job, loaded: Loaded) -> tuple[Prepared, Job]:
    """Plan the sheets.

    Chosen tiles and moved seams are named by a plan; when another choice has made another plan that lacks
    them, they are let go.

    Returns:
        The plan, and the job that it is a plan of.

    Raises:
        TilerError: No plan fulfils the choices.
    """
    try:
        return plan_sheets(job, loaded), job
    except PlanError:
        free = reseated(job)
        if free == job:
            raise
        prepared = plan_sheets(free, loaded)
        if _has_all_of(prepared, job):
            raise
        return prepared, free


def _has_all_of(prepared: Prepared, job: Job) -> bool:
    """True when the plan has every tile and seam that the job names."""
    labels = {tile.label for tile in prepared.plan.tiles}
    seams = {frozenset((seam.lower, seam.upper)) for seam in prepared.plan.seams}
    moved = {frozenset(part.strip() for part in nudge.seam.split("|")) for nudge in job.nudges}
    return labels >= set(job.tiles) and seams >= moved


def write_pack(prepared: Prepared, output: Path, tell: Tell, is_off: Asked = never) -> Outcome:
    """Write the pack."""
    return write(prepared, output, watched(tell, is_off))


@dataclass(frozen=True)
class Printed:
    """A pack in memory, with what its pages are called."""

    data: bytes
    labels: tuple[str, ...]
    sizes: tuple[Size, ...]
    """mm."""


def print_to_memory(prepared: Prepared, tell: Tell, is_off: Asked = never) -> Printed:
    """The very pack that would be written.

    Raises:
        TilerError: What the job asks for in it cannot be made.
        Stopped: It is not wanted any more.
    """
    from tiler.fronts import fronts_of, pack_of
    from tiler.pack.writer import write_pack

    progress = watched(tell, is_off)
    progress("drawing the marks", 0.4)
    pack = pack_of(prepared, fronts_of(prepared, progress))
    progress("writing the pack", 0.6)
    out = io.BytesIO()
    write_pack(pack, prepared.flat, out, prepared.loaded.inside)
    labels = tuple(page.label for page in pack.pages)
    return Printed(out.getvalue(), labels, tuple(page.size for page in pack.pages))


def page_picture(printed: Printed, number: int, pixels_per_mm: float) -> Image.Image:
    """One page of a pack in memory, counted from 0."""
    import pypdfium2

    with pdfium():
        document = pypdfium2.PdfDocument(printed.data)
        try:
            page = document[number]
            picture: Image.Image = page.render(scale=pixels_per_mm / POINTS_PER_MM).to_pil().convert("RGB")
            page.close()
        finally:
            document.close()
    return picture


def watched(tell: Tell, is_off: Asked) -> Tell:
    """A progress that ends the work as soon as it is called off."""

    def progress(stage: str, share: float) -> None:
        if is_off():
            raise Stopped
        tell(stage, share)

    return progress
