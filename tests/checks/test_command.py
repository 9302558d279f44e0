"""``tiler check``: exit codes, JSON on stdout, and a report that 80 columns without colour can hold."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from tests.checks.planted import planted
from tests.flat.text_art import page
from tests.flat.text_art import words as set_words
from tiler.checks.word_list import read_words
from tiler.cli.check import check
from tiler.cli.parser import build_parser
from tiler.errors import UsageError


def options(path: Path, **extra: object) -> argparse.Namespace:
    """What the parser hands over."""
    chosen = build_parser().parse_args(["plan", str(path), "--sheet", "A4", "--printer", "none"])
    defaults = {"limits": None, "words": None, "json": False, "strict": False}
    for name, value in (defaults | extra).items():
        setattr(chosen, name, value)
    return chosen


@pytest.mark.parametrize(
    ("faults", "strict", "code"),
    [(("hairline",), True, 3), (("hairline",), False, 0), (("size",), True, 0), ((), True, 0)],
)
def test_only_strict_checks_with_faults_exit_with_3(
    tmp_path: Path, faults: tuple[str, ...], strict: bool, code: int
) -> None:
    assert check(options(planted(tmp_path / "a.pdf", faults), strict=strict)) == code


def test_json_is_all_that_stdout_gets(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    check(options(planted(tmp_path / "a.pdf", ("size",)), json=True))
    data = json.loads(capsys.readouterr().out)
    assert data["version"] == 1
    (finding,) = data["findings"]
    assert (finding["rule"], finding["severity"], finding["unit"]) == ("text.size", "warning", "pt")
    assert finding["tile"]


def test_the_report_is_readable_at_80_columns_without_colour(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    faults = ("size", "reversed", "quantity", "bleed", "quiet zone", "module", "rgb", "font", "hairline")
    check(options(planted(tmp_path / "a.pdf", faults)))
    out = capsys.readouterr().out
    assert "\x1b" not in out
    assert max(len(line.rstrip()) for line in out.splitlines()) <= 80
    for words in ("5 faults", "Faults", "Warnings", "Where the limits come from", "Texts, in reading order"):
        assert words in out
    assert "person responsible" in " ".join(out.split())


def test_a_profile_changes_what_is_found(tmp_path: Path) -> None:
    profile = tmp_path / "house.toml"
    profile.write_text('[text_size]\nvalue = 14\nseverity = "fault"\n')
    path = planted(tmp_path / "a.pdf", ())
    assert check(options(path, strict=True, limits=str(profile))) == 3


def test_words_of_a_list_of_ones_own_are_read(tmp_path: Path) -> None:
    words = tmp_path / "words"
    words.write_text("Lamp\noil\n\n")
    assert sorted(read_words(words) or ()) == ["lamp", "oil"]
    with pytest.raises(UsageError, match="cannot be read"):
        read_words(tmp_path / "none")


def parts_ticket(folder: Path, lid: tuple[str, ...], tray: tuple[str, ...]) -> Path:
    """A ticket of two parts with these faults planted in them."""
    planted(folder / "lid.pdf", lid)
    planted(folder / "tray.pdf", tray)
    path = folder / "box.toml"
    parts = "".join(f'[[part]]\nname = "{name}"\nfile = "{name}.pdf"\n' for name in ("lid", "tray"))
    path.write_text(f'version = 1\n[paper]\nsheet = "A4"\n{parts}')
    return path


def test_every_part_of_a_ticket_gets_a_report_with_its_heading(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check(options(parts_ticket(tmp_path, ("size",), ("hairline", "thin")))) == 0
    out = capsys.readouterr().out
    lid, tray = out.index("lid: lid.pdf, page 1"), out.index("tray: tray.pdf, page 1")
    assert lid < out.index("text.size") < tray < out.index("line.hairline")
    assert "All 2 parts together: 1 fault, 2 warnings, 0 notes" in out


def test_parts_as_json_are_the_reports_of_their_flats(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ticket = parts_ticket(tmp_path, ("size",), ("hairline",))
    check(options(ticket, json=True))
    data = json.loads(capsys.readouterr().out)
    assert (data["version"], [part.pop("part") for part in data["parts"]]) == (1, ["lid", "tray"])
    for name, part in zip(("lid", "tray"), data["parts"], strict=True):
        check(options(tmp_path / f"{name}.pdf", json=True))
        assert part == json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("lid", "tray", "code"), [((), ("hairline",), 3), (("hairline",), (), 3), (("size",), (), 0)]
)
def test_a_fault_in_any_part_fails_a_strict_check(
    tmp_path: Path, lid: tuple[str, ...], tray: tuple[str, ...], code: int
) -> None:
    assert check(options(parts_ticket(tmp_path, lid, tray), strict=True)) == code


def test_ornaments_are_neither_listed_nor_numbered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The numbers of the list are those on the map: both count the same texts, with no gap."""

    def draw(canvas: Canvas) -> None:
        for place, sign in enumerate("M·N"):
            set_words(canvas, sign, 20 + 40 * place, 50, 12)

    check(options(page(tmp_path / "a.pdf", draw), json=True))
    texts = json.loads(capsys.readouterr().out)["texts"]
    assert [(entry["id"], entry["text"]) for entry in texts] == [(1, "M"), (2, "N")]


LETTERS = {
    "H": "0,0 2,0 2,4 5,4 5,0 7,0 7,10 5,10 5,6 2,6 2,10 0,10",
    "E": "0,0 5.5,0 5.5,2 2,2 2,4 5,4 5,6 2,6 2,8 5.5,8 5.5,10 0,10",
    "L": "0,0 5,0 5,2 2,2 2,10 0,10",
    "T": "2,0 4,0 4,8 6,8 6,10 0,10 0,8 2,8",
}
"""Corners of letters, pt."""


def outlined(canvas: Canvas) -> None:
    """Words whose letters are shapes, as a drawing program outlines them."""
    for place, letter in enumerate("HELTHELET"):
        outline = canvas.beginPath()
        corners = [tuple(map(float, corner.split(","))) for corner in LETTERS[letter].split()]
        for number, (x, y) in enumerate(corners):
            (outline.lineTo if number else outline.moveTo)(60 + 8 * place + x, 200 + y)
        outline.close()
        canvas.drawPath(outline, stroke=0, fill=1)


def pictured(canvas: Canvas) -> None:
    """A page that is nothing but one picture."""
    canvas.drawImage(ImageReader(Image.new("RGB", (600, 360), "navy")), 0, 0, *canvas._pagesize)


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (outlined, ("No live text: outlined type", "About 9 shapes look like outlined type")),
        (pictured, ("No live text: outlined type and type in pictures cannot be read",)),
    ],
)
def test_type_that_cannot_be_read_is_told_at_the_head_of_the_report(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    draw: Callable[[Canvas], None],
    words: tuple[str, ...],
) -> None:
    check(options(page(tmp_path / "a.pdf", draw)))
    out = " ".join(capsys.readouterr().out.split())
    for sentence in words:
        assert sentence in out
    assert out.index(words[0]) < out.index("Not checked, and whose matter it is")
    assert out.index(words[0]) < 200, "before any finding"


def test_a_picture_does_not_pass_for_a_flat_without_faults(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Image.new("RGB", (1200, 600), "navy").save(tmp_path / "a.png", dpi=(300, 300))
    check(options(tmp_path / "a.png"))
    title, numbers, _, sentence, *_ = capsys.readouterr().out.splitlines()
    assert title == "a.png: 101.6 × 50.8 mm"
    assert numbers == "0 faults, 0 warnings, 0 notes"
    assert sentence.startswith("The flat is one picture: its type, lines and colours cannot be read")


def test_a_waived_finding_is_told_with_its_reason_under_a_heading_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    planted(tmp_path / "a.pdf", ("size", "thin"))
    ticket = tmp_path / "a.toml"
    ticket.write_text(
        'version = 1\n[flat]\nfile = "a.pdf"\n[paper]\nsheet = "A4"\n'
        '[[check.waivers]]\nrule = "text.size"\nnear = [115, 69]\n'
        'reason = "agreed with the client"\n'
    )
    check(options(ticket))
    out = capsys.readouterr().out
    assert "; 1 waived" in out
    heading = out.index("Waived: set aside by the job ticket")
    assert "text.size" not in out[:heading]
    assert out.index("waived: agreed with the client") > heading


def test_a_fact_that_stands_twice_is_told_once_with_both_numbers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def draw(canvas: Canvas) -> None:
        set_words(canvas, "Warm light, 2200 K", 20, 80, 12)
        set_words(canvas, "2200 K", 20, 30, 12)

    check(options(page(tmp_path / "a.pdf", draw)))
    assert "with the number of the text: 2200 K (1, 2)" in " ".join(capsys.readouterr().out.split())


def test_a_finding_beside_all_tiles_keeps_its_place_and_one_of_the_whole_flat_has_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The part that is not closed makes no panel, so no sheet shows it: it is found at x 40, y 190 to 194."""
    check(options(planted(tmp_path / "a.pdf", ("open outline", "rgb"))))
    out = capsys.readouterr().out
    assert re.search(r"^- +40, 192 +The outline is open", out, re.MULTILINE)
    assert re.search(r"^- +whole +RGB colour", out, re.MULTILINE)
