"""Open the application on a file: its reading begins first, then the screen is loaded."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job import Job
from tiler.tui.asking import ask
from tiler.tui.surroundings import Surroundings, surroundings

if TYPE_CHECKING:
    from tiler.tui.app import TilerApp

BESIDE = 42
"""Columns beside the picture in a terminal of usual width."""

ABOVE_AND_BELOW = 4
"""Rows above and below it."""


def opened(path: Path | None, around: Surroundings | None = None) -> TilerApp:
    """The application with a flat or a ticket, or with neither.

    Raises:
        TilerError: A ticket cannot be read.
    """
    around = around or surroundings()
    asking = ask(around.environ)
    try:
        app = _loaded(path, around)
    finally:
        answer = asking.hear()
    from tiler.tui.true_pixels import hand_on, use

    use(answer)
    hand_on(answer.typed, app)
    return app


def _loaded(path: Path | None, around: Surroundings) -> TilerApp:
    """The same, while the terminal is being asked what it can show.

    Raises:
        TilerError: A ticket cannot be read.
    """
    if path is None:
        from tiler.tui.app import TilerApp

        return TilerApp(around)
    job, is_ticket = _job(path, around)
    if job is None:
        from tiler.tui.app import TilerApp

        return TilerApp(around, path=path)
    from tiler.tui.early import EarlyWork

    columns, rows = shutil.get_terminal_size()
    early = EarlyWork(job, columns - BESIDE, rows - ABOVE_AND_BELOW)
    try:
        from tiler.tui.app import TilerApp

        return TilerApp(around, job=job, ticket=path if is_ticket else None, early=early)
    except BaseException:
        early.stop()
        raise


def _job(path: Path, around: Surroundings) -> tuple[Job | None, bool]:
    """The job that a file begins, and whether it is a ticket; no job for a ticket with several parts.

    Raises:
        TilerError: A ticket cannot be read.
    """
    if path.suffix.lower() != ".toml":
        return around.job_for(path), False
    from tiler.parts import is_parts_ticket, load_parts
    from tiler.ticket import load_ticket

    if is_parts_ticket(path):
        load_parts(path)  # a wrong one is told before the screen opens
        return None, True
    return load_ticket(path), True
