"""A flat is read, drawn and planned while the screen is still being loaded."""

from __future__ import annotations

import asyncio
import io
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tiler.errors import FlatError, TilerError
from tiler.flat import coarse, reduced
from tiler.flat.raster import draw
from tiler.flat.read import Flat
from tiler.geometry import Rect
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.tui.early import EarlyWork
from tiler.tui.opening import opened
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.surroundings import Surroundings, sample_flat
from tiler.tui.viewport import Viewport
from tiler.tui.work import Stopped, never, plan_flat, read_for_screen
from tiler.units import POINTS_PER_MM

SAMPLE = Path(__file__).parents[2] / "sample_art" / "lid.pdf"


def _job(path: Path = SAMPLE) -> Job:
    return Job(path, find_sheet("A4"))


def test_flat_picture_and_plan_are_the_ones_the_screen_would_make() -> None:
    early = EarlyWork(_job(), 70, 30)
    begun = early.flat(_job(), never)
    assert begun is not None
    loaded, store = begun
    planned = early.plan(_job(), loaded, never)
    assert planned is not None
    prepared, kept = planned
    assert prepared.plan == plan_flat(_job(), loaded)[0].plan
    assert kept == _job()
    assert prepared.loaded is loaded
    view = Viewport.whole(70, 30, loaded.flat.size)
    wish = store.wish(view)
    if wish is not None:  # still being drawn: waits for it
        store.make(wish, never)
    assert store.wish(view) is None


def _photograph_flat(path: Path) -> Path:
    """A page of 200 × 100 mm that is one photograph of two megapixels."""
    random = np.random.default_rng(5)
    coarse = Image.fromarray(random.integers(0, 255, (6, 9, 3), dtype=np.uint8))
    jpeg = io.BytesIO()
    coarse.resize((2000, 1000), Image.Resampling.BICUBIC).save(jpeg, "JPEG", quality=95)
    canvas = Canvas(str(path), pagesize=(200 * POINTS_PER_MM, 100 * POINTS_PER_MM), invariant=1)
    canvas.drawImage(ImageReader(jpeg), 0, 0, 200 * POINTS_PER_MM, 100 * POINTS_PER_MM)
    canvas.save()
    return path


def test_the_first_picture_of_a_photograph_is_coarse_and_a_near_one_sharp(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[int] = []

    def noted(flat: Flat, pdf: bytes, window: Rect, pixels_per_mm: float) -> Image.Image:
        drawn.append(len(pdf))
        return draw(flat, pdf, window, pixels_per_mm)

    monkeypatch.setattr(coarse, "draw", noted)
    monkeypatch.setattr(reduced, "WORTH", 2_000_000)
    path = _photograph_flat(tmp_path / "photograph.pdf")
    loaded, store = read_for_screen(_job(path), lambda stage, share: None)
    view = Viewport.whole(70, 30, loaded.flat.size)
    for looked_at in (view, view.zoomed(12, None)):
        wish = store.wish(looked_at)
        assert wish is not None
        store.make(wish, never)
    first, near = drawn
    assert 0 < first - 500 * 250 * 3 < 5_000, "three samples of each pixel, a quarter of each side"
    assert 0.9 * path.stat().st_size < near, "the photograph as it is"


def test_a_result_is_given_once_and_for_its_own_job_only() -> None:
    early = EarlyWork(_job(), 70, 30)
    begun = early.flat(_job(), never)
    assert begun is not None
    assert early.flat(_job(), never) is None
    assert early.plan(replace(_job(), scale=0.5), begun[0], never) is None
    assert early.plan(_job(), begun[0], never) is None
    other = EarlyWork(_job(), 70, 30)
    assert other.flat(_job(SAMPLE.with_name("tray.pdf")), never) is None


def test_a_flat_that_cannot_be_read_is_told_to_the_one_who_asks(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.pdf"
    wrong.write_bytes(b"no flat at all")
    early = EarlyWork(_job(wrong), 70, 30)
    with pytest.raises(FlatError, match=r"wrong\.pdf"):
        early.flat(_job(wrong), never)


def test_work_that_is_called_off_stops() -> None:
    with pytest.raises(Stopped):
        EarlyWork(_job(), 70, 30).flat(_job(), lambda: True)


def test_work_that_was_let_go_is_left_to_the_one_who_asks() -> None:
    early = EarlyWork(_job(), 70, 30)
    early.stop()
    assert early.flat(_job(), never) is None


def test_a_crash_is_left_to_the_one_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(*_: object) -> None:
        raise ImportError("half there")

    monkeypatch.setattr("tiler.tui.early.read_for_screen", crash)
    assert EarlyWork(_job(), 70, 30).flat(_job(), never) is None


def test_the_opened_screen_shows_the_plan_that_was_begun(tmp_path: Path) -> None:
    around = Surroundings(tmp_path, tmp_path, {"LANG": "de_DE"})
    app = opened(SAMPLE, around)

    async def run() -> None:
        async with app.run_test(size=(120, 40)) as pilot:
            for _ in range(600):
                await pilot.pause(0.05)
                if isinstance(app.screen, PlanScreen) and app.screen.prepared is not None:
                    break
            assert isinstance(app.screen, PlanScreen)
            assert app.screen.prepared is not None
            assert app.screen.prepared.plan.sheet == find_sheet("A4")
            assert app.screen.problem is None

    asyncio.run(run())


def test_a_wrong_ticket_is_told_before_the_screen_opens(tmp_path: Path) -> None:
    ticket = tmp_path / "job.toml"
    ticket.write_text("flat = 3\n")
    with pytest.raises(TilerError):
        opened(ticket, Surroundings(tmp_path, tmp_path, {}))


def test_the_first_screen_is_loaded_without_what_only_writing_needs() -> None:
    # A fresh interpreter, because others tests have loaded it all.
    heavy = (
        "reportlab",
        "shapely",
        "tomlkit",
        "tiler.pack.writer",
        "tiler.checks.run",
        "tiler.tui.screens.revise",
    )
    code = f"import sys, tiler.tui.app; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_sample_is_found_beside_the_source() -> None:
    sample = sample_flat()
    assert sample is not None
    assert sample.read_bytes() == SAMPLE.read_bytes()
