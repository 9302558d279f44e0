"""The keys of one screen, to be read: taken from the bindings, so that none is said twice."""

from __future__ import annotations

from collections.abc import Iterable

from rich.table import Table
from rich.text import Text
from textual.binding import Binding, BindingType

from tiler.tui.screens.reading import ReadingScreen


def told_key(keys: str, action: str, label: str, words: str, key: str = "", show: bool = True) -> Binding:
    """A key with a sentence about it.

    Args:
        keys: Key names of Textual, with commas between.
        action: Name of the action of the screen.
        label: One or two words.
        words: One sentence.
        key: The key as people read it; empty for the first of ``keys``.
        show: True puts it into the footer.
    """
    return Binding(keys, action, label, show=show, key_display=key or keys, tooltip=words)


def key_help(
    title: str,
    keys: Iterable[BindingType],
    signs: Iterable[tuple[str, str]] = (),
    heading: str = "Signs on the picture",
) -> ReadingScreen:
    """A screen with all keys and what they do.

    Args:
        title: Above them.
        keys: The bindings; each has a tooltip.
        signs: What else there is, each with its meaning.
        heading: Above them.
    """
    table = Table.grid(padding=(0, 2))
    table.add_column(justify="right", style="bold", no_wrap=True)
    table.add_column()
    for key in keys:
        if isinstance(key, Binding):
            table.add_row(key.key_display or key.key, f"{key.description} – {key.tooltip}")
    signs = tuple(signs)
    if signs:
        table.add_row()
        table.add_row("", Text(heading, style="underline"))
        for sign in signs:
            table.add_row(*sign)
    return ReadingScreen(title, table)
