"""How long the sample lid takes to fold and to be seen, within one process that has loaded it."""

from __future__ import annotations

import itertools
import statistics
import time
from collections.abc import Callable

from tests.bench.measure import ROOT
from tiler.fold.box import FoldedBox
from tiler.fold.camera import CORNERS
from tiler.fold.of_flat import corner_pages_of, fold_loaded, textures_of, verdicts_of
from tiler.fold.view import view
from tiler.job import Job
from tiler.load import load
from tiler.printers.sheets import find_sheet
from tiler.run import facts_of, plan_sheets
from tiler.tui.fold_look import Look
from tiler.tui.fold_picture import Prints, Shot, draw
from tiler.tui.paint import paint
from tiler.tui.themes import MAT, palette_of

SIZE = (900, 700)
"""Pixels of the view, as a screen shows it."""

TURNS = itertools.count(0, 10)
"""Degrees, so that no picture is like the one before."""


def median(task: Callable[[], object], runs: int = 7) -> float:
    """Seconds, after one run to warm up."""
    task()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def screen_picture(box: FoldedBox, prints: Prints, cells: tuple[int, int], is_draft: bool) -> None:
    """The box as lines of cells, each time from another direction."""
    look = Look().turned(next(TURNS), 0)
    drawn = draw(Shot(box, prints, look, *cells, ground=(13, 27, 24), is_draft=is_draft))
    paint(drawn.points, drawn.marks, palette_of(MAT.variables))


def main() -> None:
    """Print the table."""
    job = Job(ROOT / "sample_art" / "lid.pdf", find_sheet("A4"))
    loaded = load(job)
    box = fold_loaded(loaded)
    textures = textures_of(loaded, None, SIZE)
    prints = Prints.of(textures)
    prepared = plan_sheets(job, loaded)
    facts, margins = facts_of(prepared), prepared.plan.margins
    tasks: dict[str, Callable[[], object]] = {
        "fold": lambda: fold_loaded(loaded),
        "render the print": lambda: textures_of(loaded, None, SIZE),
        "view, closed": lambda: view(box, textures, CORNERS["front-right"]),
        "view, half open": lambda: view(box, textures, CORNERS["front-right"], 0.5),
        "screen 120 × 40, at rest": lambda: screen_picture(box, prints, (78, 34), False),
        "screen 120 × 40, turning": lambda: screen_picture(box, prints, (78, 34), True),
        "screen 200 × 60, at rest": lambda: screen_picture(box, prints, (144, 54), False),
        "screen 200 × 60, turning": lambda: screen_picture(box, prints, (144, 54), True),
        "measure all corners": lambda: verdicts_of(loaded, box),
        "corner pages": lambda: corner_pages_of(loaded, box, facts, job.sheet, margins, {}, creases=True),
    }
    print(f"{'lid.pdf, view ' + '×'.join(map(str, SIZE)):32} seconds")
    for name, task in tasks.items():
        print(f"{name:32} {median(task):7.3f}")


if __name__ == "__main__":
    main()
