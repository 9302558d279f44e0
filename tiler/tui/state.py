"""What the screen knows: the job with its past, and what is picked. Pure; every change is a new object."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from tiler.job import Job

LONGEST_PAST = 200
"""Changes that can be taken back."""


@dataclass(frozen=True)
class Session:
    """One job at work."""

    job: Job
    settled: Job
    """The job as it was opened, saved or written last."""
    past: tuple[Job, ...] = ()
    future: tuple[Job, ...] = ()
    """Changes that were taken back, the next one last."""
    ticket: Path | None = None
    """Where the job was opened from or saved to."""
    output: Path | None = None
    """Where this session has written a pack."""

    @classmethod
    def of(cls, job: Job, ticket: Path | None = None) -> Session:
        """A job just opened."""
        return cls(job, job, ticket=ticket)

    @property
    def is_unsaved(self) -> bool:
        """True when there are choices that stand in no ticket and no pack."""
        return without_secrets(self.job) != without_secrets(self.settled)

    def changed(self, job: Job) -> Session:
        """The session after a choice; the same session when the job is the same."""
        if job == self.job:
            return self
        return replace(self, job=job, past=(*self.past, self.job)[-LONGEST_PAST:], future=())

    def undone(self) -> Session:
        """The last change taken back, if there is one."""
        if not self.past:
            return self
        return replace(self, job=self.past[-1], past=self.past[:-1], future=(*self.future, self.job))

    def redone(self) -> Session:
        """The change that was taken back last, made again."""
        if not self.future:
            return self
        return replace(self, job=self.future[-1], past=(*self.past, self.job), future=self.future[:-1])

    def saved(self, ticket: Path) -> Session:
        """The job now stands in a ticket."""
        return replace(self, settled=self.job, ticket=ticket)

    def written(self, output: Path, job: Job) -> Session:
        """The job as it was when a pack was written from it."""
        return replace(self, settled=job, output=output)


def without_secrets(job: Job) -> Job:
    """The job without its password, which is kept nowhere."""
    return replace(job, wanted=replace(job.wanted, password=None))


def needs_loading(before: Job, after: Job) -> bool:
    """True when the change is about the flat itself, which must then be read anew."""
    return _read(before) != _read(after)


def _read(job: Job) -> tuple[object, ...]:
    """All that is read for a job."""
    return job.flat, job.wanted, job.inside, job.inside_page


def needs_another_look(before: Job, after: Job) -> bool:
    """True when the change is about the lines of the flat, which are then found anew."""
    return (before.lines, before.line_as, before.creases) != (after.lines, after.line_as, after.creases)


def reseated(job: Job) -> Job:
    """The job without what names tiles and seams of a plan that may not come back."""
    return replace(job, nudges=(), tiles=())
