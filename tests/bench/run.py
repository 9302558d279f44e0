"""Run all timings and print their tables."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.bench.measure import ROOT


def main() -> None:
    """Each ``bench_*`` module prints its own table, in a process of its own."""
    for path in sorted(Path(__file__).parent.glob("bench_*.py")):
        print(f"\n== {path.stem}", flush=True)
        subprocess.run([sys.executable, "-m", f"tests.bench.{path.stem}"], cwd=ROOT, check=False)


if __name__ == "__main__":
    main()
