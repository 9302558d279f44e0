"""The virtual tape-up over all sample art, sheets, orientations, turns, boxes and units."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import shapely

from tests.flats import Boxes, flat_pdf
from tests.tape_up import Compared, Pixels, flat_by_pdfium, flat_by_reportlab, tape_up
from tiler.findings import guide_lines, keep_clear
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Point, Rect
from tiler.job import CheckPoint, Job
from tiler.marks.check_marks import check_signs
from tiler.marks.edge_marks import edge_signs
from tiler.marks.registration import mark_room, marks_on_seam
from tiler.pack.ink import text_width
from tiler.printers.sheets import find_sheet
from tiler.report import outcome_json
from tiler.run import Outcome, facts_of, run

SAMPLES = Path(__file__).parent.parent / "sample_art"
CLOSEST = 0.1
"""Largest shift of a face, mm."""
FOREIGN = 1e-5
"""Largest share of a face that may differ beside the marks."""


@functools.cache
def reference(path: Path, wanted: Wanted) -> Callable[[Rect], Pixels]:
    """The flat as PDFium shows the file itself."""
    flat = read_flat(path, wanted)
    if isinstance(flat.source, PdfFlat):
        box = flat.source.seen.box
        return flat_by_pdfium(path, wanted.page, flat.size, box, wanted.password)
    return flat_by_reportlab(path, flat.size)


def taped(job: Job, pack: Path, displaced: tuple[str, float] | None = None) -> list[Compared]:
    """Run a job and tape its pack."""
    outcome = run(job, pack)
    assert_no_hole(outcome)
    where = marks_on_faces(outcome) + names_in_the_waste(outcome)
    return tape_up(pack, outcome_json(outcome), reference(job.flat, job.wanted), where, displaced)


def marks_on_faces(outcome: Outcome) -> list[Rect]:
    """Where registration marks and guides stand; the file's own structure lines lie below the guides."""
    job, loaded, plan = outcome.prepared.job, outcome.prepared.loaded, outcome.prepared.plan
    avoid = keep_clear(job, loaded)
    found = [mark_room(spot) for seam in plan.seams for spot in marks_on_seam(seam, avoid)]
    for guide in guide_lines(job, loaded):
        steps = max(1, round(math.dist(guide.start, guide.end)))
        for step in range(steps + 1):
            x = guide.start.x + (guide.end.x - guide.start.x) * step / steps
            y = guide.start.y + (guide.end.y - guide.start.y) * step / steps
            found.append(Rect(x, y, 0, 0).grown(0.9))
    return found


def names_in_the_waste(outcome: Outcome) -> list[Rect]:
    """Where meeting edges and check points are named on what is cut off, which no panel comes near."""
    job, loaded, plan = outcome.prepared.job, outcome.prepared.loaded, outcome.prepared.plan
    facts = facts_of(outcome.prepared)
    rings = [[(x * job.scale, y * job.scale) for x, y in ring] for ring in loaded.structure.polygons]
    panels = shapely.union_all([shapely.Polygon(ring) for ring in rings])
    found = []
    for tile in plan.tiles:
        signs = [*check_signs(tile, facts, (), text_width), *edge_signs(plan, tile, facts, (), text_width)]
        rooms = [sign.room.shifted(-tile.to_sheet.x, -tile.to_sheet.y) for sign in signs]
        found += [room for room in rooms if room.overlaps(tile.face)]
    for room in found:
        assert panels.distance(shapely.box(room.x, room.y, room.right, room.bottom)) > 0.5, room
    return found


def assert_no_hole(outcome: Outcome) -> None:
    """Faces neither overlap nor leave out any of the flat that has ink."""
    from tiler.flat.raster import ink_mask

    faces = [tile.face for tile in outcome.prepared.plan.tiles]
    for index, face in enumerate(faces):
        assert not any(face.overlaps(other) for other in faces[index + 1 :])
    mask = ink_mask(outcome.prepared.flat)
    size = outcome.prepared.plan.flat
    rows, columns = mask.shape
    for face in faces:
        top, bottom = round(face.y / size.height * rows), round(face.bottom / size.height * rows)
        left, right = round(face.x / size.width * columns), round(face.right / size.width * columns)
        mask[top:bottom, left:right] = False
    assert not mask.any()


def assert_true(compared: list[Compared]) -> None:
    """Every face lies right and shows nothing but the flat."""
    assert compared
    for face in compared:
        assert face.shift <= CLOSEST, face
        assert face.foreign <= FOREIGN, face


@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
@pytest.mark.parametrize("sheet", ["A4", "letter", "A3"])
@pytest.mark.parametrize(
    ("file", "page"),
    [
        ("lid.pdf", 1),
        ("lid.pdf", 2),
        ("lid_rev2.pdf", 1),
        ("lid_lines.pdf", 1),
        ("tray.pdf", 1),
        ("sleeve.jpg", 1),
    ],
)
def test_every_face_of_the_sample_art_lies_true(
    tmp_path: Path, file: str, page: int, sheet: str, orientation: Any
) -> None:
    job = Job(SAMPLES / file, find_sheet(sheet), Wanted(page=page), orientation=orientation)
    assert_true(taped(job, tmp_path / "pack.pdf"))


@pytest.mark.parametrize("file", ["lid.pdf", "tray.pdf"])
def test_check_points_leave_every_face_clean(tmp_path: Path, file: str) -> None:
    spots = [(x, y) for x in (20, 62, 140, 226, 300, 405) for y in (20, 61, 120, 200, 290, 330)]
    points = tuple(CheckPoint(f"Spot {x}, {y}", Point(x, y)) for x, y in spots)
    job = Job(SAMPLES / file, find_sheet("A4"), check_points=points)
    assert_true(taped(job, tmp_path / "pack.pdf"))


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
@pytest.mark.parametrize(
    ("unit", "boxes"),
    [
        (1.0, {"MediaBox": (-100.0, 50.0, 700.0, 650.0), "TrimBox": (-70.0, 90.0, 690.0, 640.0)}),
        (2.0, {}),
    ],
    ids=["offset boxes", "user unit 2"],
)
def test_turned_shifted_and_enlarged_pages_lie_true(
    tmp_path: Path, rotate: int, unit: float, boxes: Boxes
) -> None:
    path = flat_pdf(tmp_path / "a.pdf", size=(800, 600), boxes=boxes, rotate=rotate, user_unit=unit)
    assert_true(taped(Job(path, find_sheet("A4")), tmp_path / "pack.pdf"))


def test_a_tile_displaced_by_0_3_mm_is_noticed(tmp_path: Path) -> None:
    job = Job(SAMPLES / "lid.pdf", find_sheet("A4"))
    compared = {face.label: face for face in taped(job, tmp_path / "pack.pdf", displaced=("A2", 0.3))}
    assert compared["A2"].shift == pytest.approx(0.3, abs=0.05)
    assert compared["A1"].shift <= CLOSEST


def test_foreign_matter_on_a_face_is_noticed(tmp_path: Path) -> None:
    job = Job(SAMPLES / "lid.pdf", find_sheet("A4"))
    outcome = run(job, tmp_path / "pack.pdf")
    other = reference(SAMPLES / "lid_rev2.pdf", Wanted())
    compared = tape_up(tmp_path / "pack.pdf", outcome_json(outcome), other)
    assert max(face.foreign for face in compared) > 10 * FOREIGN
