"""The sample lid as a whole: planted changes give exactly their tiles, the same art saved anew gives none."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from tests.revision.resaved import SAVERS, Saver, by_pikepdf, rewritten, rounded
from tiler.flat.raster import Preview
from tiler.geometry import Rect
from tiler.job import Job
from tiler.load import load
from tiler.printers.sheets import find_sheet
from tiler.revision.changes import Changes, find_changes
from tiler.run import Prepared, prepare

LID = Path(__file__).parents[2] / "sample_art" / "lid.pdf"
BLEED = 3.0
"""From the trim box, which the lid is drawn in, to the box that is tiled, mm."""


@cache
def planned() -> Prepared:
    """The lid on A4, as it was printed."""
    return prepare(Job(LID, find_sheet("A4")))


@pytest.fixture(autouse=True, scope="module")
def drawn_once() -> Iterator[None]:
    """The unchanged lid is drawn once for all tests: that is most of their time."""
    drawn: dict[Any, Any] = {}
    real = Preview.render

    def render(self: Preview, window: Rect, density: float) -> Any:
        if self._flat is not planned().flat:
            return real(self, window, density)
        if (window, density) not in drawn:
            drawn[window, density] = real(self, window, density)
        return drawn[window, density]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Preview, "render", render)
        yield


def changes_by(saver: Saver, folder: Path) -> Changes:
    """What a changed copy of the lid changes on its sheets."""
    new = folder / "lid2.pdf"
    saver(LID, new)
    return find_changes(planned(), load(Job(new, find_sheet("A4"))))


@pytest.mark.parametrize("saver", SAVERS.values(), ids=SAVERS)
def test_the_same_lid_saved_differently_changes_nothing(saver: Saver, tmp_path: Path) -> None:
    changes = changes_by(saver, tmp_path)
    assert changes.old.flat.sha256 != changes.new.flat.sha256
    assert (changes.changed, changes.areas, changes.texts, changes.moved) == ((), (), (), "")


def test_there_are_at_least_twenty_ways_of_saving() -> None:
    assert len(SAVERS) >= 20


SEAL = b"q\n.16 .38 .82 .06 k\nn 327 101 m"
"""Start of the round decal's ground on the lid's top: middle (311, 101), radius 16, mm from the trim box."""


def replaced(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    """Put other bytes in place of some that stand once in the content."""

    def change(content: bytes) -> bytes:
        assert content.count(old) == 1
        return content.replace(old, new)

    return change


def shown(pdf: pikepdf.Pdf) -> None:
    """Turn the hidden layer on."""
    layers = pdf.Root.OCProperties.D
    layers.ON = pikepdf.Array([*layers.ON, *layers.OFF])
    layers.OFF = pikepdf.Array([])


PLANTED = {
    "a word": (
        rewritten(replaced(b"(Rechargable cell,", b"(Rechargeable cell,")), {"A2"}, Rect(165, 17, 45, 8)
    ),
    "a decal by 1 mm": (
        rewritten(replaced(SEAL, SEAL.replace(b"k\n", b"k\n1 0 0 1 1 0 cm\n"))), {"A2"}, Rect(295, 85, 33, 32)
    ),
    "5 % magenta in a decal": (
        rewritten(replaced(SEAL, SEAL.replace(b".38", b".43"))), {"A2"}, Rect(295, 85, 32, 32)
    ),
    "a line of type by 0.2 mm": (
        rewritten(replaced(b"(Carry it low.)", b"0.567 0 Td (Carry it low.)")), {"B1"}, Rect(79, 309, 40, 8)
    ),
    # The first of its three lines ends before the seam at x 164.4 mm, the others cross it below y 173 mm.
    "a hidden layer turned on": (shown, {"A1", "B2"}, Rect(80, 160, 150, 40)),
}  # fmt: skip
"""What is done to the lid, the tiles that show it, and where it can be seen, mm from the trim box."""


@pytest.mark.parametrize(("change", "tiles", "place"), PLANTED.values(), ids=PLANTED)
def test_a_planted_change_gives_exactly_its_tiles(
    change: Callable[[pikepdf.Pdf], None], tiles: set[str], place: Rect, tmp_path: Path
) -> None:
    changes = changes_by(by_pikepdf(change), tmp_path)
    within = Rect(place.x + BLEED, place.y + BLEED, place.width, place.height).grown(0.3)
    assert changes.areas
    assert all(within.holds(area.rect) for area in changes.areas)
    assert set(changes.changed) == tiles
    assert changes.moved == ""


def test_the_shift_of_one_decal_is_found_at_its_edges(tmp_path: Path) -> None:
    change, *_ = PLANTED["a decal by 1 mm"]
    changes = changes_by(by_pikepdf(change), tmp_path)
    area = max(changes.areas, key=lambda one: one.changed)
    assert tuple(area.rect) == pytest.approx((298, 88, 33, 32), abs=0.4)


def test_rounding_and_a_change_at_once_leave_the_change(tmp_path: Path) -> None:
    def both(pdf: pikepdf.Pdf) -> None:
        rewritten(replaced(SEAL, SEAL.replace(b".38", b".43")))(pdf)
        rewritten(rounded)(pdf)

    changes = changes_by(by_pikepdf(both), tmp_path)
    assert changes.changed == ("A2",)
    (area,) = changes.areas
    assert tuple(area.rect) == pytest.approx((298, 88, 32, 32), abs=0.3)
