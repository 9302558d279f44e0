"""Corner pages: strips at true size, nothing over the edge, everything on the printable area."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from tests.fold.flats import boxed
from tests.outlines import colliding_words, covers, outline, rectangle, shared
from tests.sample_plans import A3, A4, A5, LETTER, facts_for, one_tile
from tiler.errors import PackError
from tiler.fold.camera import CORNERS
from tiler.fold.scene import scene_of
from tiler.fold.strips import crease_strips, meeting_strips, picture_of
from tiler.fold.verdict import Verdict
from tiler.geometry import Margins, Size
from tiler.marks.facts import Facts
from tiler.marks.shapes import Artwork, Line, Page, Words
from tiler.pack.corners_facts import CornerStrip
from tiler.pack.corners_page import corner_pages
from tiler.pack.ink import text_width
from tiler.plan.sheet import UNKNOWN_PRINTER, Sheet

STEPS = Verdict("steps", 1.8, 12.0, 8.4, 44.0, 0.2)
SHEETS = {"A4": A4, "letter": LETTER, "A5": A5, "A3": A3}
FLATS = ["telescoping tray", "straight tuck", "pyramid", "mailer with ears"]


def facts(scale: float = 1.0) -> Facts:
    return replace(facts_for(one_tile(), scale), flat=Size(275, 300))


def strips_of(name: str, creases: bool = False) -> tuple[CornerStrip, ...]:
    found = boxed(name)
    strips = meeting_strips(found, {meeting.id: STEPS for meeting in found.meetings})
    return (*strips, *(crease_strips(found) if creases else ()))


def drawn(name: str, sheet: Sheet = A4, scale: float = 1.0, creases: bool = False) -> tuple[Page, ...]:
    picture = picture_of(scene_of(boxed(name), CORNERS["front-right"]), 275.0)
    strips = strips_of(name, creases)
    return corner_pages(strips, facts(scale), sheet, UNKNOWN_PRINTER, text_width, picture)


def strip_art(pages: tuple[Page, ...], scale: float = 1.0) -> list[Artwork]:
    """Artwork at the scale of the tiles; that of the folded box is sheared or smaller."""
    found = []
    for page in pages:
        for shape in page.shapes:
            if isinstance(shape, Artwork):
                a, b, c, d, _, _ = shape.to_sheet
                if abs(a * a + b * b - scale**2) < 1e-9 and abs(a * d - b * c - scale**2) < 1e-9:
                    found.append(shape)
    return found


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("name", FLATS)
def test_all_lies_on_the_printable_area_and_no_words_collide(name: str, sheet: str) -> None:
    paper = SHEETS[sheet]
    for page in drawn(name, paper, creases=True):
        landscape = page.size.width > page.size.height
        assert page.size == paper.oriented(landscape)
        printable = rectangle(paper.printable(UNKNOWN_PRINTER, landscape).grown(1e-6))
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), shape
        assert colliding_words(page.shapes) == []


@pytest.mark.parametrize("scale", [1.0, 0.5])
@pytest.mark.parametrize("name", FLATS)
def test_every_strip_is_shown_whole_at_the_scale_of_the_tiles(name: str, scale: float) -> None:
    shown: dict[str, float] = {}
    total = sum(2 * strip.length * scale for strip in strips_of(name))
    for art in strip_art(drawn(name, scale=scale), scale):
        shown[str(art.rings)] = art.clip.width
    # Slanted panels are narrower than their edge 15 mm in, but they begin at the edge with its whole length.
    assert sum(shown.values()) == pytest.approx(total, rel=1e-6)


def test_a_strip_longer_than_the_sheet_comes_in_pieces_that_join() -> None:
    (strip,) = (s for s in crease_strips(boxed("mailer with ears")) if s.name == "P3 | P5")
    pages = corner_pages((strip,), facts(2.0), A5, UNKNOWN_PRINTER, text_width)
    art = strip_art(pages, 2.0)
    assert len(art) == 6
    assert sum(piece.clip.width for piece in art) == pytest.approx(2 * 2.0 * 150)
    heads = [shape.text for page in pages for shape in page.shapes if isinstance(shape, Words)]
    assert sum("part " in head for head in heads) == 3


@pytest.mark.parametrize("name", FLATS)
def test_nothing_is_drawn_over_the_art_of_a_strip(name: str) -> None:
    for page in drawn(name):
        art = [outline(shape) for shape in strip_art((page,))]
        for shape in page.shapes:
            if isinstance(shape, Line | Words):
                assert all(shared(outline(shape), each) < 1e-6 for each in art), shape
        for one, other in itertools.combinations(art, 2):
            assert shared(one, other) < 1e-6


def test_a_step_is_written_bold_under_its_strip() -> None:
    words = [s for page in drawn("telescoping tray") for s in page.shapes if isinstance(s, Words)]
    verdicts = [word for word in words if word.text.startswith("artwork steps 1.8 mm")]
    assert len(verdicts) == 4
    assert all(word.bold for word in verdicts)


def test_the_folded_box_is_on_the_first_page_alone() -> None:
    pages = drawn("straight tuck", A5, creases=True)
    assert len(pages) > 1
    counts = [sum(isinstance(s, Artwork) for s in page.shapes) - len(strip_art((page,))) for page in pages]
    assert counts[0] >= 2
    assert set(counts[1:]) == {0}
    assert [page.label for page in pages[:2]] == ["Corners", "Corners 2"]


def test_without_strips_there_is_no_page_and_a_tiny_sheet_is_refused() -> None:
    assert corner_pages((), facts(), A4, UNKNOWN_PRINTER, text_width) == ()
    tiny = Sheet("custom_tiny_60x80mm", Size(60, 80))
    with pytest.raises(PackError, match="too small for corner strips"):
        corner_pages(strips_of("pyramid"), facts(), tiny, Margins(3, 3, 3, 3), text_width)
