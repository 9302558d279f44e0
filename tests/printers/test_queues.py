"""Commands for the system's print queues, with stand-ins for the programs and with the real ``lp``."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tiler.errors import PrinterError
from tiler.printers.queues import Queue, lp_arguments, page_list, send, system_queues
from tiler.printers.sheets import find_sheet

A4 = find_sheet("A4")


def stand_in(folder: Path, name: str, script: str) -> None:
    """A program of that name that runs a few lines of Python."""
    program = folder / name
    program.write_text(f"#!{sys.executable}\nimport sys\n{script}\n")
    program.chmod(0o755)


@pytest.fixture
def programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that is the only one programs are looked for in."""
    folder = tmp_path / "bin"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))
    return folder


def test_a_pack_is_sent_unscaled_on_its_own_sheet() -> None:
    # Option names and values as in lp(1) of CUPS and RFC 8011.
    assert lp_arguments(Path("/tmp/mock.pdf"), A4, "studio_laser") == (
        *("lp", "-d", "studio_laser", "-o", "media=iso_a4_210x297mm", "-o", "print-scaling=none"),
        *("-o", "sides=one-sided", "--", "/tmp/mock.pdf"),
    )


def test_nothing_asks_for_fidelity_or_fitting() -> None:
    words = " ".join(lp_arguments(Path("x.pdf"), A4, sides="two-sided-long-edge"))
    assert "sides=two-sided-long-edge" in words
    assert "fidelity" not in words
    assert "fit" not in words


def test_the_map_page_may_go_first_and_the_rest_after_it() -> None:
    first = lp_arguments(Path("/m.pdf"), A4, pages=[1])
    rest = lp_arguments(Path("/m.pdf"), A4, pages=range(2, 9))
    assert first[first.index("-P") + 1] == "1"
    assert rest[rest.index("-P") + 1] == "2-8"
    assert "-P" not in lp_arguments(Path("/m.pdf"), A4)


@pytest.mark.parametrize(
    ("pages", "text"), [([], ""), ([3], "3"), ([3, 1, 2, 2], "1-3"), ([9, 1, 2, 5, 6], "1-2,5-6,9")]
)
def test_page_numbers_are_written_as_ranges(pages: list[int], text: str) -> None:
    assert page_list(pages) == text


def test_a_page_zero_is_refused() -> None:
    with pytest.raises(PrinterError, match="no page 0"):
        page_list([0, 1])


@pytest.mark.parametrize("name", ["-h evil:631", "-o", "a b", "a\nb", "a;b\t", "a'b", "/x", "x" * 200])
def test_a_queue_name_cannot_smuggle_options(name: str) -> None:
    with pytest.raises(PrinterError, match="cannot be the name of a print queue"):
        lp_arguments(Path("x.pdf"), A4, name)


@pytest.mark.parametrize("name", ["laser", "HP_9010@office.local:631", "laser/draft", "Büro-1.2"])
def test_names_that_print_systems_use_are_taken(name: str) -> None:
    assert name in lp_arguments(Path("x.pdf"), A4, name)


def test_a_file_name_cannot_smuggle_options(tmp_path: Path, programs: Path) -> None:
    seen = tmp_path / "seen"
    stand_in(
        programs,
        "lp",
        f"open({str(seen)!r}, 'w').write('\\0'.join(sys.argv[1:])); print('request id is q-7 (1 file(s))')",
    )
    pack = tmp_path / "-o fit-to-page; rm *.pdf"
    assert send(lp_arguments(pack, A4, "q")) == "q-7"
    arguments = seen.read_text().split("\0")
    assert arguments[-2:] == ["--", str(pack)]


@pytest.mark.skipif(shutil.which("lp") is None, reason="no lp command on this system")
def test_the_real_lp_takes_what_follows_two_dashes_for_a_file(tmp_path: Path) -> None:
    done = subprocess.run(
        ["lp", "--", "-nofile.pdf"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "LC_ALL": "C", "CUPS_SERVER": "127.0.0.1:9"},
        timeout=20,
        check=False,
    )
    assert "-nofile.pdf" in done.stderr
    assert "unknown option" not in done.stderr


def test_queues_are_listed_with_the_default_marked(programs: Path) -> None:
    lines = "print('system default destination: laser') if '-d' in sys.argv else print('ink\\nlaser')"
    stand_in(programs, "lpstat", lines)
    assert system_queues() == (Queue("ink", False), Queue("laser", True))


def test_a_system_without_queues_lists_none(programs: Path) -> None:
    stand_in(programs, "lpstat", "print('no system default destination') if '-d' in sys.argv else None")
    assert system_queues() == ()


def test_a_system_without_print_commands_says_what_to_do(programs: Path) -> None:
    assert system_queues() == ()
    with pytest.raises(PrinterError, match="no lp command") as caught:
        send(lp_arguments(Path("x.pdf"), A4))
    assert "actual size" in caught.value.remedy


def test_a_refusal_is_told_in_one_sentence(programs: Path) -> None:
    stand_in(programs, "lp", "sys.exit('lp: Error - The printer or class does not exist.\\n')")
    with pytest.raises(PrinterError) as caught:
        send(lp_arguments(Path("x.pdf"), A4, "gone"))
    assert "refused the pack (The printer or class does not exist)" in str(caught.value)


def test_a_hanging_print_system_is_given_up(programs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stand_in(programs, "lp", "import time; time.sleep(30)")
    monkeypatch.setattr("tiler.printers.queues.PATIENCE", 0.3)
    with pytest.raises(PrinterError, match="did not answer"):
        send(lp_arguments(Path("x.pdf"), A4))
