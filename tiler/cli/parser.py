"""The words of the command line. Nothing heavy is loaded here: help and version answer at once."""

from __future__ import annotations

import argparse
import sys
from typing import NoReturn

from tiler import __version__
from tiler.cli.batch_words import add_batch_options
from tiler.cli.check_options import add_check, add_check_files
from tiler.cli.fold_words import add_fold, add_fold_choices
from tiler.cli.open import add_open, open_screen
from tiler.cli.options import (
    add_flat,
    add_flat_options,
    add_inside_options,
    add_json,
    add_look_options,
    add_page_options,
    add_sheet_options,
    add_structure_options,
)
from tiler.cli.printer_words import add_printer
from tiler.cli.revise_words import add_revise
from tiler.cli.ticket import add_ticket
from tiler.plain import plain


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence and where to read more."""

    def error(self, message: str) -> NoReturn:
        """Exit with code 2."""
        self.exit(2, f"tiler: {message}; see {self.prog} --help\n")


def build_parser(wanted: str | None = None) -> Parser:
    """The commands with their options.

    Args:
        wanted: The one command that needs its options; all have them when this is none of the commands.
    """
    parser = Parser(
        prog="tiler",
        description="Print the flat of a box at true size on a desktop printer: tiles to tape, cut and fold.",
        epilog="Alone it opens the screen. First mock without it: tiler mock FLAT.pdf -o PACK.pdf",
    )
    parser.add_argument("--version", action="version", version=f"tiler {__version__}")
    parser.set_defaults(command=open_screen)
    commands = parser.add_subparsers(metavar="COMMAND", parser_class=Parser)
    adders = {
        "open": add_open,
        "mock": _add_mock,
        "plan": _add_plan,
        "panels": _add_panels,
        "check": add_check,
        "revise": add_revise,
        "printer": add_printer,
        "ticket": add_ticket,
    }
    for add in [adders[wanted]] if wanted in adders else adders.values():
        add(commands)
    return parser


def _add_mock(commands: argparse._SubParsersAction[Parser]) -> None:
    """``tiler mock``."""
    parser = commands.add_parser(
        "mock",
        help="write the pack: map page, assembly page and tiles",
        description="Write the pack of a flat: map page, assembly page and one page for each tile.",
        epilog="Example: tiler mock lid.pdf -o lid_pack.pdf --sheet A4",
    )
    parser.set_defaults(command=_mock, are_checks_for_proof=True)
    add_flat(parser)
    parser.add_argument(
        "-o", "--output", metavar="PACK.pdf", required=True, help="where the pack goes, or a folder"
    )
    add_sheet_options(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    look = add_look_options(parser)
    look.add_argument("--tiles", metavar="A1,B2", help="print only these tiles (the map shows all)")
    add_page_options(look)
    add_check_files(parser.add_argument_group("the checks of the proof list"))
    add_fold_choices(parser)
    add_inside_options(parser)
    add_batch_options(parser)
    parser.add_argument(
        "--send",
        nargs="?",
        const="",
        metavar="QUEUE",
        help="print it too: the map first, the rest when you have measured its scale bars "
        "(default queue: the profile's, else the system's)",
    )
    add_json(parser)


def _add_plan(commands: argparse._SubParsersAction[Parser]) -> None:
    """``tiler plan``."""
    parser = commands.add_parser(
        "plan",
        help="show how the flat is divided, write nothing",
        description="Show how the flat is divided into sheets. Nothing is written.",
    )
    parser.set_defaults(command=_plan)
    add_flat(parser)
    add_sheet_options(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    add_inside_options(parser)
    add_json(parser)


def _add_panels(commands: argparse._SubParsersAction[Parser]) -> None:
    """``tiler panels``."""
    parser = commands.add_parser(
        "panels",
        help="panels and creases of the flat, and the box they fold to",
        description="List the panels and creases of a flat with their sizes, and fold it: angles, edges that "
        "meet, what is up. Views and corner strips are written where asked for.",
    )
    parser.set_defaults(command=_panels)
    add_flat(parser)
    add_flat_options(parser)
    add_structure_options(parser)
    add_fold(parser)
    parser.add_argument("--json", action="store_true", help="print JSON on stdout")


def _mock(options: argparse.Namespace) -> int:
    """Run ``tiler mock``."""
    from tiler.cli.mock import mock

    return mock(options)


def _plan(options: argparse.Namespace) -> int:
    """Run ``tiler plan``."""
    from tiler.cli.plan import plan

    return plan(options)


def _panels(options: argparse.Namespace) -> int:
    """Run ``tiler panels``."""
    from tiler.cli.panels import panels

    return panels(options)


def talk(sentence: str) -> None:
    """Say something to the person at the terminal; stdout stays free for results."""
    print(plain(sentence), file=sys.stderr)
