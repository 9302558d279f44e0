"""``tiler ticket``: write all choices of a job to a file, so that it can be repeated."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from tiler.cli.check_options import add_check_files
from tiler.cli.fold_words import add_fold_choices
from tiler.cli.options import (
    add_flat,
    add_flat_options,
    add_inside_options,
    add_look_options,
    add_page_options,
    add_sheet_options,
    add_structure_options,
)


def add_ticket(commands: argparse._SubParsersAction[Any]) -> None:
    """``tiler ticket``."""
    parser = commands.add_parser(
        "ticket",
        help="write the job ticket: all choices of a mock",
        description="Write all choices of a mock to a file, so that it can be repeated, or opened on the "
        "screen. Several flats become the parts of one job. A password is never written.",
        epilog="Example: tiler ticket lid.pdf tray.pdf -o box_job.toml --sheet A3",
    )
    parser.set_defaults(command=ticket)
    add_flat(parser)
    parser.add_argument(
        "more",
        metavar="FLAT",
        nargs="*",
        help="further flats: the parts of one job, called after their files",
    )
    parser.add_argument("-o", "--output", metavar="JOB.toml", required=True, help="where the ticket goes")
    add_sheet_options(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    look = add_look_options(parser)
    look.add_argument("--tiles", metavar="A1,B2", help="print only these tiles")
    add_page_options(look)
    add_check_files(parser.add_argument_group("the checks"))
    add_fold_choices(parser)
    add_inside_options(parser)


def ticket(options: argparse.Namespace) -> int:
    """Write the ticket of a job that can be planned.

    Raises:
        TilerError: The choices cannot be followed, or the ticket cannot be written.
    """
    from tiler.cli.choices import job_from
    from tiler.cli.parser import talk
    from tiler.cli.progress import progress_bar
    from tiler.parts import is_parts_ticket
    from tiler.printers.sheets import sheet_label
    from tiler.run import prepare
    from tiler.ticket import save_ticket

    if options.more or is_parts_ticket(Path(options.flat)):
        return _parts_ticket(options)
    job, output = job_from(options), Path(options.output)
    with progress_bar() as progress:
        prepared = prepare(job, progress)
    save_ticket(job, output)
    for warning in prepared.warnings:
        talk(f"note: {warning}")
    count = len(prepared.plan.tiles)
    sheets = f"{count} sheet{'s' if count != 1 else ''} of {sheet_label(job.sheet)}"
    talk(f"{output}: the job ticket of {job.flat.name}, {sheets}")
    talk(f"See it with: tiler open {output}")
    return 0


def _parts_ticket(options: argparse.Namespace) -> int:
    """Write the ticket of several parts that can be planned.

    Raises:
        TilerError: The choices cannot be followed, or the ticket cannot be written.
    """
    from tiler.cli.batch import parts_of
    from tiler.cli.parser import talk
    from tiler.cli.progress import progress_bar
    from tiler.parts import prepare_parts
    from tiler.parts_ticket import save_parts
    from tiler.printers.sheets import sheet_label

    parts, output = parts_of(options), Path(options.output)
    with progress_bar() as progress:
        found = prepare_parts(parts, progress)
    save_parts(parts, output)
    for prepared in found:
        for warning in prepared.warnings:
            talk(f"note: {prepared.part}: {warning}")
    each = ", ".join(f"{prepared.part} {len(prepared.plan.tiles)}" for prepared in found)
    count = sum(len(prepared.plan.tiles) for prepared in found)
    sheets = f"{count} sheets of {sheet_label(parts[0].job.sheet)} ({each})"
    talk(f"{output}: the job ticket of {len(parts)} parts, {sheets}")
    talk(f"See it with: tiler open {output}")
    return 0
