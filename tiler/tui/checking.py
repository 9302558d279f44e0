"""The slow work behind the findings: the checks, through the same core as the command line."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tiler.checks.finding import Report
from tiler.job import Job
from tiler.load import Loaded
from tiler.run import Prepared
from tiler.tui.work import Asked, Tell, never, watched


@dataclass(frozen=True)
class Checked:
    """What the checks have said of a job, without its waivers."""

    job: Job
    loaded: Loaded
    report: Report

    def holds_for(self, prepared: Prepared) -> bool:
        """True while nothing but waivers has changed since."""
        return self.loaded is prepared.loaded and _without_waivers(self.job) == _without_waivers(prepared.job)


def check_flat(prepared: Prepared, tell: Tell, is_off: Asked = never) -> Checked:
    """Run all checks; waivers are laid over the report later, as they change at a key.

    Raises:
        TilerError: The flat, the limits or the word list cannot be read.
    """
    from tiler.checks.limits import read_limits
    from tiler.checks.run import run_checks
    from tiler.checks.word_list import read_words

    job = prepared.job
    report = run_checks(
        prepared.flat,
        prepared.loaded.structure,
        prepared.plan,
        read_limits(job.limits),
        words=read_words(job.words),
        progress=watched(tell, is_off),
    )
    return Checked(job, prepared.loaded, report)


def _without_waivers(job: Job) -> Job:
    return replace(job, waivers=())
