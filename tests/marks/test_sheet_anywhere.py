"""The rules of a sheet on plans that nobody thought of: odd margins, narrow tabs, strips either way."""

from __future__ import annotations

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle, shared
from tests.sample_plans import facts_for, random_plan
from tiler.marks.facts import MarkOptions
from tiler.marks.shapes import Artwork, Words
from tiler.marks.sheet import tile_page
from tiler.pack.ink import text_width

_WORDS_FROM = 30.0
"""A joint has at least this much tab, and tabs as long as this say in full what goes there, mm."""


@pytest.mark.parametrize("seed", range(16))
def test_any_sheet_keeps_its_face_clean_and_carries_bars_label_and_directions(seed: int) -> None:
    plan = random_plan(seed)
    facts = facts_for(plan)
    for tile in plan.tiles:
        page = tile_page(plan, tile, facts, MarkOptions(marks="tabs"), text_width)
        printable, face = rectangle(tile.printable.grown(1e-6)), rectangle(tile.on_sheet(tile.face))
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), (tile.label, shape)
            assert isinstance(shape, Artwork) or shared(outline(shape), face) < 1e-6, (tile.label, shape)
        assert colliding_words(page.shapes) == []
        texts = [shape.text for shape in page.shapes if isinstance(shape, Words)]
        assert sum(texts.count(f"{length} mm") for length in (100, 50, 20)) == 2
        assert tile.label in texts
        for seam in plan.seams:
            if seam.lower == tile.label and seam.length >= _WORDS_FROM:
                assert f"{seam.upper} goes here" in texts, seam
