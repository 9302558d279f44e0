"""What to look at before production: the parts of the screen, and the checks behind it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Footer, OptionList, ProgressBar, Static
from textual.widgets.option_list import Option as ListOption
from textual.worker import get_current_worker

from tiler.checks.finding import Report
from tiler.checks.waiving import idle_waivers, rewaived
from tiler.geometry import Point
from tiler.job import Job
from tiler.run import Prepared
from tiler.tui.checking import Checked, check_flat
from tiler.tui.findings_rows import Entry, Section, count_words, finding_entries, proof_entries
from tiler.tui.messages import Failed, Progressed
from tiler.tui.overlay import Scene
from tiler.tui.picking import tile_at
from tiler.tui.pixels import PixelStore
from tiler.tui.screens.key_help import told_key
from tiler.tui.screens.plan_base import HEIGHTS, WIDTHS
from tiler.tui.screens.rendering import WorkingScreen
from tiler.tui.structure_facts import structure_facts
from tiler.tui.widgets.finding_view import FindingView
from tiler.tui.work import Stopped, problem_of

KEYS: list[BindingType] = [
    told_key(
        "g,enter", "go", "Show on the plan", "Go back to the plan, to the place under the bar.", "enter"
    ),
    told_key("x", "waive", "Waive or not", "Set it aside with a reason, or take that back."),
    replace(
        told_key("tab,shift+tab", "turn", "Other list", "Between findings and proof list.", "tab"),
        priority=True,
    ),
    told_key("shift+down", "more(1)", "More words", "Scroll the words below the list.", "shift + ↓", False),
    told_key("shift+up", "more(-1)", "Words before", "Scroll them back.", "shift + ↑", False),
    told_key("plus,equals_sign", "zoom(1)", "Nearer", "Enlarge the picture at the place.", "+", False),
    told_key("minus", "zoom(-1)", "Farther", "See more of the flat.", "-", False),
    told_key("0", "zoom(0)", "Whole flat", "Show the whole flat.", show=False),
    told_key("t", "app.theme", "Light or dark", "Change between dark and light.", show=False),
    told_key("escape,q,i", "back", "Back", "Go back to the plan; checks that run are stopped.", "esc"),
    told_key("question_mark,f1", "help", "Help", "All keys.", "?"),
]

SIDE_CELLS = 17
"""Width of what was measured, in cells."""


class FindingsBase(WorkingScreen[Entry | None]):
    """Checks as soon as it opens, unless it is given what the checks have said; ends with a place to go to.

    Args:
        prepared: The planned job.
        store: Picture of the flat.
        known: What the checks have said before; None to run them.
        keep: Takes what the checks say, for the next time.
        change: Takes a changed job.
        plain: True for a terminal without colours.
    """

    BINDINGS: ClassVar[list[BindingType]] = KEYS
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    checked: reactive[Checked | None] = reactive(None)
    job: reactive[Job | None] = reactive(None)
    section: reactive[Section] = reactive("findings")

    class Done(Message):
        """The checks have ended."""

        def __init__(self, checked: Checked) -> None:
            super().__init__()
            self.checked = checked

    def __init__(
        self,
        prepared: Prepared,
        store: PixelStore | None,
        known: Checked | None,
        keep: Callable[[Checked], None],
        change: Callable[[Job], None],
        plain: bool,
    ) -> None:
        super().__init__()
        self._prepared, self._store, self._known = prepared, store, known
        self._keep, self._change, self._plain = keep, change, plain
        self._entries: tuple[Entry, ...] = ()
        self._bars: dict[Section, str] = {}
        """Key of the line under the bar, for each list."""
        self.set_reactive(FindingsBase.job, prepared.job)

    def compose(self) -> ComposeResult:
        """Title, the two lists by name; list and picture; words on the line under the bar; keys."""
        yield Static(id="title", markup=False)
        yield Static(id="sections")
        with Horizontal(id="findings-bench"):
            with Vertical(id="findings-side"):
                yield Static(id="verdict", markup=False)
                yield ProgressBar(total=1.0, show_eta=False, id="bar")
                yield OptionList(id="findings")
            yield FindingView(id="flat", plain=self._plain)
        with VerticalScroll(id="detail-box", can_focus=False):
            yield Static(id="detail", markup=False)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Show the flat, and begin to check."""
        view, prepared = self.query_one(FindingView), self._prepared
        view.scene = Scene(
            flat=prepared.flat.size,
            plan=prepared.plan,
            job=prepared.job,
            printed=frozenset(tile.label for tile in prepared.printed),
            folds=structure_facts(prepared.loaded).lines,
            plain=self._plain,
        )
        view.show_page(self._store, prepared.flat.size)
        if self._known is not None:
            self.checked = self._known
        else:
            self.query_one("#findings").display = False
            self._say("Checking … esc stops.")
            self.run_worker(self._check, thread=True, exclusive=True, group="checks", exit_on_error=False)

    def _check(self) -> None:
        """In the worker's thread."""
        worker = get_current_worker()

        def is_off() -> bool:
            return worker.is_cancelled or not self.is_running

        try:
            checked = check_flat(
                self._prepared, lambda stage, share: self._post(Progressed(stage, share)), is_off
            )
        except Stopped:
            return
        except Exception as error:  # whatever it is, the screen lives on
            if not is_off():
                self._post(Failed(self._prepared.job, problem_of(error, "checking"), "load"))
            return
        if not is_off():
            self._post(self.Done(checked))

    def _is_done(self) -> bool:
        return self.checked is not None

    @on(Done)
    def _take(self, event: Done) -> None:
        event.stop()
        self._keep(event.checked)
        self.checked = event.checked

    def _say(self, words: str) -> None:
        said = self.query_one("#verdict", Static)
        said.update(words)
        said.display = bool(words)

    # -- showing

    @property
    def report(self) -> Report | None:
        """What the checks say, with the waivers of the job."""
        if self.checked is None or self.job is None:
            return None
        return rewaived(self.checked.report, self.job.waivers)

    def watch_checked(self) -> None:
        """The checks have spoken."""
        if self.checked is not None:
            self._say("")
            self.query_one("#bar").display = False
            listed = self.query_one("#findings", OptionList)
            listed.display = True
            self._show()
            listed.focus()

    def watch_job(self) -> None:
        """Other waivers."""
        if self.is_mounted:
            self._show()

    def watch_section(self) -> None:
        """The other list."""
        if self.is_mounted:
            self._show()

    def _show(self) -> None:
        """Titles and list."""
        self._show_title()
        report, job = self.report, self.job
        if report is None or job is None:
            return
        if self.section == "findings":
            self._entries = finding_entries(report, idle_waivers(report.findings, job.waivers))
        else:
            scale = job.scale
            tiles = [
                tile_at(self._prepared.plan, Point(point.at.x * scale, point.at.y * scale))
                for point in job.check_points
            ]
            self._entries = proof_entries(report, job.check_points, tiles)
        self._fill()

    def _fill(self) -> None:
        """Write the list; the bar stays on its line, else goes to the first."""
        listed = self.query_one("#findings", OptionList)
        listed.clear_options()
        width = max(len(entry.side) for entry in self._entries) if self._entries else 0
        for entry in self._entries:
            listed.add_option(
                ListOption(
                    self._prompt(entry, min(width, SIDE_CELLS)), id=entry.key, disabled=entry.is_heading
                )
            )
        keys = [entry.key for entry in self._entries if not entry.is_heading]
        at = self._bars.get(self.section, "")
        if keys:
            listed.highlighted = listed.get_option_index(at if at in keys else keys[0])

    def _prompt(self, entry: Entry, side: int) -> Text:
        text = Text(no_wrap=True, overflow="ellipsis")
        if entry.is_heading:
            return text.append(entry.text)
        if entry.is_remark:
            return text.append(f"    {entry.text}")
        sign = "x" if self._plain and entry.sign == "✕" else entry.sign
        beside = entry.side if len(entry.side) <= side else f"{entry.side[: side - 1]}…"
        text.append(f"{sign:>3} ", style="bold")
        text.append(f"{entry.tile or '–':<4}")
        text.append(f"{beside:<{side}}  " if side else "")
        text.append(entry.text)
        return text

    def _show_title(self) -> None:
        title = Text(no_wrap=True, overflow="ellipsis")
        title.append("  Before production  ", style="bold")
        title.append(self._prepared.flat.path.name)
        report = self.report
        if report is not None:
            title.append(f"  ·  {count_words(report)}")
        self.query_one("#title", Static).update(title, layout=False)
        counts = {} if report is None else {"findings": len(report.findings), "proof": len(report.texts)}
        parts = Text("  ")
        for section, name in (("findings", "Findings"), ("proof", "Proof list")):
            is_here = section == self.section
            words = f"{name} {counts[section]}" if counts else name
            shown = f"[ {words} ]" if is_here else f"  {words}  "
            parts.append(shown, style="bold reverse" if is_here and not self._plain else "")
            parts.apply_meta({"@click": f"screen.section('{section}')"}, len(parts) - len(shown))
            parts.append(" ")
        self.query_one("#sections", Static).update(parts)
