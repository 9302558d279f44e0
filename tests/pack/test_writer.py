"""What a pack says, holds and does not hold; qpdf (by pikepdf) is the second reader."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
import zlib
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Stream

from tests.bounded import run_tiler
from tests.flats import flat_pdf
from tests.same_objects import differences
from tiler.flat.read import Wanted
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.run import Outcome, run
from tiler.units import MM_PER_POINT

SAMPLES = Path(__file__).parent.parent.parent / "sample_art"


@pytest.fixture(scope="module")
def lid(tmp_path_factory: pytest.TempPathFactory) -> tuple[Outcome, pikepdf.Pdf]:
    """The pack of the sample lid."""
    pack = tmp_path_factory.mktemp("lid") / "pack.pdf"
    outcome = run(Job(SAMPLES / "lid.pdf", find_sheet("A4")), pack)
    return outcome, pikepdf.open(pack)


Lid = tuple[Outcome, pikepdf.Pdf]


def test_viewers_are_asked_to_print_at_true_size(lid: Lid) -> None:
    wish = lid[1].Root.ViewerPreferences  # ISO 32000-2, table 147
    assert wish.PrintScaling == Name("/None")
    assert list(wish.Enforce) == [Name.PrintScaling]
    assert wish.Duplex == Name.Simplex
    assert bool(wish.PickTrayByPDFSize)


def test_pages_are_labelled_like_their_tiles(lid: Lid) -> None:
    outcome, pdf = lid
    for label, page in outcome.tile_pages.items():
        assert pdf.pages[page - 1].label == label


def test_the_outline_leads_to_every_strip_and_tile_without_actions(lid: Lid) -> None:
    outcome, pdf = lid
    titles: list[str] = []
    with pdf.open_outline() as outline:
        todo = list(outline.root)
        while todo:
            item = todo.pop(0)
            titles.append(str(item.title))
            todo += item.children
            assert item.destination is not None
            assert item.action is None
    assert titles[0] == "Map"
    for label in outcome.tile_pages:
        assert any(label in title for title in titles)


def test_every_page_has_exactly_the_size_of_the_sheet(lid: Lid) -> None:
    width, height = (side / MM_PER_POINT for side in (210.0, 297.0))  # A4, ISO 216
    for page in lid[1].pages:
        sides = sorted(float(page.mediabox[i + 2]) - float(page.mediabox[i]) for i in (0, 1))
        assert sides == pytest.approx([width, height], abs=0.001)
        assert "/CropBox" not in page.obj or list(page.cropbox) == list(page.mediabox)
        assert "/Rotate" not in page.obj
        assert "/UserUnit" not in page.obj


def test_the_title_names_the_flat_and_no_folder(lid: Lid) -> None:
    info = {key: str(value) for key, value in lid[1].docinfo.items()}
    assert info["/Title"].startswith("lid.pdf")
    assert info["/Producer"].startswith("tiler ")
    assert not any("/" in value or os.sep in value for value in info.values())


def test_a_second_reader_finds_no_fault(lid: Lid) -> None:
    outcome, pdf = lid
    assert pdf.check_pdf_syntax() == []
    assert pdf.get_warnings() == []
    assert len(pdf.pages) == len(outcome.tile_pages) + len(outcome.map_pages) + len(outcome.assembly_pages)


@pytest.mark.parametrize(
    ("file", "page"), [("lid.pdf", 1), ("lid.pdf", 2), ("tray.pdf", 1), ("lid_rev2.pdf", 1)]
)
def test_objects_and_streams_of_the_flat_are_those_of_the_pack(tmp_path: Path, file: str, page: int) -> None:
    run(Job(SAMPLES / file, find_sheet("A4"), Wanted(page=page)), tmp_path / "pack.pdf")
    assert differences(SAMPLES / file, page, tmp_path / "pack.pdf") == []


def test_the_comparison_of_objects_can_fail(tmp_path: Path) -> None:
    run(Job(SAMPLES / "lid.pdf", find_sheet("A4")), tmp_path / "pack.pdf")
    assert differences(SAMPLES / "lid_rev2.pdf", 1, tmp_path / "pack.pdf") != []


def test_the_same_flat_and_choices_give_the_same_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    packs = []
    for number in range(2):
        folder = tmp_path / f"folder {number}"
        folder.mkdir()
        shutil.copy(SAMPLES / "tray.pdf", folder / "tray.pdf")
        monkeypatch.chdir(folder)
        flat = Path("tray.pdf") if number else folder / "tray.pdf"
        run(Job(flat, find_sheet("A4")), folder / f"pack{number}.pdf")
        packs.append((folder / f"pack{number}.pdf").read_bytes())
    assert packs[0] == packs[1]


def test_the_flat_is_held_once_however_many_tiles_show_it(lid: Lid) -> None:
    _, pdf = lid
    forms = {
        page.resources.XObject.Flat.objgen
        for page in pdf.pages
        if "/Flat" in page.resources.get("/XObject", {})
    }
    assert len(forms) == 1


def with_picture(path: Path, data: bytes, width: int, height: int) -> Path:
    """A flat with a grey picture."""
    with pikepdf.open(flat_pdf(path, size=(300, 200)), allow_overwriting_input=True) as pdf:
        picture = Stream(pdf, data)
        entries = picture.stream_dict
        entries[Name.Type], entries[Name.Subtype] = Name.XObject, Name.Image
        entries[Name.Width], entries[Name.Height] = width, height
        entries[Name.BitsPerComponent], entries[Name.ColorSpace] = 8, Name.DeviceGray
        pdf.pages[0].obj.Resources.XObject = Dictionary(Im=picture)
        old = pdf.pages[0].Contents.read_bytes()
        pdf.pages[0].obj.Contents = Stream(pdf, old + b"\nq 100 0 0 100 9 9 cm /Im Do Q")
        pdf.save(path, compress_streams=False)
    return path


def test_a_picture_stream_of_80_mb_is_no_obstacle(tmp_path: Path) -> None:
    side = 8_950  # squared: 80.1 million bytes, above the PDF library's own bound of 75 million
    flat = with_picture(tmp_path / "flat.pdf", bytes(side * side), side, side)
    done = run_tiler(["mock", str(flat), "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4"])
    assert done.code == 0, done.err
    assert differences(flat, 1, tmp_path / "pack.pdf") == []
    assert (tmp_path / "pack.pdf").stat().st_size < flat.stat().st_size + 60_000


def test_an_array_of_more_than_100_000_entries_is_no_obstacle(tmp_path: Path) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf", size=(300, 200))
    with pikepdf.open(flat, allow_overwriting_input=True) as pdf:
        marked = Dictionary(Type=Name.Probe, Numbers=Array(range(110_000)))
        pdf.pages[0].obj.Resources.Properties = Dictionary(Many=pdf.make_indirect(marked))
        pdf.save(flat)
    done = run_tiler(["mock", str(flat), "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4"])
    assert done.code == 0, done.err
    assert differences(flat, 1, tmp_path / "pack.pdf") == []


def test_content_in_120_pieces_is_joined_in_order(tmp_path: Path) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf", size=(300, 200))
    with pikepdf.open(flat, allow_overwriting_input=True) as pdf:
        pieces = [Stream(pdf, b"q %d 0 0 1 0 0 cm" % i + b" Q" * (i > 0)) for i in range(120)]
        pieces.append(Stream(pdf, b"Q"))
        pdf.pages[0].obj.Contents = Array([pdf.make_indirect(piece) for piece in pieces])
        expected = b"\n".join(piece.read_bytes() for piece in pieces)
        pdf.save(flat)
    run(Job(with_ink(flat), find_sheet("A4")), tmp_path / "pack.pdf")
    with pikepdf.open(tmp_path / "pack.pdf") as pdf:
        form = next(p.resources.XObject.Flat for p in pdf.pages if "/Flat" in p.resources.get("/XObject", {}))
        assert form.read_bytes().startswith(expected)
        assert zlib.decompress(form.read_raw_bytes()) == form.read_bytes()


def with_ink(path: Path) -> Path:
    """The same flat with a black field on top."""
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        page = pdf.pages[0].obj
        page.Contents.append(pdf.make_indirect(Stream(pdf, b"0 g 9 9 99 99 re f")))
        pdf.save(path)
    return path


def written_in_a_fork(flat: Path, pack: Path, sheet: str) -> int:
    """Start a run; the number of its process."""
    child = os.fork()
    if child == 0:
        try:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            run(Job(flat, find_sheet(sheet)), pack)
        finally:
            os._exit(0)
    return child


def test_a_run_killed_at_any_moment_leaves_the_old_pack_or_the_new_one(tmp_path: Path) -> None:
    dice = random.Random(7)
    flat = SAMPLES / "lid.pdf"
    (tmp_path / "out").mkdir()
    pack = tmp_path / "out" / "pack.pdf"
    run(Job(flat, find_sheet("A4")), pack)
    new = pack.read_bytes()
    old = b"the pack of yesterday"
    outcomes = set()
    for _ in range(10):
        pack.write_bytes(old)
        child = written_in_a_fork(flat, pack, "A4")
        deadline = time.monotonic() + 30
        while len(os.listdir(pack.parent)) < 2 and time.monotonic() < deadline:
            time.sleep(0.0002)
        time.sleep(dice.random() * 0.2)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        outcomes.add(pack.read_bytes())
    assert outcomes <= {old, new}
    assert old in outcomes
    run(Job(flat, find_sheet("A4")), pack)
    assert pack.read_bytes() == new
    assert os.listdir(pack.parent) == ["pack.pdf"]


def test_two_runs_onto_one_output_leave_one_whole_pack(tmp_path: Path) -> None:
    flat = SAMPLES / "tray.pdf"
    (tmp_path / "out").mkdir()
    whole = set()
    for sheet in ("A4", "letter"):
        run(Job(flat, find_sheet(sheet)), tmp_path / f"{sheet}.pdf")
        whole.add((tmp_path / f"{sheet}.pdf").read_bytes())
    pack = tmp_path / "out" / "pack.pdf"
    children = [written_in_a_fork(flat, pack, sheet) for sheet in ("A4", "letter")]
    for child in children:
        os.waitpid(child, 0)
    assert pack.read_bytes() in whole
    assert os.listdir(pack.parent) == ["pack.pdf"]
