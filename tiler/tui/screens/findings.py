"""What can be done with a finding: see it, go to it on the plan, waive it with a reason, take that back."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

from textual import on
from textual.widgets import OptionList, Static

from tiler.checks.finding import Finding
from tiler.checks.waiving import covered_with, waiver_for, without_waivers_of
from tiler.errors import UsageError
from tiler.job import Job
from tiler.tui.findings_rows import SIGNS, Entry, Section, nearest, waive_words
from tiler.tui.screens.dialogs import AskScreen, Question
from tiler.tui.screens.findings_base import KEYS, FindingsBase
from tiler.tui.screens.key_help import key_help
from tiler.tui.widgets.finding_view import FindingView
from tiler.tui.widgets.picture import PictureView


class FindingsScreen(FindingsBase):
    """Takes keys and presses."""

    @property
    def entry(self) -> Entry | None:
        """The line under the bar."""
        listed = self.query_one("#findings", OptionList)
        if listed.highlighted is None or listed.highlighted >= len(self._entries):
            return None
        return self._entries[listed.highlighted]

    @on(OptionList.OptionHighlighted, "#findings")
    def _look(self, event: OptionList.OptionHighlighted) -> None:
        """Say more about the line, and show its place."""
        event.stop()
        entry = self.entry
        if entry is None:
            return
        self._bars[self.section] = entry.key
        self.query_one("#detail", Static).update(entry.detail)
        self.query_one("#detail-box").scroll_home(animate=False)
        self.query_one(FindingView).spot = entry.rect

    @on(OptionList.OptionSelected, "#findings")
    def _select(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_go()

    def action_go(self) -> None:
        """Go to the place on the plan."""
        entry = self.entry
        if entry is None:
            return
        if entry.rect is None:
            self.notify("This is about the whole flat.", timeout=3)
            return
        self.dismiss(entry)

    def on_picture_view_pressed(self, event: PictureView.Pressed) -> None:
        """Go to the line whose place is nearest."""
        event.stop()
        entry = nearest(self._entries, event.at)
        if entry is not None:
            listed = self.query_one("#findings", OptionList)
            listed.highlighted = listed.get_option_index(entry.key)

    def action_more(self, lines: int) -> None:
        """Scroll the words below the list."""
        self.query_one("#detail-box").scroll_relative(y=lines, animate=False)

    def action_turn(self) -> None:
        """Show the other list."""
        self.section = "proof" if self.section == "findings" else "findings"

    def action_section(self, name: str) -> None:
        """Show a list by its name."""
        self.section = cast("Section", name)

    def action_zoom(self, steps: int) -> None:
        """Nearer, farther, or the whole flat."""
        view, entry = self.query_one(FindingView), self.entry
        at = entry.rect.centre if entry is not None and entry.rect is not None else None
        view.zoom(steps, at if steps > 0 else None)
        if steps > 0 and at is not None and view.view is not None:
            view.look(view.view.centred(at))

    # -- waiving

    def action_waive(self) -> None:
        """Ask for the reason of a waiver; take a waiver back."""
        entry, job = self.entry, self.job
        if entry is None or job is None:
            return
        if entry.idle is not None:
            self._follow(replace(job, waivers=tuple(one for one in job.waivers if one != entry.idle)))
        elif entry.finding is None:
            self.notify("Only a finding can be waived.", timeout=3)
        elif entry.finding.waived:
            self._follow(replace(job, waivers=without_waivers_of(entry.finding, job.waivers)))
        else:
            self._ask_reason(entry.finding)

    def _ask_reason(self, finding: Finding) -> None:
        covered = covered_with(finding, self.report.standing if self.report is not None else (finding,))
        text = f"{finding.message}\n\n{waive_words(len(covered) - 1)}"
        question = Question("Waive a finding", text, _read_reason, hint="agreed with the client")
        self.app.push_screen(AskScreen(question), lambda reason: self._waive(finding, reason))

    def _waive(self, finding: Finding, reason: str | None) -> None:
        job, before = self.job, self.report
        if reason is None or job is None or before is None:
            return
        self._bars[self.section] = self._key_after()
        self._follow(replace(job, waivers=(*job.waivers, waiver_for(finding, reason))))
        after = self.report
        more = len(before.standing) - len(after.standing) - 1 if after is not None else 0
        if more > 0:
            others = "1 other finding" if more == 1 else f"{more} other findings"
            self.notify(f"{others} of this rule at the same place went along.", timeout=6)

    def _key_after(self) -> str:
        """Key of the next line that says something, so that the bar goes on and not with what is waived."""
        at = self.query_one("#findings", OptionList).highlighted or 0
        return next((entry.key for entry in self._entries[at + 1 :] if not entry.is_heading), "")

    def _follow(self, job: Job) -> None:
        """Go on with other waivers, here and on the plan."""
        self._change(job)
        self.job = job

    # -- help and leaving

    def action_help(self) -> None:
        """All keys."""
        signs = ((sign, f"{severity}: {severity.meaning}") for severity, sign in SIGNS.items())
        self.app.push_screen(key_help("Help: before production", KEYS, signs, "Signs in the list"))

    def action_back(self) -> None:
        """Stop checking and go back."""
        self.workers.cancel_node(self)
        self.dismiss(None)


def _read_reason(text: str) -> str:
    """A reason in words.

    Raises:
        UsageError: There is none.
    """
    reason = " ".join(text.split())
    if len(reason) < 3:
        raise UsageError("a waiver needs a reason", "write why it needs no change")
    return reason
