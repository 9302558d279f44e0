"""Files that mean harm: bombs end in a sentence, and nothing that acts comes into a pack."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from tests import hostile
from tests.bounded import MEMORY, run_tiler
from tests.flats import flat_pdf
from tiler.flat import pdfium_work

ROOT = Path(__file__).parent.parent

ACTING = frozenset(
    {"/A", "/AA", "/AF", "/AcroForm", "/Annots", "/EF", "/EmbeddedFiles", "/FFilter", "/JS", "/Launch"}
    | {"/Metadata", "/Names", "/OPI", "/OpenAction", "/PS", "/PieceInfo", "/Ref", "/Subtype2", "/URI", "/XFA"}
)
"""Keys that act, point outside or hold private data (ISO 32000-2, 12.6, 7.11, 8.10.4, 14.11.7)."""

BOMBS = {
    "content": hostile.content_bomb,
    "packed twice": hostile.doubly_packed_bomb,
    "many streams": hostile.many_bombs,
    "strokes": hostile.drawing_bomb,
    "nested forms": hostile.nested_forms,
    "nested forms with text": hostile.nested_forms_with_text,
    "a form that calls itself": hostile.a_form_that_calls_itself,
    "picture": hostile.picture_bomb,
    "JPEG 2000": hostile.jpeg2000_bomb,
    "pattern": hostile.fine_pattern,
    "deep objects": hostile.deep_arrays,
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_ends_in_a_sentence_or_in_a_pack_within_bounds(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdfium_work, "SECONDS", 3)  # the tests' patience, not the users'
    flat = hostile.spoiled(tmp_path / "flat.pdf", BOMBS[name])
    (tmp_path / "out").mkdir()
    pack = tmp_path / "out" / "pack.pdf"
    done = run_tiler(["mock", str(flat), "-o", str(pack), "--sheet", "A4"])
    assert "Traceback" not in done.err
    assert done.code in (0, 1), (done.code, done.err)
    assert done.memory < MEMORY
    if done.code == 1:
        assert len(done.err.splitlines()) == 1
        assert "flat.pdf" in done.err
        assert list((tmp_path / "out").iterdir()) == []


def test_nothing_that_acts_comes_into_a_pack(tmp_path: Path) -> None:
    flat = hostile.spoiled(tmp_path / "flat.pdf", hostile.page_of_everything)
    done = run_tiler(["mock", str(flat), "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4", "--annotations"])
    assert done.code == 0, done.err
    with pikepdf.open(tmp_path / "pack.pdf") as pdf:
        for path, value in every_entry(pdf):
            key = path[-1]
            if path[-2:-1] not in (("/XObject",), ("/Properties",)):
                assert key not in ACTING, path
            assert value not in ("/JavaScript", "/Launch", "/URI", "/PS", "/GoToR", "/SubmitForm"), path
    text = (tmp_path / "pack.pdf").read_bytes()
    for word in (b"launchURL", b"/bin/sh", b"/etc/passwd", b"192.0.2.1", b"a.exe", str(tmp_path).encode()):
        assert word not in text


def every_entry(pdf: pikepdf.Pdf) -> list[tuple[tuple[str, ...], str]]:
    """Path of the last two keys, and value in words, of every dictionary entry of a file."""
    found = []
    todo: list[tuple[tuple[str, ...], pikepdf.Object]] = [(("",), item) for item in pdf.objects]
    while todo:
        path, value = todo.pop()
        if isinstance(value, pikepdf.Array):
            todo += [
                (path, item) for item in value if isinstance(item, pikepdf.Object) and not item.is_indirect
            ]
        elif isinstance(value, (pikepdf.Dictionary, pikepdf.Stream)):
            for key, item in value.items():
                found.append(((*path[-1:], key), str(item) if isinstance(item, pikepdf.Name) else ""))
                direct = isinstance(item, pikepdf.Object) and not item.is_indirect
                if direct and isinstance(item, (pikepdf.Dictionary, pikepdf.Array)):
                    todo.append(((*path[-1:], key), item))
    return found


WATCHED = """
import sys
from pathlib import Path
folder = Path(sys.argv[1]).resolve()
seen = []
def watch(event, details):
    if event.startswith(("socket.", "urllib.", "webbrowser.", "ctypes.dlopen/")) or event in (
        "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile", "subprocess.Popen",
        "os.remove", "os.rename", "os.link", "os.symlink", "os.mkdir", "os.rmdir", "os.chmod",
    ):
        seen.append((event, [str(each) for each in details]))
    if event == "open" and isinstance(details[2], int) and details[2] & 0o3:
        seen.append(("write", [str(details[0])]))
sys.addaudithook(watch)
sys.dont_write_bytecode = True
from tiler.cli import main
code = main(["mock", str(folder / "flat.pdf"), "-o", str(folder / "out" / "pack.pdf"), "--sheet", "A4"])
for event, details in list(seen):
    where = [each for each in details if "/" in each]
    allowed = all(Path(each).parent == folder / "out" or each == "/dev/null" for each in where)
    if event not in ("write", "os.rename", "os.remove", "os.chmod") or not allowed:
        print(event, details)
sys.exit(code)
"""


def test_a_flat_makes_tiler_touch_nothing_but_its_output(tmp_path: Path) -> None:
    hostile.spoiled(tmp_path / "flat.pdf", hostile.page_of_everything)
    (tmp_path / "out").mkdir()
    command = [sys.executable, "-c", WATCHED, str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""
    assert [entry.name for entry in (tmp_path / "out").iterdir()] == ["pack.pdf"]


def test_the_watch_on_what_is_touched_sees_a_write(tmp_path: Path) -> None:
    flat_pdf(tmp_path / "flat.pdf")
    (tmp_path / "out").mkdir()
    spoiled = WATCHED.replace("code = main", f"open({str(tmp_path / 'stray')!r}, 'w').close()\ncode = main")
    command = [sys.executable, "-c", spoiled, str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)
    assert "stray" in done.stdout


def png(folder: Path, side: int, colour: int, bits: int, rows: int) -> Path:
    """A PNG of black, deflated to next to nothing, with a resolution of 300 ppi."""
    import struct
    import zlib

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    stride = (side * {0: 1, 2: 3, 6: 4}[colour] * bits + 7) // 8 + 1
    header = struct.pack(">IIBBBBB", side, side, bits, colour, 0, 0, 0)
    physical = struct.pack(">IIB", 11811, 11811, 1)
    data = chunk(b"IDAT", hostile.bomb(stride * rows, bytes(stride)))
    path = folder / "flat.png"
    signature = b"\x89PNG\r\n\x1a\n"
    path.write_bytes(
        signature + chunk(b"IHDR", header) + chunk(b"pHYs", physical) + data + chunk(b"IEND", b"")
    )
    return path


@pytest.mark.parametrize(
    ("side", "colour", "bits", "rows", "code"),
    [(15_000, 6, 8, 1, 1), (11_000, 2, 16, 1, 1), (29_000, 0, 8, 1, 1), (400, 2, 8, 100_000, 0)],
    ids=["opacity", "16 bits", "grey", "rows without end"],
)
def test_a_picture_bomb_ends_in_a_sentence_or_in_a_pack_within_bounds(
    tmp_path: Path, side: int, colour: int, bits: int, rows: int, code: int
) -> None:
    flat = png(tmp_path, side, colour, bits, rows)
    done = run_tiler(["mock", str(flat), "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4"])
    assert done.code == code, done.err
    assert done.memory < MEMORY // 5
    if code:
        assert len(done.err.splitlines()) == 1
        assert "MB unpacked" in done.err
