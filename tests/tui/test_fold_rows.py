"""Rows and words of the folded box."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest

from tests.fold.flats import boxed, chosen, structure
from tiler.errors import UsageError
from tiler.fold.choices import FoldChoices
from tiler.fold.verdict import Verdict
from tiler.job import Job
from tiler.printers.sheets import find_sheet
from tiler.tui.fold_rows import FoldKnown, fold_rows, next_angle, turned_angle
from tiler.tui.fold_words import fact_lines, fold_notes, odd_lines, size_words
from tiler.tui.row import Row

JOB = Job(Path("tray.pdf"), find_sheet("A4"))
TRAY = boxed("telescoping tray")
PANELS = tuple(panel.id for panel in structure("telescoping tray").panels)
# Walls: P1 above, P2 left, P4 right, P5 below; P3 is the base. m2 joins P1 and P4, from rim to base, on
# which the tray stands: a step towards its end is down.
STEP = Verdict("steps", 1.8, 10.0, 12.0, 60.0, 0.4)
BARE = Verdict("one side", None, None, 12.0, 60.0, 0.4, "b")
SAME = Verdict("matches", 0.0, None, 0.4, 2.0, 0.0)
KNOWN = FoldKnown(PANELS, TRAY, {"m1": SAME, "m2": STEP, "m3": BARE})


def row(key: str, job: Job = JOB, known: FoldKnown = KNOWN) -> Row:
    return next(one for one in fold_rows(job, known) if one.key == key)


def with_fold(**choices: object) -> Job:
    return replace(JOB, fold=FoldChoices(**choices))  # type: ignore[arg-type]


def test_rows_are_the_box_then_meetings_then_creases() -> None:
    keys = [one.key for one in fold_rows(JOB, KNOWN)]
    assert keys == [
        "root", "stands", "caliper", "meeting m1", "meeting m2", "meeting m3", "meeting m4",
        "crease P1/P3", "crease P2/P3", "crease P3/P4", "crease P3/P5",
    ]  # fmt: skip


def test_every_row_changes_folding_alone() -> None:
    for one in fold_rows(JOB, KNOWN):
        jobs = [option.job for option in one.options] + [job for job in (one.less, one.more) if job]
        for job in jobs:
            changed = {f.name for f in fields(Job) if getattr(job, f.name) != getattr(JOB, f.name)}
            assert changed <= {"fold"}, one.key


def test_meetings_tell_how_their_art_meets() -> None:
    assert row("meeting m1").value == "meets"
    assert row("meeting m2").value == "steps 1.8 mm down"
    assert row("meeting m2").help.startswith("m2: artwork steps 1.8 mm down from P1 to P4 (CIEDE2000 12 ")
    assert row("meeting m3").value == f"bare on {TRAY.meetings[2].panels[1]}"
    assert row("meeting m4").value == "…"
    assert [one.is_set for one in fold_rows(JOB, KNOWN)[3:7]] == [False, True, True, False]


@pytest.mark.parametrize(
    ("angle", "step", "then"),
    [
        (90, 5, 95),
        (90, -5, 85),
        (87.3, 5, 90),
        (87.3, -5, 85),
        (90, 15, 105),
        (179, 15, 180),
        (-180, -5, -180),
    ],
)
def test_an_angle_goes_to_the_next_whole_step(angle: float, step: int, then: float) -> None:
    assert next_angle(angle, step) == then


def test_a_crease_is_folded_in_steps_or_by_typing() -> None:
    assert row("crease P1/P3").value == "90°"
    job = turned_angle(JOB, TRAY, "P1/P3", 15)
    assert job.fold.angles == (("P1", "P3", 105.0),)
    known = replace(KNOWN, box=chosen("telescoping tray", angles=job.fold.angles))
    told = row("crease P1/P3", job, known)
    assert (told.value, told.is_set) == ("105° told", True)
    assert told.help == "P1/P3 folds 105° away from the print, as you told."
    assert told.typed is not None
    assert told.typed("-42.5°").fold.told("P1", "P3") == -42.5
    assert told.options[0].text == "as found"
    assert told.options[0].job == JOB
    assert turned_angle(JOB, TRAY, "P8/P9", 5) == JOB


@pytest.mark.parametrize("words", ["", "steep", "181", "-200", "nan"])
def test_what_is_no_angle_is_refused(words: str) -> None:
    typed = row("crease P1/P3").typed
    assert typed is not None
    with pytest.raises(UsageError, match="is no angle"):
        typed(words)


@pytest.mark.parametrize("words", ["0", "-1mm", "25mm"])
def test_what_is_no_board_is_refused(words: str) -> None:
    typed = row("caliper").typed
    assert typed is not None
    with pytest.raises(UsageError):
        typed(words)


def test_root_standing_and_board_can_be_chosen() -> None:
    root = row("root")
    assert root.value == "P3"
    assert [option.text for option in root.options] == ["the largest (P3)", *PANELS]
    assert root.options[1].job.fold.root == "P1"
    lost = row("root", with_fold(root="P77"), FoldKnown(PANELS))
    assert (lost.value, lost.options[-1].text) == ("P77", "P77")
    assert {option.job.fold.stands for option in row("stands").options} >= {"auto", "rim", "bottom"}
    typed = row("caliper").typed
    assert typed is not None
    assert typed("0.45mm").fold.caliper == pytest.approx(0.45)
    assert row("caliper", with_fold(caliper=0.45)).value == "0.45 mm"


def test_an_angle_of_a_crease_that_is_not_folded_can_be_let_go() -> None:
    job = with_fold(angles=(("P1", "P2", 30.0),))
    lost = row("lost P1/P2", job, FoldKnown(PANELS))
    assert lost.value == "30° unused"
    assert lost.stepped(job, 1) == JOB


def test_sizes_follow_the_board() -> None:
    # The tray: base 120 × 80, walls 30; walls at both ends across and along, one base.
    assert size_words(TRAY) == "120 × 80 × 30 mm"
    known = chosen("telescoping tray", caliper=1.0, stands="root")
    assert fact_lines(known) == (
        "folded, from crease to crease",
        "inside 119 × 79 × 29.5",
        "outside 121 × 81 × 30.5",
        "stands on P3",
    )
    assert "try the contents" in fold_notes(known)[0]


def test_what_asks_for_a_look_is_told() -> None:
    assert odd_lines(TRAY, KNOWN.verdicts) == ("art does not meet at m2, m3",)
    assert odd_lines(TRAY, {}) == ()


def test_a_single_panel_is_no_box() -> None:
    box = boxed("single panel")
    assert size_words(box) == "no box"
    assert fact_lines(box)[0] == "no edges meet when it is folded"
    assert fold_notes(box) == ("The flat is a single panel, so there is nothing to fold.",)
