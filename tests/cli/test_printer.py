"""``tiler printer`` from the calibration sheet to a corrected pack."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pypdf
import pytest

from tests.flats import flat_pdf
from tests.tape_up import flat_by_pdfium, opened, rendered, shift_between
from tiler.cli import main
from tiler.flat.read import Wanted
from tiler.geometry import Affine, Rect, Size
from tiler.job import Job
from tiler.printers.in_use import profiles_folder
from tiler.printers.profile import Profile, printed
from tiler.printers.profile_files import load_profile
from tiler.printers.sheets import find_sheet
from tiler.run import prepare
from tiler.units import MM_PER_POINT

READINGS = ["--top", "174.5", "--bottom", "174.5", "--left", "259.5", "--right", "259.5"]


def said(capsys: pytest.CaptureFixture[str]) -> tuple[str, str]:
    """What came out on stdout and stderr."""
    read = capsys.readouterr()
    return read.out, read.err


def test_from_calibration_sheet_to_the_printer_in_use(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["printer", "calibrate", "office", "--sheet", "A4", "-o", str(tmp_path / "cal.pdf")]) == 0
    assert len(pypdf.PdfReader(tmp_path / "cal.pdf").pages) == 2
    words = ["printer", "measure", "Office", "--sheet", "A4", *READINGS, "--edges", "4,4,12,4"]
    assert main([*words, "--over", "506x426mm"]) == 0
    assert "over your 506 × 426 mm flat this is 1.4 mm too narrow" in said(capsys)[1]
    assert main(["printer", "list", "--json"]) == 0
    listed = json.loads(said(capsys)[0])
    assert listed["default"] == "Office"
    assert listed["profiles"][0]["scale_x"] == pytest.approx(174.5 / 175, abs=1e-4)
    assert main(["printer", "show"]) == 0
    assert "margins 4, 4, 12, 4 mm" in said(capsys)[0]


def test_the_printer_in_use_gives_margins_and_says_so_in_the_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf", size=(800, 600))
    main(["printer", "measure", "office", "--sheet", "A4", *READINGS, "--edges", "3,3,3,3"])
    said(capsys)
    assert main(["plan", str(flat), "--sheet", "A4", "--json"]) == 0
    plan = json.loads(said(capsys)[0])
    assert plan["printer"]["name"] == "office"
    assert plan["tiles"][0]["place"] == {"x": 3.0, "y": 3.0}
    assert main(["plan", str(flat), "--sheet", "A4", "--json", "--printer", "none"]) == 0
    plan = json.loads(said(capsys)[0])
    assert plan["printer"] is None
    assert plan["tiles"][0]["place"] == {"x": 6.5, "y": 6.5}


def test_a_corrected_pack_comes_out_true_on_the_printer_it_was_made_for(tmp_path: Path) -> None:
    """The sheet is rendered through the very distortion of the printer, then held against the flat."""
    flat = flat_pdf(tmp_path / "a.pdf", size=(800, 600))
    diagonals = ["--falling", "312.6", "--rising", "312.9"]
    main(["printer", "measure", "office", "--sheet", "A4", *READINGS, *diagonals])
    pack = tmp_path / "pack.pdf"
    assert main(["mock", str(flat), "-o", str(pack), "--sheet", "A4", "--marks", "none"]) == 0
    profile = load_profile(profiles_folder(), "office")
    plan = prepare(Job(flat, find_sheet("A4"), Wanted(), printer="office")).plan
    show = flat_by_pdfium(flat, 1, plan.flat, None)
    for page_number, tile in enumerate(plan.tiles, start=3):
        middle = (tile.sheet.width / 2, tile.sheet.height / 2)
        press = Affine.shift(-middle[0], -middle[1]).then(printed(profile, tile.sheet))
        press = press.then(Affine.shift(*middle))
        for corner in tile.face.inset(6, 6, 6, 6).corners:
            before = press.inverse().apply(*corner.shifted(*tile.to_sheet))
            with opened(pack, page_number) as page:
                seen = rendered(page, (MM_PER_POINT, MM_PER_POINT), Rect(before.x - 5, before.y - 5, 10, 10))
            assert shift_between(seen, show(Rect(corner.x - 5, corner.y - 5, 10, 10))) <= 0.1, tile.label


def test_without_the_correction_that_test_would_fail() -> None:
    profile = Profile("office", scale_x=174.5 / 175, scale_y=259.5 / 260)
    ends = printed(profile, Size(210, 297)).apply(105 - 12, 148.5 - 12)
    assert np.hypot(ends.x - 93, ends.y - 136.5) > 0.3


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["show", "attic"], 1, "attic"),
        (["show"], 1, "no printer is in use"),
        (["use", "attic"], 1, "attic"),
        (["measure", "office", "--sheet", "A4"], 2, "there are no readings"),
        (
            ["measure", "office", "--sheet", "A4", "--top", "6.87", "--left", "10.2"],
            1,
            "did you measure in inches?",
        ),
        (["measure", "office", "--sheet", "A4", "--top", "0", "--left", "260"], 1, "top"),
        (["measure", "office", "--sheet", "A4", "--top", "169.75", "--left", "252.2"], 1, "97.1 %"),
        (
            ["measure", "office", "--sheet", "A4", "--top", "175", "--left", "260", "--back", "1"],
            2,
            "two lengths",
        ),
        (["calibrate", "-o", "/no/such/folder/cal.pdf"], 1, "there is no such folder"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(
    words: list[str], code: int, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["printer", *words]) == code
    out, err = said(capsys)
    assert out == ""
    assert sentence in err
    assert err.count("\n") == 1


def test_a_broken_profile_is_named_and_left_alone(capsys: pytest.CaptureFixture[str]) -> None:
    main(["printer", "measure", "office", "--sheet", "A4", *READINGS])
    path = profiles_folder() / "printers" / "office.toml"
    path.write_text("scale = [", encoding="utf-8")
    said(capsys)
    assert main(["printer", "show", "office"]) == 1
    assert "office.toml" in said(capsys)[1]
    assert main(["printer", "measure", "office", "--sheet", "A4", *READINGS]) == 1
    assert path.read_text(encoding="utf-8") == "scale = ["


@pytest.mark.parametrize(
    "words", [("mock",), ("printer",), ("printer", "calibrate"), ("panels",), ("revise",)]
)
def test_help_shows_no_signs_of_its_making(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        main([*words, "--help"])
    assert "%%" not in capsys.readouterr().out
