"""``tiler mock --watch``: a save of any file of the job is told, and the end is a plain one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.revision.art import PLAIN, altered, draw
from tiler.cli import main, watch


def watched(
    words: list[str],
    saves: list[Callable[[], object]],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> list[str]:
    """Watch while files are saved one after another, then press Ctrl+C; what was said, without the times."""
    steps = iter([step for save in saves for step in (save, int, int)])
    now = iter(range(1000))

    def sleep(seconds: float) -> None:
        step = next(steps, None)
        if step is None:
            raise KeyboardInterrupt
        step()

    clock = SimpleNamespace(sleep=sleep, monotonic=lambda: float(next(now)), strftime=lambda _: "now")
    monkeypatch.setattr(watch, "time", clock)
    assert main(["mock", *words, "--sheet", "110x150mm", "--printer", "none", "--watch"]) == 0
    return capsys.readouterr().err.splitlines()


def test_saves_of_flat_and_limits_are_told_and_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    flat, limits, pack = draw(PLAIN, tmp_path / "a.pdf"), tmp_path / "house.toml", tmp_path / "p.pdf"
    limits.write_text("[text_size]\nvalue = 1\n")
    saves: list[Callable[[], object]] = [
        lambda: limits.write_text("[text_size]\nvalue = 30\n"),
        lambda: draw(altered(word="hood"), flat),
        lambda: limits.write_text("[text_size\n"),
    ]
    words = [str(flat), "-o", str(pack), "--proof", "--limits", str(limits)]
    said = watched(words, saves, monkeypatch, capsys)
    assert f"watching {flat} and house.toml; Ctrl+C ends it" in said
    told = said[said.index(f"watching {flat} and house.toml; Ctrl+C ends it") + 1 :]
    assert told[:2] == ["now house.toml has changed, and the proof list with it", f"now {pack} written anew"]
    assert "sheets changed: A1" in told[2]
    assert told.count(f"now {pack} written anew") == 2
    assert "is no valid TOML" in told[-2]
    assert told[-2].endswith("the pack is as it was")
    assert told[-1] == f"no longer watching; {pack} is as last written"


def test_the_flat_is_never_the_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = draw(PLAIN, tmp_path / "a.pdf")
    before = flat.read_bytes()
    assert main(["mock", str(flat), "-o", str(flat), "--sheet", "A4", "--watch"]) == 1
    assert "would be overwritten" in capsys.readouterr().err
    assert flat.read_bytes() == before
