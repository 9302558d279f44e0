"""The reprint: only the changed sheets, true as the others, each saying what it replaces."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader

from tests.revision.art import PLAIN, altered, compared, draw, job_for
from tests.tape_up import flat_by_pdfium, tape_up
from tiler.errors import PackError, PlanError
from tiler.geometry import Rect
from tiler.load import load
from tiler.pack.revision_page import MOST_PLACES
from tiler.report import plan_json
from tiler.revision.areas import Area
from tiler.revision.changes import Changes, find_changes
from tiler.revision.reprint import later_of, write_reprint
from tiler.run import prepare


@pytest.fixture
def changes(tmp_path: Path) -> Changes:
    """Two tiles have changed: a word on A1, a decal on A3."""
    old = draw(PLAIN, tmp_path / "sleeve.pdf")
    return compared(old, draw(altered(word="hood", decal=(0.8, 0.1, 0, 0)), tmp_path / "sleeve2.pdf"))


def words_of(path: Path) -> list[str]:
    """The text of every page."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_only_changed_sheets_are_printed_behind_map_and_pictures(changes: Changes, tmp_path: Path) -> None:
    written = write_reprint(changes, tmp_path / "reprint.pdf")
    assert (written.map_pages, written.picture_pages) == ((1, 2), (3,))
    assert written.tile_pages == {"A1": 4, "A3": 5}
    with pikepdf.open(written.output) as pdf:
        assert pdf.check_pdf_syntax() == []
        labels = [str(entry.P) for entry in pdf.Root.PageLabels.Nums[1::2]]
        assert labels == ["Map", "Map 2", "Changes", "A1", "A3"]
        assert len(labels) == len(pdf.pages)
        sizes = {tuple(sorted(round(float(v), 2) for v in page.mediabox[2:])) for page in pdf.pages}
        assert len(sizes) == 1


def test_every_new_sheet_says_what_it_replaces(changes: Changes, tmp_path: Path) -> None:
    write_reprint(changes, tmp_path / "reprint.pdf")
    pages = words_of(tmp_path / "reprint.pdf")
    revision = changes.old.flat.revision
    for label, page in zip(("A1", "A3"), pages[3:], strict=True):
        assert f"replaces {label}" in page
        assert revision in page


def test_the_map_lists_changes_and_words(changes: Changes, tmp_path: Path) -> None:
    write_reprint(changes, tmp_path / "reprint.pdf")
    first = " ".join(words_of(tmp_path / "reprint.pdf")[:2])
    assert "“chimney” → “hood”" in first
    assert "24 × 24 mm at 178, 28 mm (A3)" in first
    assert "A1, A3: 2 of 6 sheets" in first
    assert changes.old.flat.revision in first
    assert changes.new.flat.revision in first


def test_the_new_faces_tape_up_to_the_new_flat_on_the_old_seams(changes: Changes, tmp_path: Path) -> None:
    written = write_reprint(changes, tmp_path / "reprint.pdf")
    plan = plan_json(later_of(changes))
    for tile in plan["tiles"]:
        tile["page"] = written.tile_pages.get(tile["label"])
    path = changes.new.flat.path
    size = (changes.plan.flat.width, changes.plan.flat.height)
    marks = [
        Rect(seam.start.x, seam.start.y, 0, 0).union(Rect(*seam.end, 0, 0)) for seam in changes.plan.seams
    ]
    results = tape_up(written.output, plan, flat_by_pdfium(path, 1, size, None), [m.grown(8) for m in marks])
    assert [result.label for result in results] == ["A1", "A3"]
    assert all(result.shift < 0.1 and result.foreign == 0 for result in results)
    assert all(tile.face == changes.old.plan.tile(tile.label).face for tile in later_of(changes).printed)


def test_tiles_can_be_chosen_and_the_map_names_those_left_out(changes: Changes, tmp_path: Path) -> None:
    written = write_reprint(changes, tmp_path / "reprint.pdf", ("A3", "B1"))
    assert list(written.tile_pages) == ["A3", "B1"]
    assert "A1 changed too and were left out" in words_of(written.output)[0]


def test_a_tile_that_is_not_in_the_plan_is_refused(changes: Changes, tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="no tile Z9"):
        write_reprint(changes, tmp_path / "reprint.pdf", ("Z9",))
    assert not (tmp_path / "reprint.pdf").exists()


def test_neither_revision_is_overwritten(changes: Changes) -> None:
    for flat in (changes.old.flat, changes.new.flat):
        before = flat.path.read_bytes()
        with pytest.raises(PackError, match="would be overwritten"):
            write_reprint(changes, flat.path)
        assert flat.path.read_bytes() == before


def test_nothing_changed_makes_no_reprint(tmp_path: Path) -> None:
    old, new = draw(PLAIN, tmp_path / "a.pdf"), draw(PLAIN, tmp_path / "b.pdf")
    with pytest.raises(PackError, match="nothing to print"):
        write_reprint(compared(old, new), tmp_path / "reprint.pdf")


def test_the_same_revisions_give_the_same_bytes(changes: Changes, tmp_path: Path) -> None:
    write_reprint(changes, tmp_path / "one.pdf")
    write_reprint(changes, tmp_path / "two.pdf")
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_many_changes_are_counted_rather_than_listed(changes: Changes, tmp_path: Path) -> None:
    areas = tuple(Area(Rect(10 + 3 * i, 20, 1, 1), 1.0) for i in range(MOST_PLACES + 5))
    write_reprint(replace(changes, areas=areas), tmp_path / "reprint.pdf")
    assert "and 5 more places" in " ".join(words_of(tmp_path / "reprint.pdf")[:2])


def test_a_change_of_the_inside_alone_gives_its_tile_with_its_back(tmp_path: Path) -> None:
    inside, later = draw(PLAIN, tmp_path / "in.pdf"), tmp_path / "in2.pdf"
    flat = draw(PLAIN, tmp_path / "sleeve.pdf")
    job = replace(job_for(flat), inside=inside)
    draw(altered(decal=(0.8, 0.1, 0, 0)), later)
    changes = find_changes(prepare(job), load(replace(job, inside=later)))
    # The decal at x 178 to 202 is seen from inside: from outside it lies at 240 - 202 to 240 - 178.
    assert changes.changed == ("A1",)
    (area,) = changes.areas
    assert area.inside
    assert tuple(area.rect) == pytest.approx((38, 28, 24, 24), abs=0.3)
    written = write_reprint(changes, tmp_path / "reprint.pdf")
    assert len(PdfReader(written.output).pages) == 8
    assert written.tile_pages == {"A1": 7}
    assert "(A1, inside)" in " ".join(words_of(written.output)[:4])
