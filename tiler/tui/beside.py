"""Where a file about a flat goes unless the user says otherwise."""

from __future__ import annotations

from pathlib import Path

from tiler.job import Job

PROGRAM = Path(__file__).parents[1]
"""Folder of the program; its sample lies there once it is installed."""


def beside(flat: Path, name: str) -> Path:
    """A place beside the flat; for the program's own sample one in the folder that is worked in.

    Args:
        flat: The flat.
        name: Name of the file to write.
    """
    return folder_for(flat) / name


def folder_for(flat: Path) -> Path:
    """The folder of files about a flat: its own; for the program's own sample the one that is worked in."""
    return Path.cwd() if flat.absolute().is_relative_to(PROGRAM) else flat.parent


def default_output(job: Job) -> Path:
    """Where the pack goes unless the user says otherwise: beside the flat."""
    return beside(job.flat, f"{job.flat.stem}_pack.pdf")


def default_ticket(job: Job) -> Path:
    """Where the ticket goes unless the user says otherwise: beside the flat."""
    return beside(job.flat, f"{job.flat.stem}_job.toml")
