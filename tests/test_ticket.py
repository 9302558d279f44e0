"""Job tickets: every choice survives, and whatever is wrong in one is told with its key and line."""

from __future__ import annotations

import os
import tomllib
from dataclasses import fields, replace
from pathlib import Path

import pytest

from tiler.checks.waiver import Waiver
from tiler.errors import PackError, UsageError
from tiler.flat.read import Wanted
from tiler.fold.choices import FoldChoices
from tiler.geometry import Margins, Point, Size
from tiler.job import CheckPoint, Job
from tiler.parts import is_parts_ticket
from tiler.plan.request import Forbidden, Nudge, Pin
from tiler.printers.sheets import find_sheet
from tiler.ticket import load_ticket, save_ticket, ticket_text


def plain(folder: Path) -> Job:
    return Job(folder / "lid.pdf", find_sheet("A4"))


def full(folder: Path) -> Job:
    """A job that differs from the default in every choice."""
    return Job(
        flat=folder / "art" / "lid final.pdf",
        sheet=find_sheet("letter"),
        wanted=Wanted(page=2, box="trim", ppi=None, size=Size(752.0, 120.5), annotations=True),
        margins=Margins(5.0, 4.0, 12.7, 4.5),
        overlap=14.5,
        scale=0.5,
        layout="grid",
        orientation="landscape",
        marks="tabs",
        lighten=0.3,
        tiles=("A1", "B2"),
        guides="ticks",
        lines=folder / "lid_lines.pdf",
        line_as=(("Werk 7", "cut"), ('Die "inner"', "ignore"), ("Überdruck", "reverse crease")),
        creases=((Point(20, 0), Point(20, 120.25)), (Point(0, 5), Point(9, 5))),
        pins=(Pin("x", 164.4), Pin("y", 90.0, 33.5)),
        forbidden=(Forbidden("y", 10.0, 30.0),),
        nudges=(Nudge("A1|A2", -2.0),),
        check_points=(CheckPoint("bar code", Point(30, 40)),),
        printer="Studio laser",
        inside=folder / "art" / "lid final.pdf",
        inside_page=2,
        flip="short",
        proof=True,
        corners=True,
        limits=folder / "house_limits.toml",
        words=folder / "words.txt",
        waivers=(Waiver("text.size", Point(30, 40), "the imprint is set so on purpose"),),
        fold=FoldChoices("P2", (("P1", "P2", 85.5), ("P2", "P5", -90.0)), "rim", 1.5),
    )


def test_every_choice_survives(tmp_path: Path) -> None:
    job = full(tmp_path)
    for field in fields(Job):  # a choice added to the job must be added to the ticket
        assert getattr(job, field.name) != getattr(plain(tmp_path), field.name), field.name
    save_ticket(job, tmp_path / "job.toml")
    assert load_ticket(tmp_path / "job.toml") == job


def test_every_part_of_the_wanted_page_survives_but_the_password(tmp_path: Path) -> None:
    wanted = Wanted(page=3, box="art", ppi=299.5, password="heron", annotations=True)
    save_ticket(replace(plain(tmp_path), wanted=wanted), tmp_path / "job.toml")
    assert "heron" not in (tmp_path / "job.toml").read_text("utf-8")
    assert load_ticket(tmp_path / "job.toml").wanted == replace(wanted, password=None)


def test_defaults_survive(tmp_path: Path) -> None:
    save_ticket(plain(tmp_path), tmp_path / "job.toml")
    assert load_ticket(tmp_path / "job.toml") == plain(tmp_path)


def test_a_ticket_moves_with_its_files(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    save_ticket(replace(plain(here), lines=here / "sub" / "lines.pdf"), here / "job.toml")
    here.rename(there)
    job = load_ticket(there / "job.toml")
    assert (job.flat, job.lines) == (there / "lid.pdf", there / "sub" / "lines.pdf")


def test_a_flat_in_another_folder_is_named_from_the_ticket(tmp_path: Path) -> None:
    text = ticket_text(plain(tmp_path / "art"), tmp_path / "jobs")
    assert tomllib.loads(text)["flat"]["file"] == "../art/lid.pdf"


def test_people_read_what_a_ticket_is(tmp_path: Path) -> None:
    text = ticket_text(full(tmp_path), tmp_path)
    assert text.startswith("# Job ticket of tiler")
    assert "mm" in text.splitlines()[2]
    assert "# full, tabs, none" in text


def test_a_ticket_never_replaces_its_flat(tmp_path: Path) -> None:
    (tmp_path / "lid.pdf").write_bytes(b"art")
    with pytest.raises(PackError, match="is the flat itself"):
        save_ticket(plain(tmp_path), tmp_path / "lid.pdf")
    assert (tmp_path / "lid.pdf").read_bytes() == b"art"


def test_a_ticket_that_cannot_be_written_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ticket = tmp_path / "job.toml"
    save_ticket(plain(tmp_path), ticket)
    before = ticket.read_bytes()

    def full_disk(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full_disk)
    with pytest.raises(PackError, match="the disk is full"):
        save_ticket(full(tmp_path), ticket)
    assert ticket.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


HEAD = 'version = 1\n[flat]\nfile = "lid.pdf"\n[paper]\nsheet = "A4"\n'


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param(
            HEAD + "[plan]\noverlap = 'wide'\n", "line 7: 'plan.overlap' cannot be 'wide'", id="text"
        ),
        pytest.param(HEAD + "[plan]\noverlap = true\n", "cannot be true", id="truth-for-number"),
        pytest.param(HEAD + "[plan]\noverlap = nan\n", "'plan.overlap' cannot be nan", id="nan"),
        pytest.param(HEAD + "[print]\nlighten = 30\n", "write a number from 0 to 0.9", id="too-much"),
        pytest.param(HEAD + "[plan]\nlayuot = 'grid'\n", "line 7: 'plan.layuot' is not known", id="key"),
        pytest.param(HEAD + "[colour]\nred = 1\n", "line 6: 'colour' is not known in a ticket", id="table"),
        pytest.param(HEAD + "[plan]\nlayout = 'spiral'\n", "write one of strips, grid", id="word"),
        pytest.param(
            HEAD.replace("A4", "A44"), "line 5: 'paper.sheet': no sheet is called 'A44'", id="sheet"
        ),
        pytest.param(HEAD + "margins = [5, 5, -1, 5]\n", "'paper.margins' cannot be", id="margins"),
        pytest.param(HEAD.replace("version = 1", "version = 2"), "tickets of version 1", id="version"),
        pytest.param(HEAD.replace("version = 1", ""), "has no version", id="no-version"),
        pytest.param(HEAD.replace('file = "lid.pdf"', ""), "does not name its flat", id="no-flat"),
        pytest.param(HEAD.replace('sheet = "A4"', ""), "does not name its sheet", id="no-sheet"),
        pytest.param("version = 1\nflat = 3\n", "'flat' is no table", id="no-table"),
        pytest.param(HEAD + "[plan\n", "is not a job ticket", id="broken"),
        pytest.param(HEAD + "[plan]\npins = [{axis = 'z', at = 1}]\n", "write entries such as", id="axis"),
        pytest.param(HEAD + "[plan]\nnudges = [{seam = 'A1|A2'}]\n", "write entries such as", id="half"),
        pytest.param(HEAD + "[structure]\ncreases = [[1, 2, 3]]\n", "four numbers", id="crease"),
        pytest.param(HEAD + "[structure]\nline_as = {Die = 'snip'}\n", "names with a kind", id="kind"),
        pytest.param(
            HEAD + "[structure.line_as]\nDie = 3\n", "'structure.line_as' cannot be", id="kind-number"
        ),
    ],
)
def test_a_wrong_ticket_is_told_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    ticket = tmp_path / "job.toml"
    ticket.write_text(text, "utf-8")
    with pytest.raises(UsageError) as caught:
        load_ticket(ticket)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.exit_code == 2


LONG = "9" * 5000
HEX = "0x" + "f" * 5000
FAR = "9" * 400


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param(f"[plan]\noverlap = {LONG}\n", "a number in it has no end", id="digits"),
        pytest.param(f"[plan]\noverlap = {HEX}\n", "'plan.overlap' cannot be a number without", id="hex"),
        pytest.param(f"margins = [{FAR}, 0, 0, 0]\n", "'paper.margins' cannot be", id="margins"),
        pytest.param(f"[plan]\npins = [{{axis = 'x', at = {FAR}}}]\n", "'plan.pins' cannot be", id="pin"),
        pytest.param("[structure]\ncreases = [[1e308, 0, 0, 0]]\n", "'structure.creases' cannot", id="far"),
        pytest.param("[print]\ninside_page = " + HEX + "\n", "'print.inside_page' cannot be", id="page"),
        pytest.param(".".join("a" * 20_000) + " = 1\n", "is nested without end", id="words"),
    ],
)
def test_numbers_and_keys_without_end_are_refused(tmp_path: Path, text: str, words: str) -> None:
    ticket = tmp_path / "job.toml"
    ticket.write_text(HEAD + text, "utf-8")
    with pytest.raises(UsageError) as caught:
        load_ticket(ticket)
    assert words in str(caught.value)
    assert len(str(caught.value)) < 250


def test_a_version_without_end_is_refused(tmp_path: Path) -> None:
    ticket = tmp_path / "job.toml"
    ticket.write_text(HEAD.replace("version = 1", f"version = {HEX}"), "utf-8")
    with pytest.raises(UsageError, match="reads tickets of version 1"):
        load_ticket(ticket)


def test_a_ticket_may_begin_with_a_byte_order_mark(tmp_path: Path) -> None:
    ticket = tmp_path / "job.toml"
    ticket.write_text(HEAD, "utf-8-sig")
    assert load_ticket(ticket).flat == tmp_path / "lid.pdf"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_no_ticket(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.toml")
    assert not is_parts_ticket(tmp_path / "job.toml")
    with pytest.raises(UsageError, match="no ordinary file"):
        load_ticket(tmp_path / "job.toml")


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"x" * 1_000_001], ids=["no-text", "too-long"])
def test_what_is_no_ticket_is_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "job.toml").write_bytes(content)
    with pytest.raises(UsageError, match="job ticket"):
        load_ticket(tmp_path / "job.toml")


def test_a_missing_ticket_is_told(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="cannot be read"):
        load_ticket(tmp_path / "none.toml")
