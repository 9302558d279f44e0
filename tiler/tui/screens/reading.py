"""Screens to read: help and notes."""

from __future__ import annotations

from typing import ClassVar

from rich.table import Table
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tiler.tui.commands import COMMANDS, FIXED_KEYS

PICTURE_SIGNS = (
    ("│ ─", "seam: the upper tile is trimmed here and lies on the lower one's glue tab"),
    ("┃ ━", "face of the picked tile: what stays to be seen after taping"),
    ("╎ ╌", "round the picked tile: all that its sheet prints; elsewhere: a crease"),
    ("◆ ◇", "a pinned seam, and one moved by hand"),
    ("✕", "a check point"),
    ("━ ┃", "beside the flat: a stretch where no seam may lie"),
)
"""What the marks over the picture mean."""

STEPS = (
    ("1", "Choose the sheet; look where the seams lie."),
    ("2", "w writes the pack: map, assembly page, tiles."),
    ("3", "Print the map at 100 %; measure both scale bars."),
    ("4", "Print the rest; go on as the assembly page says."),
)
"""What to do with a flat, from the beginning."""

WORDS = (
    ("flat", "the artwork of the box, unfolded"),
    ("tile", "the part of the flat that one sheet prints"),
    ("face", "what of a tile stays to be seen"),
    ("tab", "the paper beside a face on which the next sheet is glued"),
    ("meeting", "two edges that touch when the box is closed"),
    ("caliper", "the thickness of the board"),
)
"""What the screens and pages mean by a word."""


class ReadingScreen(ModalScreen[None]):
    """Something to read and to scroll."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,enter,question_mark,n", "close", "Back", key_display="esc"),
    ]

    def __init__(self, title: str, body: Text | Table) -> None:
        super().__init__()
        self._title, self._body = title, body

    def compose(self) -> ComposeResult:
        """Title and body."""
        with Vertical(classes="dialog reading"):
            yield Static(self._title, classes="title")
            with VerticalScroll(can_focus=True):
                yield Static(self._body)
            yield Static("↑ ↓ scroll · esc goes back", classes="keys")

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


def help_screen() -> ReadingScreen:
    """First steps, all keys by what they are for, signs and words."""
    table = Table.grid(padding=(0, 2))
    table.add_column(justify="right", style="bold", no_wrap=True)
    table.add_column()
    parts: dict[str, list[tuple[str, str]]] = {"First steps": list(STEPS)}
    for command in COMMANDS:
        parts.setdefault(command.group, []).append((command.shown_key, f"{command.label} – {command.help}"))
    for key, words, group in FIXED_KEYS:
        parts.setdefault(group, []).append((key, words))
    parts |= {"Signs on the picture": list(PICTURE_SIGNS), "Words": list(WORDS)}
    for number, (heading, entries) in enumerate(parts.items()):
        if number:
            table.add_row()
        table.add_row("", Text(heading, style="underline"))
        for entry in entries:
            table.add_row(*entry)
    return ReadingScreen("Help", table)


def notes_screen(notes: tuple[str, ...], seams: tuple[str, ...]) -> ReadingScreen:
    """Warnings, then each seam with its reason."""
    text = Text()
    if not notes:
        text.append("Nothing to warn of.\n")
    for note in notes:
        text.append("! ", style="bold")
        text.append(f"{note}\n\n")
    if seams:
        text.append("\nSeams\n", style="underline")
        text.append("\n".join(seams))
    return ReadingScreen("Notes", text)
