"""Which tiles a later revision changes: planted changes give theirs, the same art saved anew none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.revision.art import PLAIN, Art, altered, changes_of, compared, draw
from tests.revision.resaved import SAVERS, Saver
from tiler.geometry import Rect


@pytest.mark.parametrize(
    ("art", "tiles", "place"),
    [
        pytest.param(altered(word="hood"), ["A1"], Rect(20, 26, 35, 6), id="a word"),
        pytest.param(altered(word_at=(20.0, 30.2)), ["A1"], Rect(20, 26, 35, 6), id="a line by 0.2 mm"),
        pytest.param(altered(decal_at=(191.0, 40.0)), ["A3"], Rect(178, 28, 25, 24), id="a decal by 1 mm"),
        pytest.param(altered(decal_at=(190.2, 40.0)), ["A3"], Rect(178, 28, 25, 24), id="a decal by 0.2 mm"),
        pytest.param(altered(decal_at=(190.0, 96.0)), ["A3", "B3"], None, id="a decal across a seam"),
        pytest.param(altered(decal=(0.1, 0.65, 0.5, 0.05)), ["A3"], Rect(178, 28, 24, 24), id="5 % magenta"),
        pytest.param(altered(decal=(0.1, 0.6, 0.45, 0.05)), ["A3"], Rect(178, 28, 24, 24), id="5 % yellow"),
        pytest.param(altered(decal=(0.15, 0.6, 0.5, 0.05)), ["A3"], Rect(178, 28, 24, 24), id="5 % cyan"),
        pytest.param(
            altered(photo=(6, 0, 0)), ["A1", "A2"], Rect(80, 15, 60, 40), id="a tint of a photograph"
        ),
        pytest.param(altered(note="on"), ["B3"], Rect(200, 135, 15, 6), id="a hidden layer turned on"),
    ],
)
def test_a_planted_change_gives_exactly_its_tiles(
    art: Art, tiles: list[str], place: Rect | None, tmp_path: Path
) -> None:
    changes = changes_of(tmp_path, art)
    assert list(changes.changed) == tiles
    assert changes.moved == ""
    assert sorted([*changes.changed, *changes.unchanged]) == ["A1", "A2", "A3", "B1", "B2", "B3"]
    if place is not None:
        assert all(place.grown(0.2).holds(area.rect) for area in changes.areas)


def test_a_layer_turned_off_is_a_change_too(tmp_path: Path) -> None:
    old, new = draw(altered(note="on"), tmp_path / "a.pdf"), draw(PLAIN, tmp_path / "b.pdf")
    assert compared(old, new).changed == ("B3",)


FEW = ("saved anew", "three decimals", "in a form", "turned page", "user unit", "PDFium", "layers flattened")
"""Ways of saving that are tried with this art; the sample lid goes through all of them."""


@pytest.mark.parametrize("saver", [SAVERS[name] for name in FEW], ids=FEW)
def test_the_same_art_saved_differently_changes_nothing(saver: Saver, tmp_path: Path) -> None:
    changes = changes_of(tmp_path, saver)
    assert changes.old.flat.sha256 != changes.new.flat.sha256
    assert (changes.changed, changes.texts, changes.moved) == ((), (), "")


def test_a_change_that_only_a_tab_shows_needs_no_reprint_of_that_tile(tmp_path: Path) -> None:
    old = draw(altered(decal_at=(94.5, 25.0)), tmp_path / "old.pdf")
    new = draw(altered(decal_at=(94.5, 25.0), decal=(0.8, 0.1, 0.0, 0.0)), tmp_path / "new.pdf")
    changes = compared(old, new)
    lower, (area,) = changes.plan.tile("A1"), changes.areas
    assert lower.window.overlaps(area.rect)
    assert changes.changed == ("A2",)


def test_words_are_told_old_and_new(tmp_path: Path) -> None:
    (text,) = changes_of(tmp_path, altered(word="hood")).texts
    assert (text.old, text.new) == ("chimney", "hood")


def test_the_changed_area_of_a_decal_is_its_area(tmp_path: Path) -> None:
    changes = changes_of(tmp_path, altered(decal=(0.1, 0.3, 0.5, 0.05)))
    assert changes.tiles["A3"] == pytest.approx(3.14159 * 12**2, rel=0.01)
    (area,) = changes.areas
    assert tuple(area.rect) == pytest.approx((178, 28, 24, 24), abs=0.11)


def test_another_page_size_means_that_the_old_sheets_do_not_fit(tmp_path: Path) -> None:
    changes = changes_of(tmp_path, altered(size=(242.0, 160.0)))
    assert changes.moved == "the flat measured 240 × 160 mm and now measures 242 × 160 mm"
    assert changes.resized
    assert (changes.changed, changes.unchanged) == ((), ())


def test_art_that_has_moved_as_a_whole_is_told_as_a_shift(tmp_path: Path) -> None:
    changes = changes_of(tmp_path, altered(everything_by=(1.0, -2.0)))
    assert changes.moved == "the whole art has moved by 1 mm to the right and 2 mm up"
    assert changes.shift == pytest.approx((1, -2), abs=0.13)


def test_art_where_the_old_plan_has_no_sheet_is_told(tmp_path: Path) -> None:
    small = altered(size=(480.0, 160.0))
    old, new = draw(small, tmp_path / "a.pdf"), draw(small, tmp_path / "b.pdf")
    import pikepdf

    with pikepdf.open(old, allow_overwriting_input=True) as pdf:
        pdf.pages[0].contents_add(b"q 0 0 1 rg 1200 100 60 60 re f Q")
        pdf.save(new)
    changes = compared(old, new)
    assert changes.moved.endswith("of new art lie where the old plan has no sheet")


def test_a_scaled_job_tells_places_on_paper(tmp_path: Path) -> None:
    from dataclasses import replace

    from tests.revision.art import job_for
    from tiler.load import load
    from tiler.revision.changes import find_changes
    from tiler.run import prepare

    old, new = draw(PLAIN, tmp_path / "a.pdf"), draw(altered(word="hood"), tmp_path / "b.pdf")
    job = replace(job_for(old), scale=0.5)
    changes = find_changes(prepare(job), load(replace(job, flat=new)))
    (area,) = changes.areas
    assert Rect(18, 13, 12, 3).holds(area.rect)
    assert changes.texts[0].box.x == pytest.approx(10, abs=0.3)
