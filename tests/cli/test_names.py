"""Names out of a file are shown as they are: nothing in them steers the terminal or the tables."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from rich.console import Console

from tests.flats import add_layer, flat_pdf
from tiler.checks.finding import Finding, Ink, Report, Severity, TextEntry
from tiler.cli import main
from tiler.cli.check_words import print_report
from tiler.geometry import Rect

NASTY = "[red]die\x1b[31m\u202eline"
"""Mark-up of tables, a colour change of terminals (ECMA-48, SGR), and a turn of the reading direction."""
SHOWN = "[red]die\ufffd[31m\ufffdline"


def test_layers_are_listed_by_their_own_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    content = b"0 0 1 RG 1 w 100 50 m 100 250 l S"
    flat = flat_pdf(tmp_path / "a.pdf", change=lambda writer: add_layer(writer, NASTY, content, "on"))
    assert main(["panels", str(flat), "--line-as", f"{NASTY}=crease"]) == 0
    out = capsys.readouterr().out
    assert SHOWN in out
    assert not set("\x1b\u202e") & set(out)


def test_a_report_shows_names_plain() -> None:
    box = Rect(0, 0, 10, 10)
    finding = Finding("ink.rgb", Severity.NOTE, box, f"colour {NASTY}", f"by {NASTY}", waived=f"as {NASTY}")
    entry = TextEntry(1, NASTY, box, 7.0, None, None, "Sans", 0, unknown=(NASTY,))
    report = Report((finding,), (entry,), (Ink(NASTY, "spot"),), ((NASTY, True),), (f"remark {NASTY}",))
    out = io.StringIO()
    print_report(report, f"{NASTY}.pdf", Console(file=out, width=100, force_terminal=False))
    text = out.getvalue()
    assert not set("\x1b\u202e") & set(text)
    assert text.count(SHOWN) == 9


def test_a_file_name_is_no_markup(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    flat = flat_pdf(tmp_path / "[bold]lid.pdf")
    assert main(["plan", str(flat)]) == 0
    assert capsys.readouterr().out.startswith("[bold]lid.pdf, page 1")
