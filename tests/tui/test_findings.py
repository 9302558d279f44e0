"""Findings on the screen: read, gone to, waived with a reason and taken back; the proof list beside them."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.tui.piloting import around, plan_screen, planned, screen_text, small_job, travel, until
from tiler.checks import run
from tiler.checks.finding import Finding, Report, Severity, TextEntry
from tiler.checks.waiver import Waiver
from tiler.checks.waiving import covered_with, idle_waivers, rewaived, waiver_for, without_waivers_of
from tiler.errors import FlatError
from tiler.geometry import Point, Rect, Size
from tiler.job import CheckPoint, Job
from tiler.printers.sheets import find_sheet
from tiler.ticket import load_ticket
from tiler.tui.app import TilerApp
from tiler.tui.findings_rows import count_words, finding_entries, nearest, proof_entries, waive_words
from tiler.tui.screens.dialogs import AskScreen
from tiler.tui.screens.findings import FindingsScreen
from tiler.tui.screens.plan import PlanScreen
from tiler.tui.viewport import Viewport, looking_at
from tiler.tui.widgets.finding_view import FindingView
from tiler.tui.widgets.flat_view import FlatView

LID = Path(__file__).parents[2] / "sample_art" / "lid.pdf"
SIZES = [(80, 24), (200, 60)]


def finding(rule: str, severity: Severity, x: float, tile: str = "A1", measured: float = 4.5) -> Finding:
    return Finding(rule, severity, Rect(x, 10, 8, 2), f"{rule} at {x}", "a guide", measured, 6, "pt", tile)


SMALL = finding("text.size", Severity.FAULT, 20)
THIN = finding("line.width", Severity.WARNING, 60)
WHOLE = replace(finding("colour.rgb", Severity.NOTE, 0), box=Rect(0, 0, 300, 200), tile="", measured=None)
TEXTS = (
    TextEntry(1, "Heronwick", Rect(5, 5, 20, 4), 12, 1.9, 2.8, "Serif", 0, "P1", "A1"),
    TextEntry(2, "82 mm tall", Rect(5, 50, 9, 2), 6, 1.1, 1.5, "Sans", 0, "P2", "B1", (("number", "82 mm"),)),
)
REPORT = Report((SMALL, THIN, WHOLE), TEXTS, remarks=("Total ink is not told.",))


def test_findings_stand_under_their_severity_with_measured_and_limit() -> None:
    entries = finding_entries(REPORT)
    assert [entry.text for entry in entries if entry.is_heading] == [
        "Faults  1",
        "Warnings  1",
        "Notes  1",
        "Not checked, and whose matter it is  1",
    ]
    fault = entries[1]
    assert (fault.sign, fault.tile, fault.side, fault.rect) == ("✕", "A1", "4.5 / 6 pt", SMALL.box)
    assert "text.size · tile A1 at 24, 11 mm" in fault.detail
    assert "Limit: a guide" in fault.detail
    whole = next(entry for entry in entries if entry.finding == WHOLE)
    assert whole.rect is None
    assert "the whole flat" in whole.detail
    assert len({entry.key for entry in entries}) == len(entries)


def test_a_waived_finding_stays_visible_with_its_reason() -> None:
    report = rewaived(REPORT, (waiver_for(SMALL, "outlined by hand"),))
    assert count_words(report) == "no faults · 1 warning · 1 note · 1 waived"
    entries = finding_entries(report)
    at = [entry.text for entry in entries].index("Waived  1")
    assert entries[at + 1].text == SMALL.message
    assert "Waived: outlined by hand" in entries[at + 1].detail


def test_a_waiver_that_covers_nothing_is_listed_so_that_it_can_go() -> None:
    lost = Waiver("text.size", Point(200, 200), "it was fine")
    assert idle_waivers(REPORT.findings, (lost, waiver_for(THIN, "as wished"))) == (lost,)
    listed = next(entry for entry in finding_entries(REPORT, (lost,)) if entry.idle is not None)
    assert listed.text == "The waiver of text.size at 200, 200 mm covers nothing any more"


def test_taking_a_waiver_back_leaves_the_others() -> None:
    ours, other = waiver_for(SMALL, "yes"), waiver_for(THIN, "also")
    assert without_waivers_of(SMALL, (ours, other)) == (other,)


def test_a_waiver_says_beforehand_how_many_others_go_along() -> None:
    near, also, twin, far, other = (
        replace(SMALL, box=Rect(23, 12, 4, 2)),
        replace(SMALL, box=Rect(18, 8, 9, 2)),
        replace(SMALL),
        replace(SMALL, box=Rect(90, 12, 4, 2)),
        replace(THIN, box=SMALL.box),
    )
    assert covered_with(SMALL, (SMALL, near, far, other)) == (SMALL, near)
    assert len(covered_with(SMALL, (SMALL, twin, near, also, far))) == 4
    assert waive_words(0).startswith("Why does it need no change?")
    assert "with 1 other of this rule here" in waive_words(1)
    assert "with 2 others of this rule here" in waive_words(2)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_the_question_names_the_others_that_go_along(
    tmp_path: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    three = tuple(replace(SMALL, box=Rect(20 + x, 10, 8, 2), message=f"small {x}") for x in (0, 2, 4))
    monkeypatch.setattr(run, "run_checks", lambda *_, **__: Report((*three, THIN)))

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await checked(app, pilot)
        go_to(screen, "small 2")
        await pilot.press("x")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await until(pilot, lambda: "with 2 others of this rule here" in screen_text(app))
        await pilot.press(*"agreed", "enter")
        await until(pilot, lambda: app.screen is screen)
        assert screen.report is not None
        assert screen.report.standing == (THIN,)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, size)


def test_the_proof_list_has_points_facts_and_texts() -> None:
    entries = proof_entries(REPORT, (CheckPoint("bar code", Point(30, 40)),), ("B1",))
    assert [entry.text for entry in entries if entry.is_heading] == [
        "Check points  1",
        "Numbers to hold against the brief  1",
        "Texts, in reading order  2",
    ]
    assert [
        (entry.sign, entry.tile, entry.side, entry.text) for entry in entries if not entry.is_heading
    ] == [
        ("", "B1", "", "bar code"),
        ("2", "B1", "82 mm", "82 mm tall"),
        ("1", "A1", "12 pt", "Heronwick"),
        ("2", "B1", "6 pt", "82 mm tall"),
    ]


def test_a_press_finds_the_nearest_line_and_the_smaller_of_two() -> None:
    large = replace(THIN, box=Rect(0, 0, 100, 100), message="large")
    entries = finding_entries(Report((SMALL, large)))
    assert nearest(entries, Point(22, 11)).finding == SMALL  # type: ignore[union-attr]
    assert nearest(entries, Point(90, 90)).finding == large  # type: ignore[union-attr]
    assert nearest((), Point(0, 0)) is None


def test_looking_at_a_place_shows_all_of_it_in_the_middle() -> None:
    view = Viewport.whole(80, 20, Size(426, 346))
    for place in (Rect(20, 30, 4, 2), Rect(100, 100, 150, 120), Rect(0, 0, 426, 346)):
        seen = looking_at(view, place).window
        assert seen.x <= place.x
        assert seen.right >= place.right
        assert seen.y <= place.y
        assert seen.bottom >= place.bottom
    assert looking_at(view, Rect(20, 30, 4, 2)).zoom > looking_at(view, Rect(100, 100, 150, 120)).zoom


async def checked(app: TilerApp, pilot: Pilot[None]) -> FindingsScreen:
    """Open the findings and wait for them."""
    await planned(app, pilot)
    await pilot.press("i")
    await until(pilot, lambda: isinstance(app.screen, FindingsScreen) and app.screen.checked is not None)
    assert isinstance(app.screen, FindingsScreen)
    return app.screen


def go_to(screen: FindingsScreen, words: str) -> None:
    """Put the bar on the first line with these words."""
    at = next(
        i for i, e in enumerate(screen._entries) if words in f"{e.text}\n{e.detail}" and not e.is_heading
    )
    screen.query_one("#findings", OptionList).highlighted = at


def sample_job() -> Job:
    return Job(LID, find_sheet("A4"))


@pytest.mark.parametrize("size", SIZES)
def test_a_finding_is_read_gone_to_waived_and_taken_back(tmp_path: Path, size: tuple[int, int]) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await checked(app, pilot)
        standing = len(screen.report.standing)  # type: ignore[union-attr]
        assert "Warnings  9" in screen_text(app)
        go_to(screen, "Art 417-L1")
        await pilot.pause()
        assert "text.reversed · tile B2" in screen_text(app)
        await pilot.press("x")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        await pilot.press("enter")
        assert "A waiver needs a reason" in screen_text(app)
        await pilot.press(*"agreed", "enter")
        await until(pilot, lambda: app.screen is screen)
        assert len(screen.report.standing) == standing - 1  # type: ignore[union-attr]
        assert "1 waived" in screen_text(app)
        go_to(screen, "Waived: agreed")
        await pilot.press("x")
        await pilot.pause()
        assert "1 waived" not in screen_text(app)
        assert len(screen.report.standing) == standing  # type: ignore[union-attr]
        go_to(screen, "Art 417-L1")
        await pilot.press("enter")
        plan = await planned(app, pilot)
        assert plan.picked.tile == "B2"
        await until(pilot, lambda: plan.query_one(FlatView).has_focus)
        window = plan.query_one(FlatView).view.window  # type: ignore[union-attr]
        assert window.contains(Point(403.5, 216.2))
        assert window.width < 426

    travel(TilerApp(around(tmp_path), job=sample_job()), journey, size)


def test_waivers_stand_in_the_ticket_and_can_be_undone(tmp_path: Path) -> None:
    ticket = tmp_path / "lid_job.toml"

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await checked(app, pilot)
        go_to(screen, "Art 417-L1")
        await pilot.press("x", *"agreed", "enter", "escape")
        plan = await planned(app, pilot)
        assert [waiver.rule for waiver in plan.work.job.waivers] == ["text.reversed"]
        plan._save(ticket)
        assert load_ticket(ticket).waivers == plan.work.job.waivers
        await pilot.press("u")
        assert (await planned(app, pilot)).work.job.waivers == ()

    travel(TilerApp(around(tmp_path), job=sample_job()), journey)


def test_the_second_list_is_the_proof_list(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await checked(app, pilot)
        await pilot.press("tab")
        await pilot.pause()
        assert "Numbers to hold against the brief" in screen_text(app)
        go_to(screen, "IN THE BOX")
        await pilot.pause()
        assert "6.4 pt · small letters 1.11 mm" in screen_text(app)
        await pilot.press("x")
        assert any("Only a finding can be waived" in told.message for told in app._notifications)
        await pilot.press("enter")
        assert (await planned(app, pilot)).picked.tile == "A2"

    travel(TilerApp(around(tmp_path), job=sample_job()), journey)


def test_the_mouse_picks_the_nearest_finding_on_the_picture(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await checked(app, pilot)
        view = screen.query_one(FindingView)
        row, column = view.view.cell(403.5, 216.2)  # type: ignore[union-attr]
        await pilot.click(FindingView, offset=(column, row))
        await pilot.pause()
        assert "Art 417-L1" in screen.entry.detail  # type: ignore[union-attr]
        assert screen.focused is screen.query_one("#findings")

    travel(TilerApp(around(tmp_path), job=sample_job()), journey)


def test_checks_run_once_for_a_job_and_again_for_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    runs: list[float] = []

    def counted(flat: object, *args: object, **options: object) -> Report:
        runs.append(1)
        return REPORT

    monkeypatch.setattr(run, "run_checks", counted)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await checked(app, pilot)
        await pilot.press("escape")
        await checked(app, pilot)
        assert len(runs) == 1
        await pilot.press("escape")
        plan = plan_screen(app)
        plan.take(replace(plan.work.job, overlap=14.0))
        await checked(app, pilot)
        assert len(runs) == 2

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_checks_are_called_off_by_going_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, gone_on, ended = threading.Event(), threading.Event(), threading.Event()

    def slow(flat: object, *args: object, progress: object = None, **options: object) -> Report:
        begun.set()
        gone_on.wait(20)
        try:
            progress("measuring text", 0.5)  # type: ignore[operator]
        finally:
            ended.set()
        raise AssertionError("the checks went on")

    monkeypatch.setattr(run, "run_checks", slow)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("i")
        await until(pilot, begun.is_set)
        assert "esc stops" in screen_text(app)
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, PlanScreen))
        gone_on.set()
        await until(pilot, ended.is_set)
        assert plan_screen(app).work.job.waivers == ()

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_checks_that_fail_are_told_in_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*args: object, **options: object) -> Report:
        raise FlatError("the page cannot be drawn", "save it anew")

    monkeypatch.setattr(run, "run_checks", broken)

    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("i")
        await until(pilot, lambda: "The page cannot be drawn" in screen_text(app))
        assert "→ Save it anew" in screen_text(app)
        await pilot.press("x", "enter", "tab", "escape")
        await planned(app, pilot)

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_a_seam_is_kept_out_of_a_stretch(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        screen = await planned(app, pilot)
        await pilot.press("e")
        upright = next(seam for seam in screen.prepared.plan.seams if seam.is_upright)  # type: ignore[union-attr]
        await pilot.press("escape", "x")
        await until(pilot, lambda: isinstance(app.screen, AskScreen))
        low, high = upright.start.x - 6, upright.start.x + 6
        await pilot.press(*"100", "enter")
        assert "names no axis" in screen_text(app)
        app.screen.query_one("#line", Input).value = "x 10, 9999"
        await pilot.press("enter")
        assert "reaches beyond the flat" in screen_text(app)
        app.screen.query_one("#line", Input).value = f"x {low:.1f}, {high:.1f}"
        await pilot.press("enter")
        screen = await planned(app, pilot)
        assert len(screen.work.job.forbidden) == 1
        seams = [seam.start.x for seam in screen.prepared.plan.seams if seam.is_upright]  # type: ignore[union-attr]
        assert seams
        assert not any(low + 0.1 < x < high - 0.1 for x in seams)
        assert "━" in screen_text(app).split("┬")[0]  # beside the flat, above its first row

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey)


def test_help_names_the_new_commands(tmp_path: Path) -> None:
    async def journey(app: TilerApp, pilot: Pilot[None]) -> None:
        await planned(app, pilot)
        await pilot.press("question_mark")
        await until(pilot, lambda: "Help" in screen_text(app))
        said = screen_text(app)
        assert "Findings –" in said
        assert "No seam here –" in said

    travel(TilerApp(around(tmp_path), job=small_job(tmp_path)), journey, (120, 100))
