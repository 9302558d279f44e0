"""``tiler mock`` and ``tiler plan``: the contract with people and with other programs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from PIL import Image

from tests.flats import flat_pdf
from tiler.cli import main

SAMPLES = Path(__file__).parent.parent.parent / "sample_art"

KEYS: dict[str, Any] = {
    "version": int,
    "unit": str,
    "flat": {"file": str, "page": int, "box": str, "width": float, "height": float, "sha256": str},
    "sheet": {"name": str, "width": float, "height": float},
    "printer": type(None),
    "scale": float,
    "overlap": float,
    "layout": str,
    "sheets": int,
    "grid_sheets": int,
    "pages": {"map": [int], "assembly": [int], "proof": [int], "corners": [int]},
    "tiles": [
        {
            "label": str,
            "page": int,
            "sheet": {"width": float, "height": float},
            "face": {"x": float, "y": float, "width": float, "height": float},
            "window": {"x": float, "y": float, "width": float, "height": float},
            "place": {"x": float, "y": float},
            "neighbours": {"right": [str], "below": [str]},
        }
    ],
    "seams": [
        {
            "x1": float,
            "y1": float,
            "x2": float,
            "y2": float,
            "upper": str,
            "lower": str,
            "penalty": float,
            "why": str,
        }
    ],
    "structure": {"cuts": int, "creases": int, "evidence": [str]},
    "warnings": [str],
}
"""Version 1 of the plan: keys may be added, never changed."""


def assert_shaped(value: Any, shape: Any, where: str = "plan") -> None:
    """Every promised key is there with its type."""
    if isinstance(shape, dict):
        for key, inner in shape.items():
            assert key in value, f"{where}.{key}"
            assert_shaped(value[key], inner, f"{where}.{key}")
    elif isinstance(shape, list):
        assert isinstance(value, list), where
        for item in value:
            assert_shaped(item, shape[0], f"{where}[]")
    else:
        assert isinstance(value, shape), f"{where} is {value!r}"


def mock(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Run ``tiler mock --json`` and read its plan."""
    assert main(["mock", *words, "--json"]) == 0
    plan: dict[str, Any] = json.loads(capsys.readouterr().out)
    return plan


def test_the_plan_of_a_written_pack_has_all_that_is_promised(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = mock(capsys, str(SAMPLES / "lid.pdf"), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4")
    assert_shaped(plan, KEYS)
    assert plan["sheets"] == len(plan["tiles"])
    assert plan["flat"]["width"] == pytest.approx(426)


def test_pages_and_labels_are_the_same_in_another_reader(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # the second reader is pikepdf (qpdf)
    plan = mock(capsys, str(SAMPLES / "tray.pdf"), "-o", str(tmp_path / "p.pdf"), "--sheet", "letter")
    with pikepdf.open(tmp_path / "p.pdf") as pdf:
        assert not pdf.check_pdf_syntax()
        assert len(pdf.pages) == max(tile["page"] for tile in plan["tiles"])
        for tile in plan["tiles"]:
            assert pdf.pages[tile["page"] - 1].label == tile["label"]


def test_all_pages_have_exactly_the_size_of_the_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mock(capsys, str(SAMPLES / "lid.pdf"), "-o", str(tmp_path / "p.pdf"), "--sheet", "letter")
    with pikepdf.open(tmp_path / "p.pdf") as pdf:
        for page in pdf.pages:
            sides = sorted(float(value) for value in page.mediabox[2:])
            assert sides == pytest.approx([612.0, 792.0], abs=0.01)  # ASME Y14.1 size A, 8.5 × 11 in


def test_people_are_told_what_was_written_and_what_to_print_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    assert main(["mock", str(flat), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4"]) == 0
    out, err = capsys.readouterr()
    assert out == ""
    assert "sheets of A4 (210 × 297 mm) with map" in err
    assert "Print page 1 (the map) first, at 100 %" in err
    assert "check its scale bars" in err


def test_only_the_wanted_tiles_are_printed_and_the_map_shows_all(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    plan = mock(capsys, str(flat), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4", "--tiles", "a2")
    assert [tile["label"] for tile in plan["tiles"] if tile["page"]] == ["A2"]
    assert plan["sheets"] > 1


def test_an_unknown_tile_is_told_with_those_that_exist(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    assert main(["mock", str(flat), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4", "--tiles", "K9"]) == 1
    assert "there is no tile K9 in this plan; it has A1" in capsys.readouterr().err
    assert not (tmp_path / "p.pdf").exists()


@pytest.mark.parametrize(("scale", "factor"), [("50%", 0.5), ("1:2", 0.5), ("2:1", 2.0), ("1", 1.0)])
def test_scale_changes_the_size_on_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], scale: str, factor: float
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf", size=(720, 720))
    assert main(["plan", str(flat), "--sheet", "A3", "--scale", scale, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["flat"]["width"] == pytest.approx(254 * factor, abs=1e-3)


def test_margins_overlap_sheet_and_orientation_are_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    words = ["plan", str(flat), "--json", "--sheet", "297x420mm", "--margins", "5,6,7,8", "--overlap", "15mm"]
    assert main([*words, "--orientation", "portrait", "--layout", "grid"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["sheet"]["width"] == 297.0
    assert plan["overlap"] == 15.0
    assert plan["layout"] == "grid"
    for tile in plan["tiles"]:
        assert tile["place"] == {"x": 8.0, "y": 5.0}
        assert tile["sheet"] == {"width": 297.0, "height": 420.0}


def test_the_same_flat_and_choices_give_the_same_bytes_anywhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    other = tmp_path / "elsewhere"
    other.mkdir()
    (other / "a.pdf").write_bytes(flat.read_bytes())
    assert main(["mock", str(flat), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4"]) == 0
    monkeypatch.chdir(other)
    assert main(["mock", "a.pdf", "-o", "q.pdf", "--sheet", "A4"]) == 0
    assert (tmp_path / "p.pdf").read_bytes() == (other / "q.pdf").read_bytes()
    assert str(tmp_path).encode() not in (tmp_path / "p.pdf").read_bytes()


def test_source_date_epoch_sets_the_date(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # reproducible-builds.org: SOURCE_DATE_EPOCH, seconds since 1970-01-01 UTC
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    flat = flat_pdf(tmp_path / "a.pdf")
    main(["mock", str(flat), "-o", str(tmp_path / "p.pdf"), "--sheet", "A4"])
    with pikepdf.open(tmp_path / "p.pdf") as pdf:
        assert str(pdf.docinfo["/CreationDate"]).startswith("D:20260101")


@pytest.mark.parametrize(
    ("locale", "sheet"),
    [
        ("en_US.UTF-8", "na_letter_8.5x11in"),
        ("fr_CA", "na_letter_8.5x11in"),
        ("de_DE.UTF-8", "iso_a4_210x297mm"),
    ],
)
def test_the_usual_sheet_follows_the_locale(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    locale: str,
    sheet: str,
) -> None:
    monkeypatch.setenv("LANG", locale)
    flat = flat_pdf(tmp_path / "a.pdf")
    main(["plan", str(flat), "--json"])
    assert json.loads(capsys.readouterr().out)["sheet"]["name"] == sheet


def test_a_flat_with_nothing_to_print_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Image.new("RGB", (400, 300), "white").save(tmp_path / "blank.png", dpi=(100, 100))
    assert main(["plan", str(tmp_path / "blank.png")]) == 1
    err = capsys.readouterr().err
    assert "blank.png: nothing on page 1 is to be covered" in err
    assert err.count("\n") == 1


def test_check_points_keep_seams_away_and_one_beside_the_flat_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf", (1000, 400))

    def seams(*words: str) -> list[float]:
        assert main(["plan", str(flat), "--sheet", "A4", "--json", *words]) == 0
        return [seam["x1"] for seam in json.loads(capsys.readouterr().out)["seams"]]

    (seam,) = seams()
    (moved,) = seams("--check-point", f"{seam}mm,70mm,seal")
    assert abs(moved - seam) > 3
    assert main(["plan", str(flat), "--check-point", "900,50,far"]) == 0
    assert "the check point 'far' at 900, 50 mm lies beside the flat" in capsys.readouterr().err
