"""Every kind of bad input through the real command line: one sentence, an exit code, nothing harmed."""

from __future__ import annotations

import hashlib
import json
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from tests.flats import flat_pdf
from tiler.cli import main

OLD = b"the pack of yesterday"
ROOT = Path(__file__).parent.parent


def picture(path: Path, ppi: int | None = None) -> Path:
    """A small picture file."""
    Image.new("RGB", (60, 40), "navy").save(path, dpi=(ppi, ppi) if ppi else None)
    return path


def huge_picture(folder: Path) -> Path:
    """A PNG that claims more pixels than are read."""
    import struct
    import zlib

    whole = picture(folder / "huge.png").read_bytes()
    header = b"IHDR" + struct.pack(">IIBBBBB", 200_000, 200_000, 8, 2, 0, 0, 0)
    place = whole.index(b"IHDR")
    changed = (
        whole[:place] + header + struct.pack(">I", zlib.crc32(header)) + whole[place + len(header) + 4 :]
    )
    path = folder / "huge.png"
    path.write_bytes(changed)
    return path


def written(path: Path, content: bytes) -> Path:
    """A file with this content."""
    path.write_bytes(content)
    return path


def without_pages(path: Path) -> Path:
    """A sound PDF with an empty page tree."""
    pikepdf.new().save(path)
    return path


def cut(folder: Path, share: float) -> Path:
    """The beginning of a flat."""
    whole = flat_pdf(folder / "whole.pdf").read_bytes()
    return written(folder / "cut.pdf", whole[: int(len(whole) * share)])


def box(folder: Path, width: float, height: float) -> Path:
    """A flat of this size in points."""
    sides = (0.0, 0.0, width, height)
    return flat_pdf(folder / "flat.pdf", boxes={"MediaBox": sides})


Case = tuple[Callable[[Path], Path], list[str], int, str, str]
"""Makes the flat; further words; exit code; what is said; the remedy."""

PLAIN: Callable[[Path], Path] = lambda folder: flat_pdf(folder / "flat.pdf")  # noqa: E731

CASES: dict[str, Case] = {
    "no such file": (lambda d: d / "none.pdf", [], 1, "none.pdf: there is no such file", "check the name"),
    "a folder": (lambda d: d, [], 1, ": is a folder", "name the flat's file"),
    "encrypted": (
        lambda d: flat_pdf(d / "flat.pdf", password="dusk"),
        [],
        1,
        "flat.pdf: is protected by a password",
        "give it with --password",
    ),
    "wrong password": (
        lambda d: flat_pdf(d / "flat.pdf", password="dusk"),
        ["--password", "dawn"],
        1,
        "flat.pdf: the password does not open it",
        "--password",
    ),
    "cut short": (lambda d: cut(d, 0.6), [], 1, "cut.pdf: is cut short", "copy or export it again"),
    "cut to its header": (lambda d: cut(d, 0.01), [], 1, "cut.pdf: is cut short", "export it again"),
    "no PDF": (
        lambda d: written(d / "flat.pdf", b"plain words"),
        [],
        1,
        "flat.pdf: is neither a PDF nor",
        "export the flat as PDF",
    ),
    "empty": (lambda d: written(d / "flat.pdf", b""), [], 1, "flat.pdf: is empty", "export"),
    "no pages": (lambda d: without_pages(d / "flat.pdf"), [], 1, "flat.pdf: has no pages", "export"),
    "page too high": (PLAIN, ["--page", "2"], 2, "flat.pdf: there is no page 2", "--page"),
    "page zero": (PLAIN, ["--page", "0"], 2, "flat.pdf: there is no page 0", "--page"),
    "page of a picture": (
        lambda d: picture(d / "flat.png", ppi=100),
        ["--page", "3"],
        1,
        "flat.png has only one page",
        "--page",
    ),
    "too large a page": (lambda d: box(d, 14_500, 500), [], 1, "flat.pdf, page 1: its media box", "5080"),
    "too small a page": (lambda d: box(d, 10, 500), [], 1, "flat.pdf, page 1: its media box", "5 to"),
    "unknown box": (PLAIN, ["--box", "paper"], 2, "--box", "--help"),
    "overlap beyond the sheet": (PLAIN, ["--overlap", "400mm"], 1, "overlap", ";"),
    "margins that leave nothing": (PLAIN, ["--margins", "120mm"], 1, "margins", ";"),
    "margins that are no lengths": (PLAIN, ["--margins", "wide"], 2, "wide", ";"),
    "unknown sheet": (PLAIN, ["--sheet", "A99"], 2, "A99", ";"),
    "scale of nothing": (PLAIN, ["--scale", "0"], 2, "0", ";"),
    "no such tile": (PLAIN, ["--tiles", "Z9"], 1, "there is no tile Z9", "it has A1"),
    "too many pixels": (huge_picture, [], 1, "huge.png has 200000 × 200000 pixels", "lower resolution"),
    "no resolution": (
        lambda d: picture(d / "flat.png"),
        [],
        1,
        "flat.png does not say how large it is",
        "--ppi N or --size WxH",
    ),
    "damaged picture": (
        lambda d: written(d / "flat.jpg", b"\xff\xd8\xff" + bytes(400)),
        ["--ppi", "300"],
        1,
        "flat.jpg",
        ";",
    ),
}


def told(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Exit code and the one line on stderr of a run that must fail."""
    try:
        code = main(words)
    except SystemExit as stop:
        code = stop.code if isinstance(stop.code, int) else -1
    heard = capsys.readouterr()
    assert heard.out == ""
    return code, one_sentence(heard.err)


def one_sentence(err: str) -> str:
    """The only line of ``err``, which is no traceback."""
    assert "Traceback" not in err, err
    lines = err.splitlines()
    assert len(lines) == 1, err
    assert lines[0].startswith("tiler: ")
    return lines[0]


def print_of(path: Path) -> str:
    """SHA-256 of a file; empty when there is none."""
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


@contextmanager
def unharmed(source: Path, pack: Path) -> Iterator[None]:
    """An old pack and the source stay as they are, and nothing is left beside the pack."""
    pack.write_bytes(OLD)
    before, listed = print_of(source), sorted(entry.name for entry in pack.parent.iterdir())
    yield
    assert pack.read_bytes() == OLD
    assert print_of(source) == before
    assert sorted(entry.name for entry in pack.parent.iterdir()) == listed


@pytest.mark.parametrize("name", CASES)
def test_bad_input_is_told_in_one_sentence_with_a_remedy(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, words, code, said, remedy = CASES[name]
    flat = make(tmp_path)
    (tmp_path / "out").mkdir()
    pack = tmp_path / "out" / "pack.pdf"
    command = ["mock", str(flat), "-o", str(pack), *words]
    with unharmed(flat, pack):
        got, sentence = told(command if "--sheet" in words else [*command, "--sheet", "A4"], capsys)
    assert got == code, sentence
    assert said in sentence
    assert remedy in sentence


def test_a_missing_output_folder_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf")
    code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "none" / "pack.pdf")], capsys)
    assert code == 1
    assert "none: there is no such folder; make it first" in sentence


def test_a_file_in_place_of_the_output_folder_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf")
    written(tmp_path / "out", b"a file")
    code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "out" / "pack.pdf")], capsys)
    assert code == 1
    assert "out: there is no such folder" in sentence


def test_a_device_in_place_of_the_output_is_refused_and_stays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(tmp_path / "pack.pdf")
    flat = flat_pdf(tmp_path / "flat.pdf")
    code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "pack.pdf")], capsys)
    assert code == 1
    assert "pack.pdf: is no ordinary file" in sentence
    assert (tmp_path / "pack.pdf").is_fifo()


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write to every folder")
def test_a_folder_without_the_right_to_write_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf")
    (tmp_path / "out").mkdir(mode=0o500)
    code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "out" / "pack.pdf")], capsys)
    assert code == 1
    assert "out: may not be written to; choose another folder" in sentence


@pytest.mark.parametrize("way", ["same name", "other words", "symbolic link", "hard link"])
def test_the_output_is_never_the_flat_itself(
    way: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf")
    target = tmp_path / "pack.pdf"
    if way == "symbolic link":
        target.symlink_to(flat)
    elif way == "hard link":
        target.hardlink_to(flat)
    else:
        target = flat if way == "same name" else tmp_path / ".." / tmp_path.name / "flat.pdf"
    before = print_of(flat)
    code, sentence = told(["mock", str(flat), "-o", str(target)], capsys)
    assert code == 1
    assert "is the flat itself and would be overwritten; choose another name with -o" in sentence
    assert print_of(flat) == before


def test_ctrl_c_leaves_the_old_pack_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    import tiler.pack.writer

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    flat = flat_pdf(tmp_path / "flat.pdf")
    monkeypatch.setattr(tiler.pack.writer, "_inform", interrupted)
    (tmp_path / "out").mkdir()
    with unharmed(flat, tmp_path / "out" / "pack.pdf"):
        code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "out" / "pack.pdf")], capsys)
    assert (code, sentence) == (130, "tiler: stopped; nothing was written")


def test_memory_that_does_not_suffice_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    import tiler.pack.writer

    def exhausted(*_: object) -> None:
        raise MemoryError

    flat = flat_pdf(tmp_path / "flat.pdf")
    monkeypatch.setattr(tiler.pack.writer, "_inform", exhausted)
    code, sentence = told(["mock", str(flat), "-o", str(tmp_path / "pack.pdf")], capsys)
    assert code == 1
    assert "not enough memory" in sentence
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["flat.pdf"]


def process(*words: str, largest_file: int | None = None) -> subprocess.CompletedProcess[str]:
    """Run the program as a person does."""

    def limit() -> None:
        if largest_file is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))

    command = [sys.executable, "-m", "tiler", *words]
    return subprocess.run(
        command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False, preexec_fn=limit
    )


@pytest.mark.parametrize("room", [0, 4096, 20_000])
def test_a_full_disk_leaves_the_old_pack(tmp_path: Path, room: int) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf")
    (tmp_path / "out").mkdir()
    pack = tmp_path / "out" / "pack.pdf"
    with unharmed(flat, pack):
        done = process("mock", str(flat), "-o", str(pack), largest_file=room)
    assert done.returncode == 1
    assert "pack.pdf: the disk is full; make room" in one_sentence(done.stderr)


def test_a_real_process_refuses_with_one_sentence_and_exit_code_1(tmp_path: Path) -> None:
    flat = written(tmp_path / "flat.pdf", b"%PDF-1.7\nnothing\n%%EOF\n")
    done = process("mock", str(flat), "-o", str(tmp_path / "pack.pdf"))
    assert done.returncode == 1
    assert "flat.pdf" in one_sentence(done.stderr)
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["flat.pdf"]


def test_wrong_words_end_with_exit_code_2(tmp_path: Path) -> None:
    done = process("mock", str(tmp_path / "flat.pdf"))
    assert done.returncode == 2
    assert "-o" in one_sentence(done.stderr)


def test_a_real_interrupt_ends_with_one_sentence(tmp_path: Path) -> None:
    flat = ROOT / "sample_art" / "lid.pdf"
    pack = tmp_path / "pack.pdf"
    command = [sys.executable, "-m", "tiler", "mock", str(flat), "-o", str(pack)]
    with subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) as running:
        deadline = time.monotonic() + 30
        while not list(tmp_path.iterdir()) and time.monotonic() < deadline:
            time.sleep(0.002)
        running.send_signal(signal.SIGINT)
        _, err = running.communicate(timeout=30)
    if running.returncode == 0:  # it was done before the signal came
        assert pack.read_bytes().rstrip().endswith(b"%%EOF")
        return
    assert running.returncode == 130
    assert one_sentence(err) == "tiler: stopped; nothing was written"
    assert list(tmp_path.iterdir()) == []


def ended(words: list[str], **more: object) -> subprocess.CompletedProcess[bytes]:
    """Run the program with bytes for output."""
    command = [sys.executable, "-m", "tiler", *words]
    settings: dict[str, object] = {"cwd": ROOT, "stderr": subprocess.PIPE, "timeout": 60, "check": False}
    return subprocess.run(command, **{**settings, **more})  # type: ignore[call-overload, no-any-return]


def test_a_full_output_of_results_is_told_in_one_sentence(tmp_path: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no device that is always full")
    flat = flat_pdf(tmp_path / "flat.pdf")
    with Path("/dev/full").open("wb") as full:
        done = ended(["plan", str(flat), "--json"], stdout=full)
    assert done.returncode == 1
    said = [line for line in done.stderr.decode().splitlines() if not line.startswith("note: ")]
    assert "No space left" in one_sentence("\n".join(said))


@pytest.mark.parametrize("form", [[], ["--json"]], ids=["table", "JSON"])
def test_an_output_that_knows_only_ascii_is_served(tmp_path: Path, form: list[str]) -> None:
    flat = flat_pdf(tmp_path / "Größe.pdf")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = ended(["plan", str(flat), *form], stdout=subprocess.PIPE, env=environment)
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr
    if form:
        assert json.loads(done.stdout)["flat"]["file"] == "Größe.pdf"


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse such names themselves")
@pytest.mark.parametrize(
    "name", [b"\xff\xfe.pdf", b"two\nlines\x1b[2J.pdf"], ids=["no text", "control characters"]
)
def test_a_strange_file_name_does_no_harm(tmp_path: Path, name: bytes) -> None:
    flat = flat_pdf(tmp_path / "flat.pdf").rename(os.fsdecode(os.fsencode(tmp_path) + b"/" + name))
    pack = tmp_path / "pack.pdf"
    done = process("mock", str(flat), "-o", str(pack))
    assert done.returncode == 0, done.stderr
    done = process("mock", str(flat), "-o", str(pack), "--page", "9")
    assert done.returncode == 2
    assert "\x1b" not in one_sentence(done.stderr)


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse such names themselves")
def test_a_name_that_is_no_text_makes_a_part_but_no_ticket(tmp_path: Path) -> None:
    other = flat_pdf(tmp_path / "lid.pdf")
    flat = flat_pdf(tmp_path / "flat.pdf").rename(os.fsdecode(os.fsencode(tmp_path) + b"/tray\xe9.pdf"))
    pack, ticket = tmp_path / "pack.pdf", tmp_path / "job.toml"
    done = process("mock", str(other), str(flat), "-o", str(pack))
    assert done.returncode == 0, done.stderr
    for flats in ([str(flat)], [str(other), str(flat)]):
        done = process("ticket", *flats, "-o", str(ticket))
        assert done.returncode == 2
        assert "no text in UTF-8; rename it" in one_sentence(done.stderr)
        assert not ticket.exists()
