"""How long the checks take: ``python -m tests.bench.bench_checks [FLAT ...]``.

Without a flat it times the sample lid and a page of 200,000 filled paths that it draws itself.
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from tiler.checks.run import run_checks
from tiler.job import Job
from tiler.load import load
from tiler.printers.sheets import find_sheet
from tiler.run import plan_sheets

MM = 72 / 25.4
PATHS = 200_000


def many_paths(path: Path) -> Path:
    """A page of 1000 × 700 mm with ``PATHS`` small triangles."""
    dice = random.Random(1)
    canvas = Canvas(str(path), pagesize=(1000 * MM, 700 * MM), invariant=1, pageCompression=0)
    for _ in range(PATHS):
        x, y = dice.uniform(0, 1000), dice.uniform(0, 700)
        canvas.setFillColorCMYK(round(dice.random(), 2), round(dice.random(), 2), 0, 0)
        outline = canvas.beginPath()
        outline.moveTo(x * MM, y * MM)
        outline.lineTo((x + 2) * MM, y * MM)
        outline.lineTo((x + 1) * MM, (y + 2) * MM)
        canvas.drawPath(outline, stroke=0, fill=1)
    canvas.save()
    return path


def timed(path: Path) -> None:
    """Print the times of one flat."""
    job = Job(flat=path, sheet=find_sheet("A4"))
    begin = time.perf_counter()
    loaded = load(job)
    read = time.perf_counter()
    plan = plan_sheets(job, loaded).plan
    planned = time.perf_counter()
    report = run_checks(loaded.flat, loaded.structure, plan)
    done = time.perf_counter()
    print(
        f"{path.name}: load {read - begin:.2f} s, plan {planned - read:.2f} s, "
        f"checks {done - planned:.2f} s; "
        f"{len(report.findings)} findings, {len(report.texts)} texts"
    )


def whole_process(path: Path) -> None:
    """Print what ``tiler check`` of one flat takes from start to end: the least of three runs."""
    words = [sys.executable, "-m", "tiler", "check", str(path), "--sheet", "A4", "--printer", "none"]
    spent = []
    for _ in range(3):
        begin, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
        subprocess.run(words, capture_output=True, check=True)
        used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
        spent.append((used, time.perf_counter() - begin))
    print(f"{path.name}: whole process {min(spent)[0]:.2f} s of user CPU, {min(spent)[1]:.2f} s on the clock")


def main() -> None:
    """Time the flats that are named, or the two of one's own."""
    flats = [Path(name) for name in sys.argv[1:]]
    if flats:
        for flat in flats:
            timed(flat)
            whole_process(flat)
        return
    lid = Path(__file__).parents[2] / "sample_art" / "lid.pdf"
    timed(lid)
    whole_process(lid)
    with tempfile.TemporaryDirectory() as folder:
        heavy = many_paths(Path(folder) / "many_paths.pdf")
        timed(heavy)
        whole_process(heavy)


if __name__ == "__main__":
    main()
