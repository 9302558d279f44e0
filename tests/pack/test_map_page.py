"""The map page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from tests.outlines import colliding_words, covers, outline, rectangle, words_box
from tests.sample_plans import (
    A3,
    A4,
    A5,
    ALL_PLANS,
    LETTER,
    columns,
    facts_for,
    grid_2x3,
    many_tiles,
    mixed_strips,
    one_tile,
    strips_plan,
)
from tiler.errors import PackError
from tiler.geometry import Margins, Point, Size
from tiler.marks.facts import Facts, GuideLine, PanelName
from tiler.marks.names import sheet_words
from tiler.marks.shapes import Artwork, Line, Page, Words
from tiler.pack.ink import text_width
from tiler.pack.map_page import map_pages
from tiler.plan.sheet import Sheet
from tiler.plan.tile import Plan

POSTCARD = Sheet("iso_a6_105x148mm", Size(105, 148))
PLANS: dict[str, Callable[[], Plan]] = {
    **ALL_PLANS,
    "120 tiles": many_tiles,
    "one to eight": lambda: strips_plan([240.0] * 4, [[110.0]] * 4),
    "eight to one": lambda: strips_plan([110.0], [[150.0] * 5 + [130.0]]),
    "A3": lambda: strips_plan([370.0, 300.0], [[260.0, 240.0]] * 2, A3),
    "tabloid of A6": lambda: strips_plan([100.0] * 3, [[70.0] * 4] * 3, POSTCARD),
}
plans = pytest.mark.parametrize("name", PLANS)


def drawn(plan: Plan, **changes: object) -> tuple[Page, ...]:
    return map_pages(plan, replace(facts_for(plan), **changes), text_width)  # type: ignore[arg-type]


def texts(pages: tuple[Page, ...]) -> list[str]:
    return [shape.text for page in pages for shape in page.shapes if isinstance(shape, Words)]


@plans
def test_the_map_lies_on_the_jobs_own_sheet_within_its_printable_area(name: str) -> None:
    plan = PLANS[name]()
    for page in drawn(plan):
        landscape = page.size.width > page.size.height
        assert page.size == plan.sheet.oriented(landscape)
        printable = rectangle(plan.sheet.printable(plan.margins, landscape).grown(1e-6))
        for shape in page.shapes:
            assert covers(printable, outline(shape, halo=False)), shape


@plans
def test_no_two_texts_on_the_map_are_written_over_each_other(name: str) -> None:
    for page in drawn(PLANS[name]()):
        assert colliding_words(page.shapes) == []


@plans
def test_the_map_labels_every_tile_inside_its_face(name: str) -> None:
    plan = PLANS[name]()
    page = drawn(plan)[0]
    (art,) = (shape for shape in page.shapes if isinstance(shape, Artwork))
    factor = art.clip.width / plan.flat.width
    for tile in plan.tiles:
        (label,) = (s for s in page.shapes if isinstance(s, Words) and s.text == tile.label)
        face = tile.face.scaled(factor).shifted(art.clip.x, art.clip.y)
        assert covers(rectangle(face), words_box(label)), tile.label


@plans
def test_the_flat_is_drawn_whole_light_and_in_proportion(name: str) -> None:
    plan = PLANS[name]()
    (art,) = (shape for shape in drawn(plan)[0].shapes if isinstance(shape, Artwork))
    assert art.clip.width / art.clip.height == pytest.approx(plan.flat.width / plan.flat.height)
    assert art.to_sheet.apply(0, 0) == pytest.approx((art.clip.x, art.clip.y))
    assert art.to_sheet.apply(*art.flat) == pytest.approx((art.clip.right, art.clip.bottom))
    assert art.lighten > 0.3


@plans
def test_the_map_carries_a_bar_each_way(name: str) -> None:
    page = drawn(PLANS[name]())[0]
    bars = [s for s in page.shapes if isinstance(s, Words) and s.text in ("100 mm", "50 mm") and s.bold]
    assert sorted(bar.turn for bar in bars) == [-90, 0]


def test_the_map_says_what_is_printed_and_how_large_it_is() -> None:
    plan = replace(grid_2x3(), grid_sheets=8)
    found = texts(drawn(plan, folded=(200.0, 150.0, 60.0), part="lid outside"))
    text = " ".join(found)
    for part in (
        "heronwick-lid.pdf", "lid outside", "page 1, bleed box", "revision 7c1f03ab", "2026-01-05",
        "506 × 426 mm", "200 × 150 × 60 mm", "true size", "6 sheets of A4, 210 × 297 mm", "needs 8",
        "6.5, 6.5, 12.7, 6.5 mm", "no printer profile: measure the bars",
    ):  # fmt: skip
        assert part in text, part
    assert found.count("506 mm") == 1
    assert found.count("426 mm") == 1


def test_a_smaller_scale_is_told_with_both_sizes() -> None:
    plan = grid_2x3()
    text = " ".join(texts(map_pages(plan, facts_for(plan, scale=0.5), text_width)))
    assert "scale 1:2" in text
    assert "506 × 426 mm as printed" in text
    assert "1012 × 852 mm at" in text


def test_a_printer_profile_is_named_with_its_correction() -> None:
    text = " ".join(texts(drawn(grid_2x3(), printer="Studio laser", correction="across +0.3 %")))
    assert "Studio laser" in text
    assert "across +0.3 %" in text
    assert "no printer profile" not in text


def test_the_bars_are_checked_before_the_knife_is_spoken_of() -> None:
    found = texts(drawn(grid_2x3()))
    check = found.index("Check before cutting")
    assert check < found.index("With knife and glue")
    boxes = [t for t in found if t.startswith(("Printed at 100 %", "Bar across", "Bar down", "Both bars"))]
    assert len(boxes) == 4


def test_cautions_for_the_knife_are_printed_even_for_one_sheet() -> None:
    for plan in (one_tile(), mixed_strips()):
        text = " ".join(texts(drawn(plan)))
        for part in (
            "cutting mat",
            "safety straightedge",
            "fingers",
            "away from the body",
            "closed container",
        ):
            assert part in text, part
        assert "The rules of your workplace and country come first." in text


def test_the_legend_tells_only_of_marks_that_the_job_has() -> None:
    alone = " ".join(texts(drawn(one_tile())))
    assert "registration" not in alone
    assert "glue tab" not in alone
    joined = " ".join(texts(drawn(grid_2x3())))
    assert "registration mark" in joined
    assert "snip" in joined
    assert "crease" not in joined
    assert "registration" not in " ".join(texts(drawn(grid_2x3(), marks="none")))
    creased = (GuideLine(Point(0, 50), Point(400, 50)),)
    assert "crease: score, then fold" in " ".join(texts(drawn(grid_2x3(), guides=creased)))


def test_strips_are_tagged_in_joining_order_beside_or_below_the_drawing() -> None:
    for plan, names, along in ((mixed_strips(), "ABC", 1), (columns(), "12", 0)):
        page = drawn(plan)[0]
        tags = [s for s in page.shapes if isinstance(s, Words) and s.text in names]
        assert [tag.text for tag in tags] == list(names)
        assert [tag.at[along] for tag in tags] == sorted(tag.at[along] for tag in tags)
        assert "the strips, in the order they are joined" in " ".join(texts((page,)))
    assert "Ringed" not in " ".join(texts(drawn(one_tile())))


def test_panel_names_keep_off_labels_seams_and_each_other() -> None:
    plan = mixed_strips()
    names = tuple(
        PanelName(f"panel {i}", Point(x, y)) for i, (x, y) in enumerate([(240, 200), (241, 201), (20, 130)])
    )
    page = drawn(plan, panels=names)[0]
    assert colliding_words(page.shapes) == []
    written = [s for s in page.shapes if isinstance(s, Words) and s.text.startswith("panel ")]
    assert len(written) == 3
    firm = [outline(s, halo=False) for s in page.shapes if isinstance(s, Line) and s.width > 0.3]
    assert firm
    assert not [w for w in written for seam in firm if seam.intersects(words_box(w))]


def test_a_small_sheet_takes_a_second_page_rather_than_a_small_drawing() -> None:
    pages = drawn(strips_plan([140.0, 150.0], [[100.0, 110.0]] * 2, A5))
    assert [page.label for page in pages] == ["Map", "Map 2"]
    assert len(drawn(grid_2x3(A4))) == len(drawn(grid_2x3(LETTER))) == 1


def test_a_sheet_too_small_for_any_map_is_refused_in_one_sentence() -> None:
    plan = replace(one_tile(), sheet=Sheet("custom_label_30x40mm", Size(30, 40)), margins=Margins(5, 5, 5, 5))
    with pytest.raises(PackError, match="30 × 40 mm"):
        drawn(plan)


def test_a_very_long_name_is_shortened_and_keeps_its_end() -> None:
    plan = grid_2x3()
    facts: Facts = facts_for(plan, file_name="heronwick-field-lamp-gift-box-" * 6 + "v12.pdf")
    found = texts(map_pages(plan, facts, text_width))
    assert found.count("Map") == 1
    assert any("…" in text and text.endswith("v12.pdf") for text in found)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("iso_a4_210x297mm", "A4, 210 × 297 mm"),
        ("na_letter_8.5x11in", "Letter, 210 × 297 mm"),
        ("custom_proof_210x297mm", "210 × 297 mm"),
    ],
)
def test_paper_is_called_as_people_call_it(name: str, words: str) -> None:
    """Self-describing media names: PWG 5101.1."""
    assert sheet_words(Sheet(name, Size(210, 297))) == words
