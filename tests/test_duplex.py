"""Packs with an inside print, held to the light and looked at from behind.

Fronts and backs are rendered apart. The virtual sheet is then turned as a printer turns it, which says
nothing of how the pack was made: a leaf of a book is mirrored left to right, a leaf of a wall calendar top to
bottom.
"""

from __future__ import annotations

import ctypes
import json
import math
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from pypdf.generic import NameObject, StreamObject

from tests.flats import add_layer, flat_pdf
from tests.tape_up import PIXELS_PER_MM, Pixels, opened, rendered, shift_between
from tiler.cli import main
from tiler.errors import FlatError, UsageError
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Affine, Margins, Point, Rect, Size
from tiler.inside import both_inks, margins_with_backs
from tiler.job import Job
from tiler.marks.facts import Flip
from tiler.plan.tile import Tile
from tiler.printers.in_use import profiles_folder
from tiler.printers.profile import Profile, printed
from tiler.printers.profile_files import save_profile
from tiler.printers.sheets import find_sheet
from tiler.report import outcome_json
from tiler.run import Outcome, prepare, run
from tiler.units import MM_PER_POINT

SAMPLES = Path(__file__).parent.parent / "sample_art"
LID = SAMPLES / "lid.pdf"
CLOSEST = 0.1
"""Largest shift between front and back, or between back and inside art, mm."""
FOREIGN = 1e-5
"""Largest share of what is seen from behind that may differ from the inside art."""
POINTS = (MM_PER_POINT, MM_PER_POINT)

flips = pytest.mark.parametrize("flip", ["long", "short"])
orientations = pytest.mark.parametrize("orientation", ["portrait", "landscape"])


def like_a_leaf(tile: Tile, flip: Flip) -> bool:
    """True when the sheet is turned about its vertical axis.

    The long edge of a portrait page is a side, that of a landscape page its top (RFC 8011, 5.2.8).
    """
    return (flip == "long") == (tile.sheet.height > tile.sheet.width)


def turned(picture: Pixels, tile: Tile, flip: Flip) -> Pixels:
    """The picture of a side as it is seen through the paper from the other side."""
    return np.ascontiguousarray(picture[:, ::-1] if like_a_leaf(tile, flip) else picture[::-1])


def behind(rect: Rect, tile: Tile, flip: Flip) -> Rect:
    """Where a rectangle of one side lies on the other."""
    if like_a_leaf(tile, flip):
        return Rect(tile.sheet.width - rect.right, rect.y, rect.width, rect.height)
    return Rect(rect.x, tile.sheet.height - rect.bottom, rect.width, rect.height)


def from_far_end(rect: Rect, across: bool, down: bool) -> Rect:
    """The rectangle moved by part of a pixel, so that its far ends fall on pixel corners.

    A picture that is turned afterwards then has its pixels where those of an unturned one are.
    """
    width, height = (round(side * PIXELS_PER_MM) / PIXELS_PER_MM for side in rect.size)
    x, y = rect.right - width if across else rect.x, rect.bottom - height if down else rect.y
    return Rect(x, y, rect.width, rect.height)


def seen_from_behind(tile: Tile) -> Rect:
    """What is left of a trimmed tile, face and tabs, on the sheet's front."""
    kept = Rect.between(tile.face.x, tile.face.y, tile.window.right, tile.window.bottom)
    return tile.on_sheet(kept)


def solid(printed_side: Pixels, wanted: Pixels) -> float:
    """Share of 3 × 3 spots that are wrong all over."""
    wrong = np.abs(printed_side - wanted).max(axis=2) > 40
    spots = wrong.copy()
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            spots &= np.roll(wrong, (dy, dx), axis=(0, 1))
    return float(spots[2:-2, 2:-2].mean())


def lid_job(flip: Flip = "long") -> Job:
    """The lid with its inside print; the lines of its own file stay in, so that the art is all there is."""
    return Job(LID, find_sheet("A4"), inside=LID, inside_page=2, flip=flip, guides="none")


def root_of(pack: Path) -> Any:
    """The catalog of a PDF."""
    return pypdf.PdfReader(pack).trailer["/Root"]


def page_of(outcome: Outcome, label: str, side: int) -> int:
    """Page number of a tile's front (0) or back (1)."""
    return outcome.tile_pages[label] + side


@flips
@orientations
def test_seen_from_behind_every_tile_shows_the_inside_art_true(
    tmp_path: Path, flip: Flip, orientation: Any
) -> None:
    job = replace(lid_job(flip), orientation=orientation)
    outcome = run(job, tmp_path / "pack.pdf")
    for tile in outcome.prepared.plan.tiles:
        seen = seen_from_behind(tile)
        with opened(outcome.output, page_of(outcome, tile.label, 1)) as page:
            back = rendered(page, POINTS, behind(seen, tile, flip))
        on_flat = seen.shifted(-tile.to_sheet.x, -tile.to_sheet.y)
        art = inside_art(on_flat, head_down=not like_a_leaf(tile, flip))
        assert back.shape == art.shape
        assert shift_between(back, art) <= CLOSEST, tile.label
        assert solid(back, art) <= FOREIGN, tile.label


def inside_art(on_flat: Rect, head_down: bool) -> Pixels:
    """What the lid's inside print shows behind a part of the flat, as PDFium shows the original page.

    Args:
        on_flat: As the outside is read, mm; the inside is drawn mirrored (sample_art/README.md).
        head_down: True turns the page by 180 degrees.
    """
    flat = read_flat(LID, Wanted(page=2))
    assert isinstance(flat.source, PdfFlat)
    document = pdfium.PdfDocument(LID)
    page = document[1]
    page.set_mediabox(*flat.source.seen.box)
    page.set_cropbox(*flat.source.seen.box)
    area = Rect(flat.size.width - on_flat.right, on_flat.y, on_flat.width, on_flat.height)
    if head_down:
        page.set_rotation(180)
        area = Rect(on_flat.x, flat.size.height - on_flat.bottom, on_flat.width, on_flat.height)
    page.close()
    page = document[1]
    try:
        units = page.get_size()
        return rendered(page, (flat.size.width / units[0], flat.size.height / units[1]), area)
    finally:
        page.close()
        document.close()


def test_a_back_displaced_by_0_3_mm_is_noticed(tmp_path: Path) -> None:
    outcome = run(replace(lid_job(), tiles=("A1",)), tmp_path / "pack.pdf")
    tile = outcome.prepared.printed[0]
    seen = seen_from_behind(tile)
    place = behind(seen, tile, "long")
    with opened(outcome.output, page_of(outcome, tile.label, 1)) as page:
        here, off = rendered(page, POINTS, place), rendered(page, POINTS, place.shifted(0.3, 0))
    assert shift_between(here, here) == 0
    assert shift_between(off, here) == pytest.approx(0.3, abs=0.05)


def two_sided(path: Path, size: tuple[float, float] = (1000, 800)) -> Path:
    """A flat whose inside, page 2, is its outside as it shows through the paper."""

    def mirror(writer: pypdf.PdfWriter) -> None:
        outside = writer.pages[0]
        inside = writer.add_blank_page(*size)
        content = outside.get_contents()
        assert content is not None
        stream = StreamObject()
        stream._data = b"q -1 0 0 1 %g 0 cm\n" % size[0] + content.get_data() + b"\nQ"
        inside[NameObject("/Contents")] = writer._add_object(stream)
        inside[NameObject("/Resources")] = outside["/Resources"]

    return flat_pdf(path, size, change=mirror)


def pressed(page: Any, press: Affine, area: Rect) -> Pixels:
    """Part of the paper that a press has printed from a page.

    Args:
        page: The PDFium page.
        press: From page to paper, both mm from the top left as the page is read.
        area: Part of the paper, mm.
    """
    width, height = round(area.width * PIXELS_PER_MM), round(area.height * PIXELS_PER_MM)
    bitmap = pdfium.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    whole = Affine.stretch(MM_PER_POINT, MM_PER_POINT).then(press).then(Affine.shift(-area.x, -area.y))
    matrix = raw.FS_MATRIX(*whole.then(Affine.stretch(PIXELS_PER_MM, PIXELS_PER_MM)))
    clip = raw.FS_RECTF(0, 0, width, height)
    raw.FPDF_RenderPageBitmapWithMatrix(
        bitmap.raw, page.raw, ctypes.byref(matrix), ctypes.byref(clip), raw.FPDF_PRINTING
    )
    picture = np.asarray(bitmap.to_pil().convert("RGB"), np.int16)
    bitmap.close()
    return picture


def press_of(profile: Profile, page: Size, offset: Point) -> Affine:
    """What the printer does to a side: its scale and skew about the middle, then its offset."""
    middle = Affine.shift(-page.width / 2, -page.height / 2)
    return middle.then(printed(profile, page)).then(middle.inverse()).then(Affine.shift(*offset))


PERFECT = Profile("perfect")
CROOKED = Profile("crooked", scale_x=0.996, scale_y=1.003, skew=0.25, measured=date(2026, 1, 5))


def held_to_the_light(outcome: Outcome, profile: Profile, offset: Point) -> list[float]:
    """How far each back lies off its front on the paper, mm.

    Args:
        outcome: The pack.
        profile: What the printer does to both sides.
        offset: How far it prints the back too far to the right and down, as the back is read.
    """
    job, found = outcome.prepared.job, []
    for tile in outcome.prepared.printed:
        face = tile.on_sheet(tile.face)
        with opened(outcome.output, page_of(outcome, tile.label, 0)) as page:
            front = pressed(page, press_of(profile, tile.sheet, Point(0, 0)), face)
        leaf = like_a_leaf(tile, job.flip)
        place = from_far_end(behind(face, tile, job.flip), leaf, not leaf)
        with opened(outcome.output, page_of(outcome, tile.label, 1)) as page:
            back = pressed(page, press_of(profile, tile.sheet, offset), place)
        found.append(shift_between(turned(back, tile, job.flip), front))
    return found


@flips
@orientations
@pytest.mark.parametrize("profile", [PERFECT, CROOKED], ids=lambda profile: profile.name)
def test_held_to_the_light_both_prints_meet(
    tmp_path: Path, flip: Flip, orientation: Any, profile: Profile
) -> None:
    path = two_sided(tmp_path / "flat.pdf")
    save_profile(profiles_folder(), profile)
    job = Job(path, find_sheet("A4"), orientation=orientation, marks="none", guides="none")
    job = replace(job, inside=path, inside_page=2, flip=flip, printer=profile.name)
    gaps = held_to_the_light(run(job, tmp_path / "pack.pdf"), profile, Point(0, 0))
    assert len(gaps) >= 4
    assert max(gaps) <= CLOSEST


@flips
def test_the_back_offset_of_the_profile_is_made_up_for(tmp_path: Path, flip: Flip) -> None:
    path = two_sided(tmp_path / "flat.pdf")
    profile = replace(CROOKED, back=Point(0.5, -0.3))
    save_profile(profiles_folder(), profile)
    job = Job(path, find_sheet("A4"), orientation="portrait", marks="none", guides="none")
    job = replace(job, inside=path, inside_page=2, flip=flip, printer=profile.name)
    # The back must move by ``back`` in a page turned over the long edge: the printer prints it as much too
    # far the other way. Turned over the short edge, the back page stands on its head on the same printer.
    too_far = Point(-0.5, 0.3) if flip == "long" else Point(0.5, -0.3)
    gaps = held_to_the_light(run(job, tmp_path / "pack.pdf"), profile, too_far)
    assert max(gaps) <= CLOSEST
    plain = run(replace(job, printer=None), tmp_path / "plain.pdf")
    assert max(held_to_the_light(plain, PERFECT, too_far)) == pytest.approx(math.hypot(0.5, 0.3), abs=0.05)


def test_landscape_backs_are_not_moved_and_the_user_is_told(tmp_path: Path) -> None:
    path = two_sided(tmp_path / "flat.pdf")
    save_profile(profiles_folder(), replace(PERFECT, back=Point(0.9, -0.6)))
    job = Job(path, find_sheet("A4"), orientation="landscape", inside=path, inside_page=2, printer="perfect")
    assert any("holds for portrait pages alone" in warning for warning in prepare(job).warnings)
    upright = replace(job, orientation="portrait")
    assert not any("portrait pages alone" in warning for warning in prepare(upright).warnings)


@flips
@orientations
def test_a_back_never_leaves_what_the_printer_reaches(tmp_path: Path, flip: Flip, orientation: Any) -> None:
    margins, back = Margins(3, 4, 12.7, 9), Point(0.9, -0.6)
    save_profile(profiles_folder(), replace(PERFECT, back=back))
    job = replace(lid_job(flip), orientation=orientation, margins=margins, printer="perfect")
    prepared = prepare(job)
    for tile in prepared.printed:
        reach = prepared.plan.sheet.printable(margins, tile.landscape)
        seen = seen_from_behind(tile).inset(0, 0, -1, -1)
        assert reach.grown(1e-6).holds(seen)
        move = Point(0, 0) if tile.landscape else back if flip == "long" else Point(-back.x, -back.y)
        assert reach.grown(1e-6).holds(behind(seen, tile, flip).shifted(*move))


def test_margins_grow_no_more_than_they_must() -> None:
    margins = Margins(3, 4, 12.7, 9)
    assert margins_with_backs(margins, "long", None) == Margins(4, 10, 13.7, 10)
    assert margins_with_backs(margins, "short", None) == pytest.approx(Margins(13.7, 5, 13.7, 10))


@flips
def test_every_sheet_has_its_own_back(tmp_path: Path, flip: Flip) -> None:
    outcome = run(replace(lid_job(flip), tiles=("A1", "B2")), tmp_path / "pack.pdf")
    pdf = pypdf.PdfReader(outcome.output)
    labels = pdf.page_labels
    assert labels[0::2] == ["Map", "Assembly", *(["Assembly 2"] if len(labels) > 8 else []), "A1", "B2"]
    assert labels[1::2] == [f"{label} back" for label in labels[0::2]]
    for front, back in zip(pdf.pages[0::2], pdf.pages[1::2], strict=True):
        assert front.mediabox == back.mediabox
    preferences = root_of(outcome.output)["/ViewerPreferences"]
    # ISO 32000-2, table 147
    assert preferences["/Duplex"] == f"/DuplexFlip{flip.capitalize()}Edge"
    assert preferences["/PrintScaling"] == "/None"
    for front in pdf.pages[1::2]:
        assert front.get_contents() is not None
    told = outcome_json(outcome)
    assert told["inside"] == {
        "file": "lid.pdf",
        "page": 2,
        "box": outcome.prepared.loaded.inside.box if outcome.prepared.loaded.inside else "",
        "sha256": told["flat"]["sha256"],
        "flip": flip,
    }
    assert {tile["label"]: tile["back"] for tile in told["tiles"] if tile["back"]} == {
        label: page + 1 for label, page in outcome.tile_pages.items()
    }
    assert sorted((*outcome.first_pages, *outcome.rest_pages)) == list(range(1, len(pdf.pages) + 1))


def test_without_an_inside_print_nothing_changes(tmp_path: Path) -> None:
    outcome = run(Job(LID, find_sheet("A4")), tmp_path / "pack.pdf")
    pdf = pypdf.PdfReader(outcome.output)
    assert not any("back" in label for label in pdf.page_labels)
    assert root_of(outcome.output)["/ViewerPreferences"]["/Duplex"] == "/Simplex"
    told = outcome_json(outcome)
    assert told["inside"] is None
    assert all(tile["back"] is None for tile in told["tiles"])


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    one, other = (run(lid_job(), tmp_path / name).output.read_bytes() for name in ("a.pdf", "b.pdf"))
    assert one == other


def test_layers_of_both_files_stay_as_they_print(tmp_path: Path) -> None:
    blot = b"0 g 100 100 300 200 re f"
    for name in ("outside", "inside"):
        flat_pdf(
            tmp_path / f"{name}.pdf",
            change=lambda writer, name=name: add_layer(writer, name, blot, "off"),  # type: ignore[misc]
        )
    job = Job(tmp_path / "outside.pdf", find_sheet("A4"), inside=tmp_path / "inside.pdf", guides="none")
    outcome = run(job, tmp_path / "pack.pdf")
    hidden = root_of(outcome.output)["/OCProperties"]["/D"]["/OFF"]
    assert [layer.get_object()["/Name"] for layer in hidden] == ["outside", "inside"]


def test_two_pages_of_one_file_share_their_layers(tmp_path: Path) -> None:
    outcome = run(lid_job(), tmp_path / "pack.pdf")
    layers = root_of(outcome.output)["/OCProperties"]["/OCGs"]
    names = [layer.get_object()["/Name"] for layer in layers]
    assert len(names) == len(set(names)) > 0


def test_ink_on_either_side_is_covered_and_the_inside_is_mirrored() -> None:
    outside, inside = np.zeros((4, 6), bool), np.zeros((4, 6), bool)
    outside[0, 0] = inside[3, 0] = True
    both = both_inks(outside, inside)
    assert sorted(map(tuple, np.argwhere(both).tolist())) == [(0, 0), (3, 5)]
    assert both_inks(outside, np.ones((5, 7), bool)).all()


def test_an_inside_of_another_size_is_refused_with_both_sizes(tmp_path: Path) -> None:
    flat_pdf(tmp_path / "inside.pdf", size=(998, 702))
    flat = flat_pdf(tmp_path / "flat.pdf", size=(1000, 700))
    job = Job(flat, find_sheet("A4"), inside=tmp_path / "inside.pdf")
    with pytest.raises(FlatError, match=r"352\.07 × 247\.65 mm.*352\.78 × 246\.94 mm"):
        prepare(job)
    flat_pdf(tmp_path / "inside.pdf", size=(999, 701))  # 0.35 mm
    assert prepare(job).sides == 2


def test_the_outside_is_not_its_own_inside() -> None:
    with pytest.raises(UsageError, match="is the outside print itself"):
        prepare(Job(LID, find_sheet("A4"), inside=LID, inside_page=1))


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["--flip", "short"], 2, "--flip is for sheets with an inside print"),
        (["--inside", "0"], 2, "there is no page 0"),
        (["--inside", "9"], 2, "page 9"),
        (["--inside", ""], 2, "--inside names nothing"),
        (["--inside", "attic.pdf"], 1, "there is no such file"),
        (["--inside", str(SAMPLES / "tray.pdf")], 1, "has another size than the outside"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(
    words: list[str], code: int, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mock", str(LID), "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4", *words]) == code
    said = capsys.readouterr().err
    assert sentence in said
    assert said.count("\n") == 1
    assert not (tmp_path / "pack.pdf").exists()


def test_the_inside_file_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    flat, inside = flat_pdf(tmp_path / "a.pdf"), flat_pdf(tmp_path / "b.pdf")
    before = inside.read_bytes()
    assert main(["mock", str(flat), "--inside", str(inside), "-o", str(inside)]) == 1
    assert "b.pdf" in capsys.readouterr().err
    assert inside.read_bytes() == before


def test_the_command_line_prints_the_inside_of_the_same_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pack = tmp_path / "pack.pdf"
    words = ["mock", str(LID), "--sheet", "A4", "--inside", "2", "--flip", "short", "--json"]
    assert main([*words, "-o", str(pack)]) == 0
    said = capsys.readouterr()
    assert json.loads(said.out)["inside"]["flip"] == "short"
    assert "on both sides, turned over the short edge" in said.err
    assert "pages 1 and 2" in said.err
