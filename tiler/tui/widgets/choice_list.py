"""The choices as rows: label and value, stepped with left and right, opened with enter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import OptionList
from textual.widgets.option_list import Option as ListOption

from tiler.tui.row import Row

LABEL_CELLS, ROOMY_LABEL_CELLS = 13, 17
"""Width of the labels, and of those in a list with room for both labels and values."""

ROOMY = 38
"""Cells across from which a list has that room."""


class ChoiceList(OptionList):
    """Shows rows under their headings."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Value before", show=False),
        Binding("right", "step(1)", "Next value", show=False),
    ]

    rows: reactive[tuple[Row, ...]] = reactive(())

    @dataclass
    class Stepped(Message):
        """The next value of a row is wanted (or the one before)."""

        row: Row
        steps: int

    @dataclass
    class Opened(Message):
        """All values of a row are wanted."""

        row: Row

    @dataclass
    class Entered(Message):
        """The bar has moved to a row."""

        row: Row

    @property
    def row(self) -> Row | None:
        """The row under the bar."""
        if self.highlighted is None:
            return None
        key = self.get_option_at_index(self.highlighted).id
        return next((row for row in self.rows if row.key == key), None)

    def watch_rows(self, before: tuple[Row, ...], after: tuple[Row, ...]) -> None:
        """Write changed values; build the list anew only when its rows are others."""
        if [row.key for row in before] != [row.key for row in after] or self.option_count == 0:
            self._build()
            return
        for old, new in zip(before, after, strict=True):
            if old.value != new.value or old.is_set != new.is_set:
                self.replace_option_prompt(new.key, self._prompt(new))

    def on_resize(self) -> None:
        """Headings reach to the edge."""
        self._build()

    def _build(self) -> None:
        at = self.row.key if self.row else None
        self.clear_options()
        group = ""
        groups = len({row.group for row in self.rows})
        is_roomy = len(self.rows) + 2 * groups <= self.size.height
        for row in self.rows:
            if row.group != group:
                group = row.group
                self.add_option(ListOption(self._heading(group, is_roomy), disabled=True))
            self.add_option(ListOption(self._prompt(row), id=row.key))
        if any(row.key == at for row in self.rows) and at is not None:
            self.highlighted = self.get_option_index(at)
        elif self.rows:
            self.highlighted = 1

    def _heading(self, group: str, is_roomy: bool) -> Text:
        above = "\n" if is_roomy and group != self.rows[0].group else ""
        return Text(f"{above}{group}")

    def _prompt(self, row: Row) -> Text:
        is_here = self.row is not None and self.row.key == row.key and self.has_focus
        cells = LABEL_CELLS if self.size.width < ROOMY else ROOMY_LABEL_CELLS
        label = row.label if len(row.label) <= cells else f"{row.label[: cells - 2]}…"
        text = Text(no_wrap=True, overflow="ellipsis")
        text.append(f" {label:<{cells}}")
        text.append("◂ " if is_here else "  ")
        text.append(row.value, style="bold" if row.is_set else "")
        text.append(" ▸" if is_here else "")
        return text

    def _rewrite(self) -> None:
        for row in self.rows:
            self.replace_option_prompt(row.key, self._prompt(row))

    def on_focus(self) -> None:
        """Show the arrows."""
        self._rewrite()

    def on_blur(self) -> None:
        """Hide the arrows."""
        self._rewrite()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Tell which row the bar is on."""
        event.stop()
        self._rewrite()
        if self.row is not None:
            self.post_message(self.Entered(self.row))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Ask for all values."""
        event.stop()
        if self.row is not None:
            self.post_message(self.Opened(self.row))

    def action_step(self, steps: int) -> None:
        """Ask for the next value."""
        if self.row is not None:
            self.post_message(self.Stepped(self.row, steps))
