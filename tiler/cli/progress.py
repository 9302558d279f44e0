"""How far a long piece of work is, for whoever is watching."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from tiler.load import Progress, quietly


@contextmanager
def progress_bar() -> Iterator[Progress]:
    """A bar on stderr while a person watches, else silence; it keeps no thread, so that a fork can draw."""
    if not sys.stderr.isatty():
        yield quietly
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True, auto_refresh=False) as bar:
        task = bar.add_task("starting", total=1.0)
        yield lambda stage, share: bar.update(task, description=stage, completed=share, refresh=True)
