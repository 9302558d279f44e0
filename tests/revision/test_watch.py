"""Watching a flat that is still being worked on."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from reportlab.lib.colors import CMYKColorSep
from reportlab.pdfgen.canvas import Canvas

from tests.revision.art import HEIGHT, PLAIN, WIDTH, altered, draw, job_for
from tiler.revision.watch import SETTLED, Watcher, changes_since, remembered
from tiler.run import run
from tiler.units import POINTS_PER_MM


def test_a_save_is_told_once_and_only_when_the_file_has_settled(tmp_path: Path) -> None:
    path = tmp_path / "flat.pdf"
    path.write_bytes(b"one")
    watcher = Watcher([path])
    assert not watcher.has_settled(0.0)
    path.write_bytes(b"half wri")
    assert not watcher.has_settled(1.0)
    path.write_bytes(b"half written")
    assert not watcher.has_settled(1.0 + SETTLED), "it has just changed again"
    assert not watcher.has_settled(1.1 + SETTLED)
    assert watcher.has_settled(1.1 + 2 * SETTLED)
    assert not watcher.has_settled(9.0), "one save is told once"


def test_a_file_that_is_replaced_is_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "flat.pdf"
    path.write_bytes(b"one")
    watcher = Watcher([path])
    path.unlink()
    assert not watcher.has_settled(1.0)
    assert not watcher.has_settled(5.0), "it is not there yet"
    path.write_bytes(b"two!")
    assert not watcher.has_settled(6.0)
    assert watcher.has_settled(6.1 + SETTLED)


def test_a_save_with_changes_writes_the_pack_anew_and_names_the_tiles(tmp_path: Path) -> None:
    flat, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "pack.pdf"
    with remembered(job_for(flat)) as memory:
        first = run(memory.job, pack)
        before = pack.read_bytes()
        draw(altered(word="hood"), flat)
        seen = changes_since(memory, first, pack)
        second = seen.outcome
        assert seen.changes.changed == ("A1",)
        assert second is not first
        assert pack.read_bytes() != before
        draw(PLAIN, flat)
        seen = changes_since(memory, second, pack)
        assert seen.changes.changed == ("A1",)
        assert seen.outcome is not second
        assert len(list(memory.folder.iterdir())) == 1, "only the copy of the last pack is kept"
    assert not memory.folder.exists()
    assert pack.read_bytes() == before


def test_a_save_without_changes_leaves_the_pack(tmp_path: Path) -> None:
    flat, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "pack.pdf"
    with remembered(job_for(flat)) as memory:
        first = run(memory.job, pack)
        stamp = pack.stat().st_mtime_ns
        flat.write_bytes(flat.read_bytes() + b"\n% saved again\n")
        seen = changes_since(memory, first, pack)
        assert (seen.changes.changed, seen.outcome) == ((), first)
        assert pack.stat().st_mtime_ns == stamp


def words_of(pack: Path) -> str:
    """All words of a pack."""
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(pack).pages)


@pytest.mark.parametrize(
    ("name", "first_text", "later_text", "told"),
    [
        ("limits.toml", "[text_size]\nvalue = 1\n", "[text_size]\nvalue = 30\n", "Type of "),
        ("words", "spare\nglass\nchimney\nthe\ndark\n", "spare\nglass\nthe\ndark\n", "list: chimney"),
    ],
)
def test_other_limits_or_words_make_the_proof_list_anew(
    tmp_path: Path, name: str, first_text: str, later_text: str, told: str
) -> None:
    flat, rules, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / name, tmp_path / "pack.pdf"
    rules.write_text(first_text)
    job = replace(job_for(flat), proof=True)
    job = replace(job, words=rules) if name == "words" else replace(job, limits=rules)
    with remembered(job) as memory:
        first = run(memory.job, pack)
        assert told not in words_of(pack)
        rules.write_text(later_text)
        seen = changes_since(memory, first, pack)
        assert (seen.rules, seen.changes.changed) == ((name,), ())
        assert told in words_of(pack)
        assert changes_since(memory, seen.outcome, pack).outcome is seen.outcome, "one save writes once"


def test_limits_without_a_proof_list_change_no_pack(tmp_path: Path) -> None:
    flat, rules, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "house", tmp_path / "pack.pdf"
    rules.write_text("[text_size]\nvalue = 1\n")
    with remembered(replace(job_for(flat), limits=rules)) as memory:
        first = run(memory.job, pack)
        rules.write_text("[text_size]\nvalue = 30\n")
        assert changes_since(memory, first, pack).outcome is first


def line_file(path: Path, crease: float) -> Path:
    """An outline with a crease across it, ``crease`` mm from the left."""
    canvas = Canvas(str(path), (WIDTH * POINTS_PER_MM, HEIGHT * POINTS_PER_MM), invariant=1)
    canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
    canvas.setLineWidth(0.2)
    canvas.setStrokeColor(CMYKColorSep(0, 1, 0, 0, spotName="Cut"))
    canvas.rect(5, 5, WIDTH - 10, HEIGHT - 10)
    canvas.setStrokeColor(CMYKColorSep(1, 0, 0, 0, spotName="Crease"))
    canvas.line(crease, 5, crease, HEIGHT - 5)
    canvas.save()
    return path


def test_another_line_file_writes_the_pack_anew(tmp_path: Path) -> None:
    flat, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "pack.pdf"
    lines = line_file(tmp_path / "lines.pdf", 100)
    with remembered(replace(job_for(flat), lines=lines)) as memory:
        first = run(memory.job, pack)
        before = pack.read_bytes()
        line_file(lines, 140)
        seen = changes_since(memory, first, pack)
        assert seen.lines == "lines.pdf"
        assert pack.read_bytes() != before
        line_file(lines, 140)
        assert changes_since(memory, seen.outcome, pack).outcome is seen.outcome, "the same lines again"


def test_another_inside_print_is_compared_with_the_one_before(tmp_path: Path) -> None:
    flat, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "pack.pdf"
    inside = draw(PLAIN, tmp_path / "inside.pdf")
    with remembered(replace(job_for(flat), inside=inside)) as memory:
        first = run(memory.job, pack)
        draw(altered(decal=(0.6, 0.1, 0.5, 0.05)), inside)
        seen = changes_since(memory, first, pack)
        assert seen.changes.changed
        assert all(area.inside for area in seen.changes.areas)
        assert seen.outcome is not first
