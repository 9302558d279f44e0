"""Watching a flat that is still being worked on."""

from __future__ import annotations

from pathlib import Path

from tests.revision.art import PLAIN, altered, draw, job_for
from tiler.revision.watch import SETTLED, Watcher, changes_since, remembered
from tiler.run import run


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
        changes, second = changes_since(memory, first, pack)
        assert changes.changed == ("A1",)
        assert second is not first
        assert pack.read_bytes() != before
        draw(PLAIN, flat)
        changes, third = changes_since(memory, second, pack)
        assert changes.changed == ("A1",)
        assert third is not second
        assert len(list(memory.folder.iterdir())) == 1, "only the copy of the last pack is kept"
    assert not memory.folder.exists()
    assert pack.read_bytes() == before


def test_a_save_without_changes_leaves_the_pack(tmp_path: Path) -> None:
    flat, pack = draw(PLAIN, tmp_path / "sleeve.pdf"), tmp_path / "pack.pdf"
    with remembered(job_for(flat)) as memory:
        first = run(memory.job, pack)
        stamp = pack.stat().st_mtime_ns
        flat.write_bytes(flat.read_bytes() + b"\n% saved again\n")
        changes, outcome = changes_since(memory, first, pack)
        assert (changes.changed, outcome) == ((), first)
        assert pack.stat().st_mtime_ns == stamp
