"""The rows of the folded box: choices as everywhere, and meetings, which are only read."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType

from tiler.tui.fold_rows import MEETING
from tiler.tui.row import Row
from tiler.tui.widgets.choice_list import LABEL_CELLS, ChoiceList

LARGE = 3
"""Small steps in a step taken with shift."""


class FoldList(ChoiceList):
    """Shows rows; shift takes larger steps."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("shift+left", f"step(-{LARGE})", "Far before", show=False),
        Binding("shift+right", f"step({LARGE})", "Far on", show=False),
    ]

    def pick(self, key: str) -> None:
        """Put the bar on a row."""
        if any(row.key == key for row in self.rows):
            self.highlighted = self.get_option_index(key)
            self.scroll_to_highlight()

    def _prompt(self, row: Row) -> Text:
        if not row.key.startswith(MEETING):
            return super()._prompt(row)
        text = Text(f" {row.label:<{LABEL_CELLS}}", no_wrap=True, overflow="ellipsis")
        return text.append(f"{'! ' if row.is_set else '  '}{row.value}", style="bold" if row.is_set else "")
