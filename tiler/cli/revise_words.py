"""The words of ``tiler revise``. Nothing heavy is loaded here."""

from __future__ import annotations

import argparse
from typing import Any

from tiler.cli.options import (
    add_flat_options,
    add_inside_options,
    add_look_options,
    add_sheet_options,
    add_structure_options,
)


def add_revise(commands: argparse._SubParsersAction[Any]) -> None:
    """``tiler revise``."""
    parser = commands.add_parser(
        "revise",
        help="compare with a later revision and write only the sheets that changed",
        description="Compare two revisions of a flat on the sheets of the first one, and write only those "
        "sheets on which the second one differs. Give the choices that the first pack was made with.",
        epilog="Example: tiler revise lid.pdf lid_rev2.pdf -o reprint.pdf",
    )
    parser.set_defaults(command=_revise)
    parser.add_argument("old", metavar="OLD", help="the flat, or the job ticket, that was printed")
    parser.add_argument("new", metavar="NEW", help="the later revision of the flat")
    parser.add_argument("-o", "--output", metavar="REPRINT.pdf", required=True, help="where the sheets go")
    parser.add_argument(
        "--part",
        metavar="NAME",
        help="the part of the ticket that NEW replaces (default: the one that its file is called after)",
    )
    wish = parser.add_mutually_exclusive_group()
    wish.add_argument(
        "--full",
        action="store_true",
        help="write the whole pack of NEW where its size, structure or whole art has moved",
    )
    wish.add_argument(
        "--anyway",
        action="store_true",
        help="print changed sheets even though structure or whole art has moved",
    )
    add_sheet_options(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    look = add_look_options(parser)
    add_inside_options(parser)
    look.add_argument("--tiles", metavar="A1,B2", help="print these instead of all that changed")
    parser.add_argument("--json", action="store_true", help="print what changed as JSON on stdout")


def _revise(options: argparse.Namespace) -> int:
    """Run ``tiler revise``."""
    from tiler.cli.revise import revise

    return revise(options)
