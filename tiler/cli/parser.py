"""The words of the command line. Nothing heavy is loaded here: help and version answer at once."""

from __future__ import annotations

import argparse
import sys
from typing import NoReturn

from tiler import __version__
from tiler.cli.printer_words import add_printer

BOXES = ("auto", "trim", "bleed", "crop", "media", "art")
"""Page boxes of a PDF, and the choice made for the user."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence and where to read more."""

    def error(self, message: str) -> NoReturn:
        """Exit with code 2."""
        self.exit(2, f"tiler: {message}; see {self.prog} --help\n")


def build_parser() -> Parser:
    """All commands with their options."""
    parser = Parser(
        prog="tiler",
        description="Print the flat of a box at true size on a desktop printer: tiles to tape, cut and fold.",
        epilog="First mock: tiler mock FLAT.pdf -o PACK.pdf",
    )
    parser.add_argument("--version", action="version", version=f"tiler {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)
    _add_mock(commands)
    _add_plan(commands)
    add_printer(commands)
    return parser


def _add_mock(commands: argparse._SubParsersAction[Parser]) -> None:
    """``tiler mock``."""
    parser = commands.add_parser(
        "mock",
        help="write the pack: map page, assembly page and tiles",
        description="Write the pack of a flat: map page, assembly page and one page for each tile.",
        epilog="Example: tiler mock lid.pdf -o lid_pack.pdf --sheet A4",
    )
    parser.set_defaults(command=_mock)
    _add_flat(parser)
    parser.add_argument("-o", "--output", metavar="PACK.pdf", required=True, help="where the pack goes")
    _add_sheet_options(parser)
    _add_flat_options(parser)
    look = parser.add_argument_group("how it is printed")
    look.add_argument(
        "--marks",
        choices=("full", "tabs", "none"),
        help="registration marks: on both sides of a seam (default), only off the face, or none",
    )
    look.add_argument("--lighten", metavar="SHARE", help="lay white over the artwork, 0 to 90%%")
    look.add_argument("--tiles", metavar="A1,B2", help="print only these tiles (the map shows all)")
    _add_json(parser)


def _add_plan(commands: argparse._SubParsersAction[Parser]) -> None:
    """``tiler plan``."""
    parser = commands.add_parser(
        "plan",
        help="show how the flat is divided, write nothing",
        description="Show how the flat is divided into sheets. Nothing is written.",
    )
    parser.set_defaults(command=_plan)
    _add_flat(parser)
    _add_sheet_options(parser)
    _add_flat_options(parser)
    _add_json(parser)


def _add_flat(parser: argparse.ArgumentParser) -> None:
    """The flat itself."""
    parser.add_argument("flat", metavar="FLAT", help="print file: PDF, JPEG, PNG, TIFF or WebP")


def _add_json(parser: argparse.ArgumentParser) -> None:
    """Output for other programs."""
    parser.add_argument("--json", action="store_true", help="print the plan as JSON on stdout")


def _add_sheet_options(parser: argparse.ArgumentParser) -> None:
    """Paper and layout."""
    group = parser.add_argument_group("paper and plan")
    group.add_argument(
        "--sheet",
        metavar="SIZE",
        help="A4, letter, a PWG 5101.1 name or 297x420mm (default: letter in US, CA and MX locales, else A4)",
    )
    group.add_argument(
        "--margins",
        metavar="MM",
        help="unprintable edges of the upright sheet: one length, or TOP,RIGHT,BOTTOM,LEFT "
        "(default: 6.5,6.5,12.7,6.5mm, safe for usual printers)",
    )
    group.add_argument(
        "--printer",
        metavar="NAME",
        help="printer profile with margins and correction; 'none' for none (default: the one in use)",
    )
    group.add_argument("--overlap", metavar="LENGTH", help="width of the glue tabs (default: 12mm)")
    group.add_argument(
        "--layout",
        choices=("strips", "grid"),
        help="strips with seams of their own (default), or a plain grid",
    )
    group.add_argument(
        "--orientation", choices=("auto", "portrait", "landscape"), help="how the sheets lie (default: auto)"
    )


def _add_flat_options(parser: argparse.ArgumentParser) -> None:
    """Which part of which file, how large."""
    group = parser.add_argument_group("the flat")
    group.add_argument("--page", type=int, metavar="N", help="page of a PDF or frame of a TIFF (default: 1)")
    group.add_argument(
        "--box",
        choices=BOXES,
        help="page box to tile (default: auto = bleed box where it differs from the media box, "
        "else trim box, else crop box)",
    )
    group.add_argument("--scale", metavar="SCALE", help="1, 50%% or 1:2 (default: 1, true size)")
    group.add_argument("--ppi", metavar="N", help="resolution of a picture, instead of its own")
    group.add_argument("--size", metavar="WxH", help="size of a picture, as in 752x120mm")
    group.add_argument("--password", metavar="WORD", help="opens an encrypted PDF")
    group.add_argument(
        "--annotations", action="store_true", help="also print annotations that are marked to print"
    )


def _mock(options: argparse.Namespace) -> int:
    """Run ``tiler mock``."""
    from tiler.cli.mock import mock

    return mock(options)


def _plan(options: argparse.Namespace) -> int:
    """Run ``tiler plan``."""
    from tiler.cli.plan import plan

    return plan(options)


def talk(sentence: str) -> None:
    """Say something to the person at the terminal; stdout stays free for results."""
    print(sentence, file=sys.stderr)
