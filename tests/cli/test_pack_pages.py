"""Proof list and corner strips in the pack: where they stand, what they say, and when they are left out."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2
import pytest
from reportlab.lib.colors import CMYKColorSep
from reportlab.pdfgen import canvas

from tests.checks.planted import planted
from tests.flats import flat_pdf
from tiler.cli import main

SAMPLES = Path(__file__).parent.parent.parent / "sample_art"
LID = str(SAMPLES / "lid.pdf")
NAMES = ("lamp, from the front", "corner of the band")
NOT_PRINTED = (
    "Notes to the printer: varnish free on all four glue flaps; proof on the production board, please."
)
"""On a layer of the sample that is not printed; PDFium reads it all the same."""
POINTS = ("--check-point", f"200,150,{NAMES[0]}", "--check-point", f"63,63,{NAMES[1]}")


def said(*words: str) -> list[str]:
    """The words of ``tiler mock`` with a sheet and no printer."""
    return ["mock", *words, "--sheet", "A4", "--printer", "none"]


def mocked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Run ``tiler mock --json`` and read what it says."""
    capsys.readouterr()
    assert main([*said(*words), "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def words_of(path: Path, pages: list[int]) -> list[str]:
    """The words on some pages, counted from 1, as PDFium reads them."""
    document = pypdfium2.PdfDocument(path)
    text = " ".join(document[page - 1].get_textpage().get_text_bounded() for page in pages)
    document.close()
    return text.split()


def labels_of(path: Path) -> list[str]:
    """What the pages are called, as qpdf reads it."""
    with pikepdf.open(path) as pdf:
        assert not pdf.check_pdf_syntax()
        return [str(page.label) for page in pdf.pages]


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack with all there is."""
    path = tmp_path_factory.mktemp("pack") / "p.pdf"
    with path.with_suffix(".json").open("w") as out:
        command = [
            sys.executable,
            "-m",
            "tiler",
            *said(LID, "-o", str(path), "--proof", "--corners", *POINTS),
        ]
        subprocess.run([*command, "--json"], check=True, stdout=out, cwd=SAMPLES.parent)
    return path


def plan_of(pack: Path) -> dict[str, Any]:
    """What was said of a pack."""
    found: dict[str, Any] = json.loads(pack.with_suffix(".json").read_text("utf-8"))
    return found


def test_they_stand_between_the_assembly_and_the_tiles(pack: Path) -> None:
    plan, labels = plan_of(pack), labels_of(pack)
    pages = plan["pages"]
    assert [labels[page - 1] for page in (*pages["map"], *pages["assembly"])] == ["Map", "Assembly"]
    assert {re.sub(r" \d+$", "", labels[page - 1]) for page in pages["proof"]} == {"Proof list"}
    assert {re.sub(r" \d+$", "", labels[page - 1]) for page in pages["corners"]} == {"Corners"}
    tiles = [tile["page"] for tile in plan["tiles"]]
    order = [*pages["map"], *pages["assembly"], *pages["proof"], *pages["corners"], *sorted(tiles)]
    assert order == list(range(1, len(labels) + 1))
    assert [labels[page - 1] for page in tiles] == [tile["label"] for tile in plan["tiles"]]


def test_the_outline_leads_to_them(pack: Path) -> None:
    with pikepdf.open(pack) as pdf, pdf.open_outline() as outline:
        items = {str(item.title): item.destination for item in outline.root}
        pages = plan_of(pack)["pages"]
        for title, kind in (("Proof list", "proof"), ("Corner strips", "corners")):
            target = items[title]
            assert isinstance(target, pikepdf.Array)
            assert target[0].objgen == pdf.pages[pages[kind][0] - 1].obj.objgen


def test_no_letter_of_the_flat_is_missing_on_the_proof_list(pack: Path) -> None:
    # PDFium reads the flat by itself, where it runs turned texts together; so letters are counted, of the
    # list only those under its heading for texts, and none that stands in the sizes and panels there.
    text = " ".join(words_of(pack, plan_of(pack)["pages"]["proof"]))
    begin, end = text.index("In reading order, panel by panel."), text.index("What this list does not say")
    listed = Counter(text[begin + len("In reading order, panel by panel.") : end])
    document = pypdfium2.PdfDocument(LID)
    page = document[0]
    there = Counter(page.get_textpage().get_text_bounded(*page.get_bleedbox()))
    document.close()
    there -= Counter(NOT_PRINTED)
    letters = [letter for letter in there if letter.isalpha() and letter not in "ptxmP"]
    assert len(letters) > 30
    assert {
        letter: listed[letter] - there[letter] for letter in letters if listed[letter] < there[letter]
    } == {}


def test_the_numbers_of_the_texts_are_on_the_map_and_only_with_the_list(
    pack: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", LID, "--json"]) == 0
    count = len(json.loads(capsys.readouterr().out)["texts"])
    assert count > 40
    on_map = words_of(pack, plan_of(pack)["pages"]["map"])
    assert sum(str(number) in on_map for number in range(1, count + 1)) >= 0.9 * count
    main(said(LID, "-o", str(tmp_path / "bare.pdf")))
    bare = words_of(tmp_path / "bare.pdf", [1])
    assert sum(str(number) in bare for number in range(1, count + 1)) <= 0.2 * count


def test_check_points_are_listed_with_letter_place_and_tile(pack: Path) -> None:
    plan = plan_of(pack)
    text = " ".join(words_of(pack, plan["pages"]["proof"]))
    for letter, name, x, y in (("a", NAMES[0], 200, 150), ("b", NAMES[1], 63, 63)):
        (tile,) = (
            tile["label"]
            for tile in plan["tiles"]
            if 0 <= x - tile["face"]["x"] <= tile["face"]["width"]
            and 0 <= y - tile["face"]["y"] <= tile["face"]["height"]
        )
        found = text[text.index("Check points") : text.index("Numbers to hold")]
        assert re.search(rf"\b{letter} {name}", found)
        assert f"at {x}, {y} mm" in found
        assert tile in found.split()


def test_the_same_choices_give_the_same_bytes(pack: Path, tmp_path: Path) -> None:
    assert main(said(LID, "-o", str(tmp_path / "p.pdf"), "--proof", "--corners", *POINTS)) == 0
    assert (tmp_path / "p.pdf").read_bytes() == pack.read_bytes()


def test_every_front_has_a_back_where_there_is_an_inside_print(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = mocked(
        capsys, LID, "-o", str(tmp_path / "p.pdf"), "--proof", "--corners", "--inside", "2", "--flip", "short"
    )
    labels = labels_of(tmp_path / "p.pdf")
    assert labels[1::2] == [f"{label} back" for label in labels[::2]]
    for kind, label in (("proof", "Proof list"), ("corners", "Corners")):
        assert labels[plan["pages"][kind][0] - 1] == label
    # the proof list says that it is of the outside alone
    assert "--page 2" in " ".join(words_of(tmp_path / "p.pdf", plan["pages"]["proof"]))


def test_a_mock_of_another_scale_says_that_its_list_is_of_the_true_size(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points = ("--check-point", "200,150,lamp")
    plan = mocked(capsys, LID, "-o", str(tmp_path / "p.pdf"), "--proof", "--scale", "1:2", *points)
    text = " ".join(words_of(tmp_path / "p.pdf", plan["pages"]["proof"]))
    assert "The mock is printed at scale 1:2; sizes and places on this list are at true size." in text
    assert "at 200, 150 mm" in text


def test_sheets_printed_again_come_without_them_unless_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, out = str(tmp_path / "job.toml"), str(tmp_path / "p.pdf")
    assert main(["ticket", LID, "-o", job, "--proof", "--corners", "--sheet", "A4"]) == 0
    assert mocked(capsys, job, "-o", out)["pages"]["proof"]
    again = mocked(capsys, job, "-o", out, "--tiles", "A1")["pages"]
    assert (again["proof"], again["corners"]) == ([], [])
    asked = mocked(capsys, job, "-o", out, "--tiles", "A1", "--proof")["pages"]
    assert asked["proof"]
    assert asked["corners"] == []
    off = mocked(capsys, job, "-o", out, "--no-proof")["pages"]
    assert off["proof"] == []
    assert off["corners"]


def test_every_part_has_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tray, sleeve = str(SAMPLES / "tray.pdf"), str(SAMPLES / "sleeve.jpg")
    whole = mocked(capsys, tray, sleeve, "-o", str(tmp_path / "p.pdf"), "--proof", "--corners")
    labels = labels_of(tmp_path / "p.pdf")
    for part in whole["parts"]:
        assert labels[part["pages"]["proof"][0] - 1] == f"{part['name']} Proof list"
    first, second = (part["pages"]["corners"] for part in whole["parts"])
    assert labels[first[0] - 1] == "tray Corners"
    assert second == []  # a picture has no panels
    assert any("no panels to fold" in warning for warning in whole["parts"][1]["warnings"])


def test_a_folder_of_packs_has_the_pages_that_each_pack_has_alone(tmp_path: Path) -> None:
    flat_pdf(tmp_path / "a.pdf", (600, 500))
    flat_pdf(tmp_path / "b.pdf", (500, 600))
    flats = [str(tmp_path / "a.pdf"), str(tmp_path / "b.pdf")]
    assert main(said(*flats, "-o", f"{tmp_path / 'packs'}/", "--proof")) == 0
    assert main(said(flats[0], "-o", str(tmp_path / "alone.pdf"), "--proof")) == 0
    assert (tmp_path / "packs" / "a_pack.pdf").read_bytes() == (tmp_path / "alone.pdf").read_bytes()
    assert "Proof list" in labels_of(tmp_path / "alone.pdf")


def bare_tray(path: Path) -> Path:
    """A tray without art: a bottom of 200 pt and walls of 100 pt, in spot colours with a trade word."""
    paper = canvas.Canvas(str(path), pagesize=(500, 500))
    corners = [(150, 50), (350, 50), (350, 150), (450, 150), (450, 350), (350, 350)]
    corners += [(350, 450), (150, 450), (150, 350), (50, 350), (50, 150), (150, 150)]
    outline = paper.beginPath()
    outline.moveTo(*corners[0])
    for corner in corners[1:]:
        outline.lineTo(*corner)
    outline.close()
    paper.setStrokeColor(CMYKColorSep(0, 1, 0, 0, spotName="Cut", density=1))
    paper.drawPath(outline)
    paper.setStrokeColor(CMYKColorSep(1, 0, 0, 0, spotName="Crease", density=1))
    paper.rect(150, 150, 200, 200)
    paper.save()
    return path


def test_a_box_whose_art_meets_nowhere_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    flat = bare_tray(tmp_path / "a.pdf")
    assert main(said(str(flat), "-o", str(tmp_path / "p.pdf"), "--corners")) == 0
    sentence = "no art runs to an edge that meets another, so there are no corner strips"
    assert sentence in capsys.readouterr().err
    assert "Corners" not in labels_of(tmp_path / "p.pdf")
    plan = mocked(capsys, str(flat), "-o", str(tmp_path / "p.pdf"), "--corners")
    assert plan["warnings"] == [sentence]
    assert plan["pages"]["corners"] == []


WAIVER = """version = 1
[flat]
file = "a.pdf"
[paper]
sheet = "A4"
[check]
waivers = [{{ rule = "{rule}", near = [{x}, {y}], reason = "agreed with the maker" }}]
"""


def test_a_waived_finding_stays_to_be_seen_in_report_json_and_pack(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = planted(tmp_path / "a.pdf", ("hairline",))
    assert main(["check", str(flat), "--json", "--strict"]) == 3
    fault = next(f for f in json.loads(capsys.readouterr().out)["findings"] if f["severity"] == "fault")
    x, y = fault["x"] + fault["width"] / 2, fault["y"] + fault["height"] / 2
    job = tmp_path / "job.toml"
    job.write_text(WAIVER.format(rule=fault["rule"], x=x, y=y), encoding="utf-8")
    assert main(["check", str(job), "--json", "--strict"]) == 0
    (found,) = (f for f in json.loads(capsys.readouterr().out)["findings"] if f["rule"] == fault["rule"])
    assert found["waived"] == "agreed with the maker"
    assert main(["check", str(job)]) == 0
    report = " ".join(capsys.readouterr().out.split())
    assert "1 waived" in report
    assert "waived: agreed with the maker" in report
    plan = mocked(capsys, str(job), "-o", str(tmp_path / "p.pdf"), "--proof")
    listed = " ".join(words_of(tmp_path / "p.pdf", plan["pages"]["proof"]))
    assert "waived: agreed with the maker" in listed
    assert "Faults" not in listed


@pytest.mark.parametrize("words", [["mock"], ["mock", "--tiles", "A1"]])
def test_a_plain_pack_loads_nothing_of_the_checks(tmp_path: Path, words: list[str]) -> None:
    flat = flat_pdf(tmp_path / "a.pdf", (600, 500))
    arguments = [words[0], str(flat), "-o", str(tmp_path / "p.pdf"), *words[1:]]
    script = f"import sys; from tiler.cli import main; main({arguments!r}); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "tiler.fronts" in done.stdout.split()
    assert not {"tiler.checks.run", "tiler.proofing", "tiler.fold.of_flat"} & set(done.stdout.split())


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--limits", "house.toml"], "--limits is for the proof list; add --proof"),
        (["--words", "list.txt"], "--words is for the proof list; add --proof"),
        (["--proof", "--limits", "none.toml"], "none.toml: cannot be read"),
        (["--check-point", "12,30"], "'12,30' is no check point; write X,Y,NAME"),
        (["--check-point", "12,30,"], "'12,30,' is no check point"),
        (["--check-point", "twelve,30,barcode"], "'twelve' is not a length"),
        (["--caliper", "50mm"], "'50mm' is no thickness of board"),
        (["--fold", "P1=90"], "'P1=90' is no fold"),
        (["--root", "P77", "--crease", "100,0,100,176"], "there is no panel P77"),
    ],
)
def test_words_that_make_no_sense_are_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], sentence: str
) -> None:
    flat = SAMPLES / "tray.pdf" if "--root" in words else flat_pdf(tmp_path / "a.pdf", (600, 500))
    assert main(said(str(flat), "-o", str(tmp_path / "p.pdf"), *words)) in (1, 2)
    told = capsys.readouterr().err
    assert sentence in told
    assert told.count("\n") == 1
    assert not (tmp_path / "p.pdf").exists()
