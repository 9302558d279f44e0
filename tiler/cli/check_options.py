"""The words of ``tiler check``. Nothing heavy is loaded here."""

from __future__ import annotations

import argparse
from typing import Any

from tiler.cli.options import add_flat, add_flat_options, add_sheet_options, add_structure_options


def add_check(commands: argparse._SubParsersAction[Any]) -> None:
    """``tiler check``."""
    parser = commands.add_parser(
        "check",
        help="findings before production: type, pictures, lines, bleed, bar codes, colours, structure",
        description="List what a careful prepress person would find, each with its sheet. Writes nothing. "
        "Law is a matter for the responsible person; local rules hold.",
        epilog="Exit code 3 with --strict when a fault stands.",
    )
    parser.set_defaults(command=_check)
    add_flat(parser)
    add_sheet_options(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    group = parser.add_argument_group("the checks")
    add_check_files(group)
    group.add_argument("--strict", action="store_true", help="end with exit code 3 when a fault stands")
    parser.add_argument("--json", action="store_true", help="print JSON on stdout")


def add_check_files(group: argparse._ArgumentGroup) -> None:
    """Limits and words of your own."""
    group.add_argument("--limits", metavar="FILE.toml", help="limits of your own house (default: built in)")
    group.add_argument(
        "--words", metavar="FILE", help="word list for the spelling (default: the system's, if it has one)"
    )


def _check(options: argparse.Namespace) -> int:
    """Run ``tiler check``."""
    from tiler.cli.check import check

    return check(options)
