"""Does the art meet? Twins of one flat, one of them with the art of one wall shifted."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from tests.fold.flats import boxed
from tiler.flat.raster import Preview
from tiler.flat.read import Wanted, read_flat
from tiler.fold.sampling import sampled
from tiler.fold.strips import meeting_strips, odd_ones, step_words
from tiler.fold.verdict import Verdict, judge
from tiler.geometry import Rect
from tiler.units import POINTS_PER_MM

# The telescoping tray: base 120 × 80 with its corners at (40, 40) and (160, 120), walls 30; page 200 × 160.
# Walls: P1 above, P2 left, P4 right, P5 below. m1 joins P1 and P2, m2 P1 and P4, m3 P2 and P5, m4 P4 and P5.
TRAY = boxed("telescoping tray")
CREAM, NAVY = (0.95, 0.92, 0.84), (0.05, 0.12, 0.30)


def banded(path: Path, shift: float) -> Path:
    """The tray with a band 6 wide round its walls, 12 from the rim; it may be shifted on the right one."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(200 * POINTS_PER_MM, 160 * POINTS_PER_MM), invariant=1)
    canvas.scale(POINTS_PER_MM, -POINTS_PER_MM)
    canvas.translate(0, -160)
    canvas.setFillColorRGB(*CREAM)
    canvas.rect(0, 0, 200, 160, stroke=0, fill=1)
    canvas.setFillColorRGB(*NAVY)
    for x, y, width, height in (
        (40, 22, 120, 6),
        (22, 40, 6, 80),
        (172 + shift, 40, 6, 80),
        (40, 132, 120, 6),
    ):
        canvas.rect(x, y, width, height, stroke=0, fill=1)
    canvas.save()
    path.write_bytes(out.getvalue())
    return path


def verdicts(path: Path) -> dict[str, Verdict]:
    painter = Preview(read_flat(path, Wanted()))
    return {meeting.id: judge(sampled(meeting, painter, True)) for meeting in TRAY.meetings}


def test_matching_art_steps_by_nothing(tmp_path: Path) -> None:
    found = verdicts(banded(tmp_path / "match.pdf", 0.0))
    assert [verdict.kind for verdict in found.values()] == ["matches"] * 4
    for verdict in found.values():
        assert verdict.step == pytest.approx(0.0, abs=0.1)
        assert verdict.difference < 1
        assert verdict.odd < 0.01


def test_a_band_shifted_by_two_millimetres_steps_by_two_millimetres(tmp_path: Path) -> None:
    found = verdicts(banded(tmp_path / "mismatch.pdf", 2.0))
    assert {name: verdict.kind for name, verdict in found.items()} == {
        "m1": "matches", "m2": "steps", "m3": "matches", "m4": "steps",
    }  # fmt: skip
    for name in ("m2", "m4"):
        step = found[name].step
        assert step is not None
        assert abs(step) == pytest.approx(2.0, abs=0.1)
        assert found[name].largest > 30


def test_the_step_is_told_with_its_direction(tmp_path: Path) -> None:
    # The tray stands on its base: a band shifted towards the rim is up.
    found = verdicts(banded(tmp_path / "mismatch.pdf", 2.0))
    strips = meeting_strips(TRAY, found)
    assert [strip.name for strip in strips] == ["m1", "m2", "m3", "m4"]
    first, second = odd_ones(strips)
    assert first.startswith("m2: artwork steps 2 mm up from P1 to P4 (CIEDE2000 ")
    assert second.startswith("m4: artwork steps 2 mm down from P4 to P5 (CIEDE2000 ")


class Painted:
    """A painter that works out every pixel from a rule."""

    def __init__(self, slope: float, shift: float) -> None:
        self._slope, self._shift = slope, shift

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        """Stripes on walls P1 and P2 that run over their corner; ``u`` from it, ``v`` from the rim."""
        width, height = round(window.width * pixels_per_mm), round(window.height * pixels_per_mm)
        x = window.x + (np.arange(width) + 0.5)[None, :] / pixels_per_mm
        y = window.y + (np.arange(height) + 0.5)[:, None] / pixels_per_mm
        on_first = (x >= 40) & (y < 40)
        u, v = np.where(on_first, x - 40, -(y - 40)), np.where(on_first, y - 10, x - 10)
        along = v - self._slope * u - np.where(on_first, 0, self._shift)
        dark = ((along > 12) & (along < 14)) | ((along > 17) & (along < 18.5))
        pixels = np.where(dark[..., None], (20, 30, 80), (240, 232, 214)).astype(np.uint8)
        return Image.fromarray(pixels)


@pytest.mark.parametrize("slope", [0.0, 0.5, -1.0])
@pytest.mark.parametrize("shift", [0.0, 0.6, 2.0, -3.3])
def test_steps_are_found_whatever_way_the_art_runs_over_the_corner(slope: float, shift: float) -> None:
    verdict = judge(sampled(TRAY.meetings[0], Painted(slope, shift), True))
    assert verdict.step == pytest.approx(shift, abs=0.1)
    assert verdict.kind == ("steps" if shift else "matches")


class Plain:
    """A painter of one colour for each half of the page."""

    def __init__(self, upper: tuple[int, int, int], lower: tuple[int, int, int]) -> None:
        self._colours = upper, lower

    def render(self, window: Rect, pixels_per_mm: float) -> Image.Image:
        size = round(window.width * pixels_per_mm), round(window.height * pixels_per_mm)
        return Image.new("RGB", size, self._colours[window.bottom > 41.5])


@pytest.mark.parametrize(
    ("upper", "lower", "kind", "words"),
    [
        ((255, 255, 255), (255, 255, 255), "no art", "no art runs to this edge"),
        ((255, 255, 255), (20, 30, 80), "one side", "art of P2 meets bare board on P1"),
        ((20, 30, 80), (255, 255, 255), "one side", "art of P1 meets bare board on P2"),
        ((20, 30, 80), (20, 30, 80), "matches", "artwork meets (step 0 mm)"),
        ((20, 30, 80), (200, 30, 80), "changes", "artwork changes at the edge on 100 % of it"),
    ],
)
def test_what_is_no_step_is_told_too(
    upper: tuple[int, int, int], lower: tuple[int, int, int], kind: str, words: str
) -> None:
    # m1 joins the left edge of P1, above y 40, and the upper edge of P2, at y 40.
    verdict = judge(sampled(TRAY.meetings[0], Plain(upper, lower), True))
    assert verdict.kind == kind
    assert verdict.words("P1", "P2", ("up", "down")).startswith(words)


def test_without_art_there_is_no_strip() -> None:
    bare = Verdict("no art", None, None, 0.0, 0.0, 0.0)
    assert meeting_strips(TRAY, dict.fromkeys(("m1", "m2", "m3", "m4"), bare)) == ()


def test_level_meetings_step_to_the_left_and_right() -> None:
    tuck = boxed("straight tuck")
    words = {meeting.id: step_words(tuck, meeting) for meeting in tuck.meetings}
    # m4 is the upright glue edge; m6 joins the lower lid's front edge to the back panel.
    assert words["m4"] == ("down", "up")
    assert set(words["m6"]) == {"to the left", "to the right"}
