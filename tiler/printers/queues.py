"""Print queues of the system, through its own commands ``lpstat`` and ``lp`` (POSIX; options as in CUPS).

A pack is sent with ``print-scaling=none`` and never with a fidelity option, for that alone makes some
print filters fit every page to the sheet. The map page may go first and the tiles after it has been checked.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from tiler.errors import PrinterError
from tiler.plan.sheet import Sheet

Sides = Literal["one-sided", "two-sided-long-edge", "two-sided-short-edge"]
"""Values of the IPP attribute ``sides`` (RFC 8011, 5.2.8); short edge is for landscape pages."""

PATIENCE = 20.0
"""Seconds after which a print command that does not answer is given up."""

_QUEUE = re.compile(r"[^\s\-/#?'\"\\][^\s#?'\"\\]{0,126}")
_DEFAULT = re.compile(r"system default destination: (\S+)")
_REQUEST = re.compile(r"request id is (\S+)")


@dataclass(frozen=True)
class Queue:
    """One print queue of the system."""

    name: str
    is_default: bool
    """True for the queue that prints when none is named."""


def system_queues() -> tuple[Queue, ...]:
    """The queues that the system knows; none where it has no ``lpstat``.

    Raises:
        PrinterError: ``lpstat`` does not answer.
    """
    if shutil.which("lpstat") is None:
        return ()
    found = _DEFAULT.search(_run(["lpstat", "-d"]).stdout)
    default = found[1] if found else ""
    names = _run(["lpstat", "-e"]).stdout.split()
    return tuple(Queue(name, name == default) for name in sorted({*names, *([default] if default else [])}))


def lp_arguments(
    pack: Path, sheet: Sheet, queue: str = "", sides: Sides = "one-sided", pages: Iterable[int] = ()
) -> tuple[str, ...]:
    """The command that prints a pack, or some of its pages, at true size; one word for each argument.

    Args:
        pack: The PDF.
        sheet: What every page of it is sized for.
        queue: Name of the queue; empty leaves it to the system.
        sides: How the sheets are printed.
        pages: Page numbers from 1; empty prints all.

    Raises:
        PrinterError: That cannot be the name of a queue.
    """
    if queue and not _QUEUE.fullmatch(queue):
        raise PrinterError(f"'{queue[:60]}' cannot be the name of a print queue", "see: tiler printer list")
    chosen = page_list(pages)
    return (
        "lp",
        *(("-d", queue) if queue else ()),
        *("-o", f"media={sheet.name}"),
        *("-o", "print-scaling=none"),
        *("-o", f"sides={sides}"),
        *(("-P", chosen) if chosen else ()),
        "--",  # whatever the file is called, it is no option
        str(pack.absolute()),
    )


def page_list(pages: Iterable[int]) -> str:
    """Page numbers as ``lp -P`` takes them.

    >>> page_list([4, 1, 2, 3, 7])
    '1-4,7'
    """
    runs: list[list[int]] = []
    for page in sorted(set(pages)):
        if page < 1:
            raise PrinterError(f"there is no page {page}", "pages are counted from 1")
        if runs and page == runs[-1][-1] + 1:
            runs[-1].append(page)
        else:
            runs.append([page])
    return ",".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def send(arguments: Sequence[str]) -> str:
    """Hand a pack to the print system and tell the number of the job.

    Args:
        arguments: From :func:`lp_arguments`.

    Raises:
        PrinterError: There is no ``lp``, or it refused.
    """
    if shutil.which(arguments[0]) is None:
        raise PrinterError(
            f"this system has no {arguments[0]} command to print with",
            "open the pack in a PDF viewer and print it at actual size (100 %)",
        )
    done = _run(arguments)
    if done.returncode != 0:
        reason = " ".join(done.stderr.split()).removeprefix("lp: ").removeprefix("Error - ")[:200].rstrip(".")
        raise PrinterError(
            f"the print system refused the pack ({reason or 'without a reason'})", "see: tiler printer list"
        )
    found = _REQUEST.search(done.stdout)
    return found[1] if found else ""


def _run(arguments: Sequence[str]) -> subprocess.CompletedProcess[str]:
    """Run one print command without a shell, its answers in English."""
    try:
        return subprocess.run(
            list(arguments),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=PATIENCE,
            env={**os.environ, "LC_ALL": "C"},
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise PrinterError(
            f"{arguments[0]} did not answer within {PATIENCE:g} seconds", "check the system's print service"
        ) from None
    except OSError as error:
        raise PrinterError(
            f"{arguments[0]} cannot be run ({error.strerror})", "check the system's print service"
        ) from None
