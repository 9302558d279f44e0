"""What surrounds a run, streams and environment, never stops it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.flats import flat_pdf

TILER = [sys.executable, "-m", "tiler"]


@pytest.mark.skipif(os.name != "posix", reason="a shell of its own")
def test_a_closed_stderr_is_no_fault_and_keeps_out_of_the_results(tmp_path: Path) -> None:
    command = [*TILER, "plan", "--json", str(flat_pdf(tmp_path / "lid.pdf"))]
    done = subprocess.run(["sh", "-c", 'exec "$@" 2>&-', "sh", *command], stdout=subprocess.PIPE, check=False)
    assert done.returncode == 0
    assert json.loads(done.stdout)["flat"]["file"] == "lid.pdf"


@pytest.mark.parametrize("epoch", ["soon", "-5", "\u00b2"])
def test_a_build_time_that_is_no_number_says_nothing(tmp_path: Path, epoch: str) -> None:
    command = [*TILER, "mock", str(flat_pdf(tmp_path / "lid.pdf")), "-o", str(tmp_path / "pack.pdf")]
    without = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"}
    packs = []
    for environment in ({**without, "SOURCE_DATE_EPOCH": epoch}, without):
        done = subprocess.run(command, capture_output=True, env=environment, check=False)
        assert done.returncode == 0, done.stderr
        packs.append((tmp_path / "pack.pdf").read_bytes())
    assert packs[0] == packs[1]
