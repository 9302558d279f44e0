"""``tiler mock --send``: the map goes to the printer first, and the rest when its scale bars are right."""

from __future__ import annotations

import shlex
import sys

from tiler.cli.parser import talk
from tiler.errors import PrinterError
from tiler.job import Job
from tiler.pack.map_page import bar_length
from tiler.printers.in_use import profiles_folder
from tiler.printers.profile_files import load_profile
from tiler.printers.queues import Sides, lp_arguments, send, system_queues
from tiler.run import Outcome
from tiler.units import format_length

_SIDES: dict[str, Sides] = {"long": "two-sided-long-edge", "short": "two-sided-short-edge"}


def queue_for(wanted: str, job: Job) -> str:
    """The queue to print on: the named one, else the profile's, else none, which is the system's default.

    Args:
        wanted: As typed; empty when no name was given.
        job: Names the printer profile.

    Raises:
        PrinterError: The system has no such queue, or none to fall back on.
    """
    queue = wanted
    if not queue and job.printer is not None:
        queue = load_profile(profiles_folder(), job.printer).queue
    lp_arguments(job.flat, job.sheet, queue)  # refuses what cannot be a name
    known = system_queues()
    names = ", ".join(one.name for one in known)
    if queue and known and queue.split("/")[0] not in [one.name for one in known]:
        raise PrinterError(f"there is no print queue '{queue}'", f"the system has {names}")
    if not queue and known and not any(one.is_default for one in known):
        raise PrinterError("no print queue is the default", f"name one, as in --send NAME; there is {names}")
    return queue


def send_pack(outcome: Outcome, queue: str) -> None:
    """Send the map, ask whether its bars are right, and send the rest.

    Without a terminal to ask at, the map alone is sent.

    Raises:
        PrinterError: The print system refused.
    """
    job = outcome.prepared.job
    sides: Sides = "one-sided" if outcome.sides == 1 else _SIDES[job.flip]
    rest = lp_arguments(outcome.output, job.sheet, queue, sides, outcome.rest_pages)
    request = send(lp_arguments(outcome.output, job.sheet, queue, sides, outcome.first_pages))
    talk(f"The map was sent{_named(request)}.")
    if _is_right(outcome):
        request = send(rest)
        talk(f"The rest was sent{_named(request)}: pages {rest[rest.index('-P') + 1]}.")
        return
    talk(f"Only the map was sent. When its scale bars are right, print the rest: {shlex.join(rest)}")


def _named(request: str) -> str:
    """The number of a print job, where the system told one."""
    return f" (print job {request})" if request else ""


def _is_right(outcome: Outcome) -> bool:
    """What the person at the terminal says; False when nobody is there or nothing clear is said."""
    if sys.stdin is None or not sys.stdin.isatty():
        return False
    length = format_length(bar_length(outcome.prepared.plan))
    question = f"Let it dry, and measure its two scale bars. Do both measure {length}"
    if outcome.sides == 2:
        question += ", and do the bars on its back lie on those of its front"
    print(f"{question}? [y/N] ", end="", file=sys.stderr, flush=True)
    try:
        answer = sys.stdin.readline()
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return False
    return answer.strip().lower() in ("y", "yes")
