"""What the plan comes to, in words."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from pypdf import PdfReader, PdfWriter

from tests.sample_plans import LETTER, grid_2x3, one_tile
from tests.tui.piloting import small_flat
from tiler.findings import structure_warnings
from tiler.flat.read import Wanted, read_flat
from tiler.job import Job
from tiler.load import load
from tiler.plan.tile import Plan
from tiler.printers.sheets import find_sheet
from tiler.run import plan_sheets
from tiler.structure.model import Structure
from tiler.tui.answer import answer_of, notes_of
from tiler.tui.structure_facts import StructureFacts
from tiler.tui.words import capital, own_words, told
from tiler.tui.work import Problem, problem_of


def prepared(plan: Plan, scale: float = 1.0, printed: int | None = None) -> SimpleNamespace:
    return SimpleNamespace(
        plan=plan,
        job=SimpleNamespace(scale=scale),
        printed=plan.tiles[:printed],
        warnings=("the paper is thin",),
    )


def test_the_answer_says_sheets_grid_and_sizes() -> None:
    answer = answer_of(prepared(replace(grid_2x3(), grid_sheets=8)), StructureFacts(folded=(300, 220, 60)))  # type: ignore[arg-type]
    assert answer.sentence == "6 sheets of A4"
    assert answer.against_grid == "a plain grid needs 8"
    assert answer.lies == "lies 506 × 426 mm"
    assert answer.folds == "folds to 300 × 220 × 60 mm"
    assert answer.printed == ""


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (one_tile(), "all on one sheet"),
        (grid_2x3(LETTER), "as few as a plain grid"),
        (replace(grid_2x3(), layout="grid"), "as a plain grid"),
    ],
)
def test_the_comparison_is_honest(plan: Plan, words: str) -> None:
    assert answer_of(prepared(plan)).against_grid == words  # type: ignore[arg-type]


def test_a_part_that_is_printed_and_another_scale_are_told() -> None:
    answer = answer_of(prepared(grid_2x3(), 0.5, 2), StructureFacts(folded=(300, 220, 60)))  # type: ignore[arg-type]
    assert answer.printed == "prints 2 of 6"
    assert answer.lies.endswith("at 50 %")
    assert answer.folds == "folds to 150 × 110 × 30 mm"


def test_notes_tell_warnings_and_unlucky_seams() -> None:
    plan = grid_2x3()
    unlucky = replace(plan.seams[0], penalty=3.0, why="crosses the text 'HERONWICK'")
    notes = notes_of(prepared(replace(plan, seams=(unlucky, *plan.seams[1:]))))  # type: ignore[arg-type]
    assert notes[0] == "The paper is thin"
    assert notes[1].endswith("crosses the text 'HERONWICK'")
    assert len(notes) == 2


def test_a_file_keeps_its_name_at_the_head_of_a_sentence() -> None:
    assert capital("lid.pdf: is empty") == "lid.pdf: is empty"
    assert told(Problem("the disk is full", "make room")) == "The disk is full.\n→ Make room."


def test_a_crash_is_told_without_a_traceback() -> None:
    problem = problem_of(ZeroDivisionError("division by zero"), "planning the sheets")
    assert (
        problem.sentence
        == "planning the sheets has failed unexpectedly (ZeroDivisionError: division by zero)"
    )
    assert problem.remedy


def test_a_file_of_two_pages_names_what_can_be_done_with_the_other(tmp_path: Path) -> None:
    flat = _two_pages(tmp_path)
    front, back = read_flat(flat, Wanted()), read_flat(flat, Wanted(page=2))
    assert front.warnings == (
        "box.pdf has 2 pages; this is page 1: --page 2 takes another, --inside 2 prints it on the backs",
    )
    assert "--page 1 takes another, --inside 1 prints it" in back.warnings[0]
    assert own_words(front.warnings[0]) == (
        "box.pdf has 2 pages; this is page 1: the key g takes another, the row Inside prints it on the backs"
    )


def test_a_file_whose_both_pages_are_used_is_not_told_to_have_them(tmp_path: Path) -> None:
    alone = Job(_two_pages(tmp_path), find_sheet("A4"))
    both = replace(alone, inside=alone.flat, inside_page=2)
    assert any("has 2 pages" in said for said in plan_sheets(alone, load(alone)).warnings)
    assert not any("has 2 pages" in said for said in plan_sheets(both, load(both)).warnings)


def _two_pages(folder: Path) -> Path:
    writer = PdfWriter()
    for _ in range(2):
        writer.append(PdfReader(small_flat(folder)))
    writer.write(folder / "box.pdf")
    return folder / "box.pdf"


def test_the_screen_names_its_own_rows_and_keys_and_no_options_of_the_command_line() -> None:
    warning = structure_warnings(SimpleNamespace(structure=Structure()))  # type: ignore[arg-type]
    assert "--line-as" in warning[0]
    shown = own_words(warning[0])
    assert shown.endswith("a line file in the row Line file, or a crease with the key c")
    sources = [
        path
        for path in (Path(__file__).parents[2] / "tiler").rglob("*.py")
        if "cli" not in path.parts and "tui" not in path.parts
    ]
    options = {found for path in sources for found in re.findall(r"--[a-z][a-z-]+", path.read_text())}
    assert len(options) > 5
    for option in options:
        assert "--" not in own_words(f"give it with {option} 3 or {option}, as in {option} 3")
