"""``tiler`` and ``tiler open``: the screen."""

from __future__ import annotations

import argparse
import shutil
import sys
from pathlib import Path
from typing import Any

from tiler.errors import FlatError, UsageError


def add_open(commands: argparse._SubParsersAction[Any]) -> None:
    """``tiler open``."""
    parser = commands.add_parser(
        "open",
        help="plan the mock on the screen",
        description="Open a flat or a job ticket on the screen, see its tiles, and write the pack.",
        epilog="Example: tiler open lid.pdf",
    )
    parser.set_defaults(command=open_screen)
    parser.add_argument(
        "file",
        metavar="FLAT|TICKET",
        nargs="?",
        help="print file or job ticket; without one you choose it there",
    )


def open_screen(options: argparse.Namespace) -> int:
    """Run the screen until the user leaves it; then say what was written.

    Raises:
        TilerError: There is no terminal, or the file is not there or no ticket.
    """
    named = getattr(options, "file", None)
    path = Path(named) if named else None
    if path is not None and not path.exists():
        raise FlatError(f"{path}: there is no such file", "check the name and the folder")
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("the screen needs a terminal", "write a pack with: tiler mock FLAT.pdf -o PACK.pdf")
    if path is not None:
        _say_reading(path)
    from tiler.tui.opening import opened

    try:
        app = opened(path)
    finally:
        _clear_reading()
    app.run()
    _say(app)
    return app.return_code or 0


def _say_reading(path: Path) -> None:
    """Name the file at once: loading the screen takes a moment, in which nothing else is to be seen."""
    if sys.stderr.isatty():
        from tiler.plain import plain

        words = f"Reading {plain(path.name)} …"[: max(1, shutil.get_terminal_size().columns - 1)]
        print(words, end="", file=sys.stderr, flush=True)


def _clear_reading() -> None:
    """Take the words away again."""
    if sys.stderr.isatty():
        print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def _say(app: Any) -> None:
    """Repeat what was written, as the screen is gone."""
    if app.written is not None:
        from tiler.report import closing_words

        for line in closing_words(app.written):
            print(line, file=sys.stderr)
