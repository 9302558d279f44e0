"""Every row leads to jobs that differ in its own choice alone."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest

from tiler.checks.waiver import Waiver
from tiler.errors import UsageError
from tiler.flat.read import Wanted
from tiler.geometry import Margins, Point, Size
from tiler.job import CheckPoint, Job
from tiler.plan.request import Forbidden, Nudge, Pin
from tiler.printers.profile import Profile
from tiler.printers.sheets import find_sheet
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Candidate
from tiler.tui.row import Known, Row
from tiler.tui.rows import rows_for
from tiler.tui.structure_facts import Fold, StructureFacts
from tiler.tui.typed import parse_stretch

JOB = Job(Path("lid.pdf"), find_sheet("A4"))
FACTS = StructureFacts(
    lines=(Fold((Point(0, 0), Point(9, 0)), is_cut=True),),
    candidates=(Candidate("Knife", "layer", LineKind.CUT, 4), Candidate("Werk 7", "spot colour", None)),
)
KNOWN = Known(pages=3, box="bleed", sheets=4, profiles=(Profile("Studio laser"),), structure=FACTS)


def row(key: str, job: Job = JOB, known: Known = KNOWN) -> Row:
    return next(one for one in rows_for(job, known) if one.key == key)


def changed(before: Job, after: Job) -> set[str]:
    return {field.name for field in fields(Job) if getattr(before, field.name) != getattr(after, field.name)}


OWN = {
    "printer": {"printer", "margins"},
    "page": {"wanted"},
    "box": {"wanted"},
    "line_as Knife": {"line_as"},
    "line_as Werk 7": {"line_as"},
    "inside": {"inside", "inside_page", "flip"},
}
"""Choices that a row may touch, where they are not the one of its name."""


@pytest.mark.parametrize("key", [one.key for one in rows_for(JOB, KNOWN)])
def test_a_row_changes_its_own_choice_alone(key: str) -> None:
    own = OWN.get(key, {key})
    one = row(key)
    assert all(changed(JOB, option.job) <= own for option in one.options)
    assert all(changed(JOB, one.stepped(JOB, step)) <= own for step in (1, -1))
    assert not one.is_set


@pytest.mark.parametrize("key", [one.key for one in rows_for(JOB, KNOWN)])
def test_steps_go_there_and_back(key: str) -> None:
    one = row(key)
    there = one.stepped(JOB, 1)
    if there != JOB:
        assert row(key, there).stepped(there, -1) == JOB


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("sheet", "297x420mm", find_sheet("A3")),
        ("margins", "5,5,12.7,5", Margins(5, 5, 12.7, 5)),
        ("overlap", "0.5in", 12.7),
        ("scale", "1:2", 0.5),
        ("lighten", "30%", 0.3),
        ("tiles", "a1 b2", ("A1", "B2")),
        ("page", "2", Wanted(page=2)),
    ],
)
def test_words_can_be_typed(key: str, text: str, value: object) -> None:
    typed = row(key).typed
    assert typed is not None
    name = "wanted" if key == "page" else key
    assert getattr(typed(text), name) == value


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("sheet", "A44"),
        ("overlap", "wide"),
        ("scale", "0"),
        ("lighten", "95%"),
        ("page", "4"),
        ("lines", "no.pdf"),
    ],
)
def test_wrong_words_are_refused_with_a_sentence(key: str, text: str) -> None:
    typed = row(key).typed
    assert typed is not None
    with pytest.raises(UsageError):
        typed(text)


def test_a_picture_has_a_size_and_a_pdf_a_box() -> None:
    picture = {one.key for one in rows_for(JOB, Known(is_picture=True))}
    document = {one.key for one in rows_for(JOB, KNOWN)}
    assert {"size", "ppi"} <= picture - document
    assert {"box", "page"} <= document - picture
    typed = row("size", known=Known(is_picture=True)).typed
    assert typed is not None
    assert typed("752x120mm").wanted.size == Size(752, 120)


def test_a_layer_that_was_told_can_be_taken_as_found_again() -> None:
    told = replace(JOB, line_as=(("Knife", "ignore"), ("Gone", "cut")))
    one = row("line_as Knife", told)
    assert (one.value, one.is_set) == ("ignore", True)
    assert one.options[0].job.line_as == (("Gone", "cut"),)
    assert row("line_as Gone", told).value == "cut"


def test_another_scale_lets_go_what_was_measured_on_paper() -> None:
    held = replace(JOB, pins=(Pin("x", 9.0),), nudges=(Nudge("A1|A2", 1.0),))
    typed = row("scale", held).typed
    assert typed is not None
    assert typed("50%") == replace(JOB, scale=0.5)


def test_creases_and_check_points_by_hand_can_be_removed() -> None:
    job = replace(
        JOB,
        creases=((Point(0, 0), Point(9, 0)), (Point(0, 5), Point(9, 5))),
        check_points=(CheckPoint("code", Point(3, 3)),),
    )
    assert row("creases", job).options[2].job.creases == job.creases[1:]
    assert row("check_points", job).options[1].job.check_points == ()


@pytest.mark.parametrize(
    ("text", "stretch"),
    [
        ("x 100, 180", Forbidden("x", 100, 180)),
        ("Y: 18cm to 100", Forbidden("y", 100, 180)),
        ("x1in 2in", Forbidden("x", 25.4, 50.8)),
    ],
)
def test_a_stretch_without_seams_can_be_typed(text: str, stretch: Forbidden) -> None:
    assert parse_stretch(text) == stretch


@pytest.mark.parametrize(
    ("text", "said"), [("100, 180", "no axis"), ("x 100", "from where"), ("x 5, 5", "no length")]
)
def test_a_stretch_that_is_none_is_told(text: str, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        parse_stretch(text)


def test_a_stretch_without_seams_can_be_taken_away_by_its_row() -> None:
    one, other = Forbidden("x", 100, 180), Forbidden("y", 20, 40)
    job = replace(JOB, forbidden=(one, other))
    texts = {option.text: option.job.forbidden for option in row("forbidden", job).options}
    assert texts["remove x 100 to 180"] == (other,)
    assert texts["remove all"] == ()
    assert texts["keep all"] == (one, other)


def test_waivers_can_be_taken_back_by_their_row() -> None:
    one = Waiver("text.size", Point(10, 20), "agreed")
    job = replace(JOB, waivers=(one,))
    texts = {option.text: option.job.waivers for option in row("waivers", job).options}
    assert texts == {"keep all": (one,), "take all back": (), "take back text.size at 10, 20: agreed": ()}


@pytest.mark.parametrize("key", ["limits", "words"])
def test_limits_and_word_list_are_files_that_are_there(tmp_path: Path, key: str) -> None:
    typed = row(key, replace(JOB, flat=tmp_path / "lid.pdf")).typed
    assert typed is not None
    with pytest.raises(UsageError, match="no such file"):
        typed("house.toml")
    (tmp_path / "house.toml").touch()
    assert getattr(typed("house.toml"), key) == tmp_path / "house.toml"
