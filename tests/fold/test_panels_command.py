"""``tiler panels`` tells and writes the folded box."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from tiler.cli import main

LID = str(Path(__file__).parents[2] / "sample_art" / "lid.pdf")


def told(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["panels", LID, "--json", *words]) == 0
    data = json.loads(capsys.readouterr().out)
    assert isinstance(data, dict)
    return data


def test_json_holds_folds_meetings_and_what_is_up(capsys: pytest.CaptureFixture[str]) -> None:
    data = told(capsys, "--caliper", "1.5mm")
    fold, meetings = data["fold"], data["meetings"]
    assert isinstance(fold, dict)
    assert isinstance(meetings, list)
    assert (fold["root"], fold["stands"], fold["upside_down"]) == ("P5", "rim", [])
    assert [meeting["id"] for meeting in meetings] == ["m1", "m2", "m3", "m4"]
    assert meetings[0]["a"].keys() == {"panel", "x1", "y1", "x2", "y2"}
    assert [meeting["length"] for meeting in meetings] == pytest.approx([60.0] * 4)
    assert "art" not in meetings[0]
    # The lid's blank: base 300 × 220, walls 60; two walls across and along, one top.
    assert fold["board"] == {
        "caliper": 1.5,
        "inside": {"length": 298.5, "width": 218.5, "depth": 59.25},
        "outside": {"length": 301.5, "width": 221.5, "depth": 60.75},
    }
    turns = {panel["panel"]: panel["turn"] for panel in fold["up"]}
    assert (turns["P5"], abs(turns["P2"]), turns["P8"]) == (None, 180, 0)


def test_the_sample_lids_band_meets_at_every_corner(capsys: pytest.CaptureFixture[str]) -> None:
    # The sample is made so that its band meets: making it stops otherwise.
    meetings = told(capsys, "--measure")["meetings"]
    assert isinstance(meetings, list)
    assert {meeting["art"]["verdict"] for meeting in meetings} == {"matches"}
    assert all(abs(meeting["art"]["step"]) < 0.1 for meeting in meetings)


def test_root_fold_and_standing_are_the_users(capsys: pytest.CaptureFixture[str]) -> None:
    fold = told(capsys, "--root", "p8", "--fold", "P5/P2=30", "--stands", "root")["fold"]
    assert isinstance(fold, dict)
    assert (fold["root"], fold["stands"]) == ("P8", "root")
    assert {"panels": ["P2", "P5"], "angle": 30.0, "how": "told"} in fold["folds"]


def test_views_and_strips_are_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    png, svg, pdf = (tmp_path / name for name in ("box.png", "box.svg", "strips.pdf"))
    words = ["--view", str(png), "--view-size", "400x300", "--corner", "back-left", "--opening", "30%"]
    assert main(["panels", LID, *words, "--inside", "2", "--corners", str(pdf), "--sheet", "A4"]) == 0
    assert main(["panels", LID, "--view", str(svg)]) == 0
    with Image.open(png) as picture:
        assert picture.size == (400, 300)
        assert len(picture.getcolors(400 * 300) or []) > 500
    assert svg.read_text(encoding="utf-8").startswith("<svg ")
    (page,) = PdfReader(pdf).pages
    assert float(page.mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.01)
    assert "m4 · P6 above, P8 below, 60 mm" in page.extract_text()
    assert "artwork meets" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--view", "box.gif"], "--view cannot tell the form of this file; let its name end in .png or .svg"),
        (["--corners", "box.png"], "--corners cannot tell the form of this file"),
        (["--fold", "P5=3"], "'P5=3' is no fold"),
        (["--fold", "P1/P9=3"], "no straight crease between P1 and P9 is folded"),
        (["--root", "P77"], "there is no panel P77; the flat has P1 to P9"),
        (["--corner", "above"], "'above' is no corner to look from"),
        (["--opening", "200%"], "'200%' is not a share"),
        (["--view-size", "9x9"], "'9x9' is no size of a picture"),
        (["--view-size", "8000x8000"], "together no more than 6000x4000 has"),
        (["--caliper", "90mm"], "'90mm' is no thickness of board"),
    ],
)
def test_wrong_words_are_told_in_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["panels", LID, *words]) == 2
    assert sentence in capsys.readouterr().err


def test_a_flat_without_lines_still_gives_its_listing(capsys: pytest.CaptureFixture[str]) -> None:
    sleeve = str(Path(LID).with_name("sleeve.jpg"))
    assert main(["panels", sleeve, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["fold"] is None
    assert main(["panels", sleeve, "--measure"]) == 1
    assert "no panels to fold" in capsys.readouterr().err


def test_the_flat_itself_is_never_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    copy = tmp_path / "flat.pdf"
    copy.write_bytes(Path(LID).read_bytes())
    assert main(["panels", str(copy), "--corners", str(copy)]) == 1
    assert "would be overwritten" in capsys.readouterr().err
    assert copy.read_bytes() == Path(LID).read_bytes()
