"""What workers report to the screen."""

from __future__ import annotations

from dataclasses import dataclass

from textual.message import Message

from tiler.job import Job
from tiler.load import Loaded
from tiler.run import Outcome, Prepared
from tiler.tui.pixels import PixelStore
from tiler.tui.work import Problem


@dataclass
class FlatLoaded(Message):
    """A flat has been read."""

    job: Job
    loaded: Loaded
    store: PixelStore


@dataclass
class Planned(Message):
    """The sheets have been planned."""

    job: Job
    prepared: Prepared
    kept: Job
    """The job without choices that this plan has no place for."""


@dataclass
class Failed(Message):
    """Work has ended with a problem."""

    job: Job | None
    """What the work was for; None for a picture."""
    problem: Problem
    stage: str
    """``load``, ``plan``, ``write`` or ``picture``."""


@dataclass
class Progressed(Message):
    """Work goes on."""

    stage: str
    """In words."""
    share: float
    """0 to 1."""


@dataclass
class Written(Message):
    """A pack has been written."""

    job: Job
    outcome: Outcome


@dataclass
class QueueFound(Message):
    """The system has a queue to print on."""

    name: str


@dataclass
class Sent(Message):
    """Pages have gone to the printer."""

    is_map: bool
    request: str
    """Number of the print job; empty where the system told none."""


class WriteStopped(Message):
    """The user has called the writing off; nothing was written."""
