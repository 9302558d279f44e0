"""Comparing the two revisions of the sample lid and writing the reprint, as whole processes."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.bench.heavy_flats import made
from tests.bench.measure import ROOT, in_turn

ART = ROOT / "sample_art"


def row(name: str, old: Path, new: Path, folder: Path, runs: int) -> str:
    """One line of the table."""
    command = [sys.executable, "-m", "tiler", "revise", str(old), str(new), "--sheet", "A4"]
    (spent,) = in_turn([[*command, "-o", str(folder / "reprint.pdf")]], runs)
    return f"{name:<32} {spent.wall:5.2f} s ({spent.cpu:4.2f} cpu)  peak {spent.peak:4.0f} MB"


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print(row("lid, revision 2", ART / "lid.pdf", ART / "lid_rev2.pdf", folder, 7), flush=True)
        print(row("lid with itself", ART / "lid.pdf", ART / "lid.pdf", folder, 5), flush=True)
        heavy = made("paths", folder / "paths.pdf")
        again = folder / "again.pdf"
        again.write_bytes(heavy.read_bytes() + b"\n% saved anew\n")
        print(row("200,000 paths, saved anew", heavy, again, folder, 1), flush=True)


if __name__ == "__main__":
    main()
