"""Forty flats one by one and over two cores, as whole processes."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from tests.bench.measure import ROOT, Spent, once

ART = ROOT / "sample_art"
COUNT = 40
ROUNDS = 4
"""In turn, and the best of each counts: what else the machine does only makes them slower."""


def spent_on(sources: list[str], folder: Path, jobs: int) -> Spent:
    """All packs, so many at once."""
    command = [sys.executable, "-m", "tiler", "mock", *sources, "-o", f"{folder}/", "--sheet", "A4"]
    return once([*command, "--jobs", str(jobs)])


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sources = []
        for number in range(COUNT):
            flat = ("lid.pdf", "tray.pdf", "lid_rev2.pdf", "lid_lines.pdf")[number % 4]
            sources.append(str(shutil.copyfile(ART / flat, folder / f"{number:02d}_{flat}")))
        for jobs in (1, 2):  # the first of each warms the disk
            spent_on(sources[:4], folder / "warm", jobs)
        rounds = [
            [spent_on(sources, folder / f"packs{jobs}", jobs) for jobs in (1, 2)] for _ in range(ROUNDS)
        ]
        one, two = (min(column, key=lambda spent: spent.wall) for column in zip(*rounds, strict=True))
        for jobs, spent in ((1, one), (2, two)):
            print(f"{COUNT} flats, {jobs} at once  {spent.wall:6.2f} s ({spent.cpu:5.2f} cpu)", flush=True)
        print(f"two cores {one.wall / two.wall:.2f} times as fast, CPU {two.cpu / one.cpu:.2f} times as much")


if __name__ == "__main__":
    main()
