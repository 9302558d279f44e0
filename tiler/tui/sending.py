"""Send a pack to the printer: the map first, the rest when its scale bars are right."""

from __future__ import annotations

from tiler.errors import PrinterError
from tiler.printers.queues import Sides, lp_arguments, send, system_queues
from tiler.run import Outcome
from tiler.units import format_length


def queue_of(outcome: Outcome) -> str | None:
    """The queue to print on: the profile's, else the system's default; None when there is none.

    Raises:
        PrinterError: The print system does not answer.
    """
    profile = outcome.prepared.profile
    known = system_queues()
    if profile is not None and profile.queue:
        return profile.queue if any(queue.name == profile.queue.split("/")[0] for queue in known) else None
    return next((queue.name for queue in known if queue.is_default), None)


def print_pages(outcome: Outcome, queue: str, is_map: bool) -> str:
    """Send the map, or all other pages; the number of the print job, where the system tells one.

    Raises:
        PrinterError: The print system refuses.
    """
    job = outcome.prepared.job
    turned: dict[str, Sides] = {"long": "two-sided-long-edge", "short": "two-sided-short-edge"}
    sides: Sides = "one-sided" if outcome.sides == 1 else turned[job.flip]
    pages = outcome.first_pages if is_map else outcome.rest_pages
    if not pages:
        raise PrinterError("there is no page to print", "write the pack again")
    return send(lp_arguments(outcome.output, job.sheet, queue, sides, pages))


def bar_words(outcome: Outcome) -> str:
    """What to measure before the rest is printed."""
    from tiler.pack.map_page import bar_length

    length = format_length(bar_length(outcome.prepared.plan))
    return f"Let it dry and measure its two scale bars: both must be {length}."
