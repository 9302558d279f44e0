"""What is to be read about the folded box: keys and notes."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from tiler.tui.fold_commands import FOLD_COMMANDS, FOLD_KEYS
from tiler.tui.screens.reading import ReadingScreen


def fold_help() -> ReadingScreen:
    """All keys of the folded box, by what they are for."""
    table = Table.grid(padding=(0, 2))
    table.add_column(justify="right", style="bold", no_wrap=True)
    table.add_column()
    keys: dict[str, list[tuple[str, str]]] = {}
    for command in FOLD_COMMANDS:
        keys.setdefault(command.group, []).append((command.shown_key, f"{command.label} – {command.help}"))
    for key, words, group in FOLD_KEYS:
        keys.setdefault(group, []).append((key, words))
    for group in sorted(keys):
        table.add_row("", Text(group, style="underline"))
        for entry in keys[group]:
            table.add_row(*entry)
        table.add_row()
    return ReadingScreen("Folded box: keys", table)


def fold_notes_screen(notes: tuple[str, ...], meetings: tuple[str, ...]) -> ReadingScreen:
    """What does not fold, then every meeting in full."""
    text = Text()
    for note in notes:
        text.append("! ", style="bold")
        text.append(f"{note}\n\n")
    if not notes:
        text.append("Every crease folds.\n")
    if meetings:
        text.append("\nWhere edges meet\n", style="underline")
        text.append("\n".join(meetings))
    return ReadingScreen("Folded box: notes", text)
