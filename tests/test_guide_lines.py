"""Guide lines of the structure, and where they may have ticks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tiler.findings import guide_lines
from tiler.job import Job
from tiler.load import load
from tiler.printers.sheets import find_sheet
from tiler.structure.model import Structure

SAMPLES = Path(__file__).parent.parent / "sample_art"


def test_the_outline_is_worked_out_once_however_many_creases_there_are(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = Job(SAMPLES / "tray.pdf", find_sheet("A4"))
    loaded = load(job)
    asked = []
    outline = loaded.structure.polygons

    def counted(structure: Structure) -> object:
        asked.append(structure)
        return outline

    monkeypatch.setattr(Structure, "polygons", property(counted))
    guides = guide_lines(job, loaded)
    assert len([guide for guide in guides if guide.kind == "crease"]) > 3
    assert len(asked) == 1
