"""True size, measured on rendered sheets with nothing but pixels and published figures."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.tape_up import opened, rendered
from tiler.geometry import Rect
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.run import Outcome, run
from tiler.units import MM_PER_POINT, POINTS_PER_MM

SAMPLES = Path(__file__).parent.parent / "sample_art"

EAN_MODULES, EAN_MODULE = 95, 0.330
"""GS1 General Specifications as summarised in GS1 Sweden's size guide: an EAN-13 symbol has 95 modules of
0.330 mm at 100 %, bars of 31.35 mm in all."""

EAN_BARS = Rect(3 + 384.5, 3 + 231.5, 407.35 - 384.5, 262.87 - 231.5)
"""Where the lid carries its symbol, in the bleed box; it runs from bottom to top."""


@pytest.fixture(scope="module")
def lid(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """The lid's pack on A3, so that the symbol lies on one face."""
    job = Job(SAMPLES / "lid.pdf", find_sheet("A3"), marks="none")
    return run(job, tmp_path_factory.mktemp("lid") / "pack.pdf")


def test_the_bar_code_of_the_lid_measures_31_35_mm_on_its_sheet(lid: Outcome) -> None:
    tile = next(tile for tile in lid.prepared.plan.tiles if tile.face.holds(EAN_BARS.grown(1)))
    middle = tile.on_sheet(EAN_BARS.grown(4)).centre
    strip = Rect(middle.x - 1, middle.y - 17.7, 2, 35.4)  # within the quiet zones
    with opened(lid.output, lid.tile_pages[tile.label]) as page:
        # a finer look than the tape-up's: 1000 pixels per inch by enlarging the page units
        fine = 5
        pixels = rendered(page, (MM_PER_POINT * fine, MM_PER_POINT * fine), strip.scaled(fine))
    dark = np.flatnonzero(pixels.max(axis=(1, 2)) < 128)
    measured = (dark[-1] - dark[0] + 1) / (200 / 25.4 * fine)
    assert measured == pytest.approx(EAN_MODULES * EAN_MODULE, abs=0.05)


def test_a_scale_bar_of_100_mm_is_283_465_points() -> None:
    # ISO 32000-2, 8.3.2.3: 1/72 inch a unit
    assert pytest.approx(283.465, abs=5e-4) == 100 * POINTS_PER_MM


@pytest.mark.parametrize("upright", [False, True], ids=["across", "down"])
def test_both_scale_bars_measure_100_mm_on_the_rendered_sheet(lid: Outcome, upright: bool) -> None:
    label = lid.prepared.plan.tiles[-1].label
    sheet = lid.prepared.plan.tile(label).sheet
    with opened(lid.output, lid.tile_pages[label]) as page:
        pixels = rendered(page, (MM_PER_POINT, MM_PER_POINT), Rect(0, 0, *sheet))
    dark = pixels.max(axis=2) < 140
    wanted = 100 / 25.4 * 200
    lines = dark.T if upright else dark
    runs = [run_length(line) for line in lines]
    assert any(abs(length - wanted) <= 2.5 for length in runs), sorted(set(runs))[-5:]


def run_length(line: np.ndarray[Any, Any]) -> int:
    """Pixels of the longest unbroken dark stretch that stands in white paper on both sides."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(np.int8), [0]))))
    lengths = edges[1::2] - edges[::2]
    return int(lengths.max()) if lengths.size else 0
