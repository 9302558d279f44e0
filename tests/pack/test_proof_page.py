"""The proof list in the pack: everything on the printable area, nothing lost between columns and pages."""

from __future__ import annotations

import pytest

from tests.sample_plans import ALL_PLANS, facts_for, grid_2x3, strips_plan
from tiler.checks.finding import Finding, Report, Severity, TextEntry
from tiler.checks.proof import PointToCheck, proof_of, text_numbers
from tiler.geometry import Point, Rect
from tiler.marks.shapes import Line, Page, Words
from tiler.pack.ink import text_width
from tiler.pack.proof_page import Proof, ProofGroup, ProofItem, proof_pages


def entry(number: int, text: str = "Field lamp, 0.4 kg") -> TextEntry:
    facts = (("number", "0.4 kg"),)
    return TextEntry(
        number, text, Rect(10, 10, 30, 3), 7.5, 1.3, 1.8, "Sans", 0, "P1", "A1", facts, ("lamp",)
    )


def many(count: int) -> Report:
    box = Rect(5, 5, 20, 3)
    message = "Type of 4 pt, below 4.5 pt"
    finding = Finding("text.size", Severity.WARNING, box, message, "guides", 4, 4.5, "pt", "A1")
    waived = Finding("rgb", Severity.NOTE, box, "RGB", "guides", tile="A1", waived="agreed")
    texts = tuple(entry(number, f"Text number {number} of the lid") for number in range(1, count + 1))
    return Report((finding, waived), texts, remarks=("Law is a matter for the person responsible.",))


def said(pages: tuple[Page, ...]) -> list[str]:
    return [shape.text for page in pages for shape in page.shapes if isinstance(shape, Words)]


@pytest.mark.parametrize("name", ALL_PLANS)
def test_every_word_and_box_lies_on_the_printable_area(name: str) -> None:
    plan = ALL_PLANS[name]()
    pages = proof_pages(proof_of(many(60)), plan, facts_for(plan), text_width)
    paper = plan.sheet.printable(plan.margins, False)
    for page in pages:
        assert page.size == plan.sheet.oriented(False)
        for shape in page.shapes:
            if isinstance(shape, Line):
                assert all(paper.contains(point, 0.4) for point in shape.points)
            elif isinstance(shape, Words):
                width = text_width(shape.text, shape.size, shape.bold)
                left = shape.at.x - (width if shape.align == "right" else 0)
                assert paper.holds(Rect(left, shape.at.y, width, 0), 0.01)


def test_no_text_is_lost_between_columns_and_pages() -> None:
    plan = grid_2x3()
    pages = proof_pages(proof_of(many(150)), plan, facts_for(plan), text_width)
    words = said(pages)
    assert len(pages) > 2
    for number in range(1, 151):
        assert f"Text number {number} of the lid" in words
    assert [page.label for page in pages[:2]] == ["Proof list", "Proof list 2"]


def test_each_open_item_has_one_box_and_a_waived_one_has_none() -> None:
    plan = grid_2x3()
    proof = proof_of(many(3), [PointToCheck("c", "corner of the gold line", Point(120, 45), "A2")])
    pages = proof_pages(proof, plan, facts_for(plan), text_width)
    boxes = [shape for page in pages for shape in page.shapes if isinstance(shape, Line) and shape.closed]
    assert len(boxes) == 1 + 1 + 3 + 3  # finding, check point, facts, texts
    assert {"corner of the gold line", "c", "A2", "at 120, 45 mm"} <= set(said(pages))
    assert any("waived: agreed" in words for words in said(pages))


def test_a_heading_never_stands_alone_at_the_foot_of_a_column() -> None:
    plan = strips_plan([180.0], [[150.0]])
    for count in range(20, 60):
        items = tuple(ProofItem(f"item {number}") for number in range(count))
        proof = Proof((ProofGroup("First", items), ProofGroup("Second", items[:3])))
        shapes = [
            shape
            for page in proof_pages(proof, plan, facts_for(plan), text_width)
            for shape in page.shapes
            if isinstance(shape, Words)
        ]
        index = next(i for i, shape in enumerate(shapes) if shape.text == "Second")
        assert shapes[index + 1].text == "item 0"
        assert shapes[index + 1].at.y > shapes[index].at.y


def test_an_empty_list_makes_no_page() -> None:
    plan = grid_2x3()
    assert proof_pages(Proof(()), plan, facts_for(plan), text_width) == ()


def test_the_numbers_of_the_list_can_stand_on_the_map() -> None:
    assert text_numbers(many(2), scale=0.5) == (("1", (12.5, 5.75)), ("2", (12.5, 5.75)))
