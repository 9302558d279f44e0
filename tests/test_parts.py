"""A job of several parts: one ticket, one pack, labels that name their part."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest

from tests.flats import add_layer, flat_pdf
from tests.tape_up import flat_by_pdfium, tape_up
from tiler.cli import main
from tiler.errors import UsageError
from tiler.geometry import Rect
from tiler.parts import is_parts_ticket, load_parts, run_parts

TICKET = """version = 1
[paper]
sheet = "A4"
[plan]
layout = "grid"
[[part]]
name = "lid"
file = "lid.pdf"
[[part]]
name = "tray"
file = "tray.pdf"
[part.plan]
overlap = 15
[part.print]
{inside}
"""
INSIDE = 'inside = "lid.pdf"\nflip = "short"'


def ticket(folder: Path, text: str = TICKET, inside: str = "") -> Path:
    """A ticket with a lid and a tray, and their flats."""
    flat_pdf(folder / "lid.pdf", (1000, 700))
    flat_pdf(
        folder / "tray.pdf",
        (700, 1000),
        change=lambda writer: add_layer(writer, "Notes", b"1 0 0 rg 0 0 700 1000 re f", "off"),
    )
    path = folder / "job.toml"
    path.write_text(text.replace("{inside}", inside), encoding="utf-8")
    return path


def mocked(path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """The pack beside the ticket, and what is said of it as JSON."""
    capsys.readouterr()
    assert main(["mock", str(path), "-o", str(path.with_name("pack.pdf")), "--json"]) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def test_shared_tables_hold_for_every_part_and_own_ones_come_first(tmp_path: Path) -> None:
    lid, tray = load_parts(ticket(tmp_path))
    assert (lid.name, lid.job.overlap, lid.job.layout, lid.job.flat.name) == ("lid", 12, "grid", "lid.pdf")
    assert (tray.name, tray.job.overlap, tray.job.layout, tray.job.flat.name) == (
        "tray", 15, "grid", "tray.pdf"
    )  # fmt: skip


def test_one_pack_has_a_map_for_each_part_and_labels_that_name_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = mocked(ticket(tmp_path), capsys)
    with pikepdf.open(tmp_path / "pack.pdf") as pdf:
        assert pdf.check_pdf_syntax() == []
        labels = [str(entry.P) for entry in pdf.Root.PageLabels.Nums[1::2]]
        assert len(pdf.pages) == len(labels) == len(set(labels))
    assert [label for label in labels if "Map" in label] == ["lid Map", "tray Map"]
    assert {"lid A1", "tray A1"} <= set(labels)
    assert labels == sorted(labels, key=lambda label: label.split()[0])
    parts = found["parts"]
    assert isinstance(parts, list)
    for part in parts:
        for tile in part["tiles"]:
            assert labels[tile["page"] - 1] == f"{part['name']} {tile['label']}"
    assert found["sheets"] == sum(part["sheets"] for part in parts)


def test_every_part_tapes_up_true_and_its_hidden_layer_stays_hidden(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = mocked(ticket(tmp_path), capsys)
    parts = found["parts"]
    assert isinstance(parts, list)
    for part in parts:
        size = part["flat"]["width"], part["flat"]["height"]
        marks = [Rect.between(s["x1"], s["y1"], s["x2"], s["y2"]).grown(8) for s in part["seams"]]
        flat = flat_by_pdfium(tmp_path / part["flat"]["file"], 1, size, None)
        results = tape_up(tmp_path / "pack.pdf", part, flat, marks)
        assert len(results) == part["sheets"]
        assert all(result.shift < 0.1 and result.foreign == 0 for result in results)


def test_sheets_say_which_part_they_are_of(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from pypdf import PdfReader

    found = mocked(ticket(tmp_path), capsys)
    pages = PdfReader(tmp_path / "pack.pdf").pages
    parts = found["parts"]
    assert isinstance(parts, list)
    for part in parts:
        for tile in part["tiles"]:
            text = " ".join(pages[tile["page"] - 1].extract_text().split())
            assert f"{part['name']} {tile['label']}" in text


def test_a_part_without_inside_print_gets_blank_backs_beside_one_that_has(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = ticket(tmp_path, inside=INSIDE)
    flat_pdf(tmp_path / "tray.pdf", (1000, 700))
    mocked(path, capsys)
    with pikepdf.open(tmp_path / "pack.pdf") as pdf:
        labels = [str(entry.P) for entry in pdf.Root.PageLabels.Nums[1::2]]
        assert str(pdf.Root.ViewerPreferences.Duplex) == "/DuplexFlipShortEdge"
        backs = [page for page, label in zip(pdf.pages, labels, strict=True) if label.endswith("back")]
        assert len(backs) == len(labels) // 2
        assert all(label.endswith("back") for label in labels[1::2])
        blank = pdf.pages[1].Contents.read_bytes()
        assert b"Tj" not in blank
        assert b"Do" not in blank


def test_the_plan_of_a_ticket_with_parts_counts_the_paper_together(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = ticket(tmp_path)
    assert main(["plan", str(path), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [part["name"] for part in found["parts"]] == ["lid", "tray"]
    assert main(["plan", str(path)]) == 0
    assert f"together {found['sheets']} sheets" in capsys.readouterr().out


def test_words_on_the_command_line_hold_for_all_parts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(ticket(tmp_path)), "--sheet", "A3", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert {part["sheet"]["name"] for part in found["parts"]} == {"iso_a3_297x420mm"}


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        pytest.param('name = "tray"', 'name = "lid"', "two parts are called 'lid'", id="same name"),
        pytest.param('name = "tray"', "", "a part has no name", id="no name"),
        pytest.param(
            'name = "tray"', 'name = "a very long name of a part"', "cannot be a part's name", id="long"
        ),
        pytest.param('file = "tray.pdf"', "", "does not name its flat", id="no flat"),
        pytest.param('file = "tray.pdf"', 'file = "tray.pdf"\ncolour = 1', "colour", id="unknown key"),
        pytest.param("[part.plan]\noverlap = 15", "plan = 15", "is no table", id="no table"),
    ],
)
def test_a_bad_ticket_is_one_sentence(tmp_path: Path, old: str, new: str, sentence: str) -> None:
    path = ticket(tmp_path, TICKET.replace(old, new))
    with pytest.raises(UsageError, match=sentence):
        load_parts(path)


def test_a_command_for_one_flat_says_that_the_ticket_has_parts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["panels", str(ticket(tmp_path))]) == 2
    assert "names several parts" in capsys.readouterr().err


def test_only_a_ticket_with_parts_is_taken_for_one(tmp_path: Path) -> None:
    assert is_parts_ticket(ticket(tmp_path))
    other = tmp_path / "other.toml"
    for text in ("version = 1\n", "part = ", "\x00"):
        other.write_text(text, encoding="utf-8")
        assert not is_parts_ticket(other)
    assert not is_parts_ticket(tmp_path / "lid.pdf")
    assert not is_parts_ticket(tmp_path / "none.toml")


def test_a_run_over_parts_tells_of_the_checks_of_each_and_goes_only_forward(tmp_path: Path) -> None:
    parts = [replace(part, job=replace(part.job, proof=True)) for part in load_parts(ticket(tmp_path))]
    told: list[tuple[str, float]] = []
    run_parts(parts, tmp_path / "pack.pdf", lambda stage, share: told.append((stage, share)))
    assert {"lid: measuring text", "tray: measuring text"} <= {stage for stage, _ in told}
    shares = [share for _, share in told]
    assert shares == sorted(shares)
