"""Options that several commands share. Nothing heavy is loaded here."""

from __future__ import annotations

import argparse

BOXES = ("auto", "trim", "bleed", "crop", "media", "art")
"""Page boxes of a PDF, and the choice made for the user."""


def add_flat(parser: argparse.ArgumentParser) -> None:
    """The flat itself."""
    parser.add_argument("flat", metavar="FLAT", help="print file (PDF, JPEG, PNG, TIFF, WebP) or job ticket")


def add_json(parser: argparse.ArgumentParser) -> None:
    """Output for other programs."""
    parser.add_argument("--json", action="store_true", help="print the plan as JSON on stdout")


def add_sheet_options(parser: argparse.ArgumentParser) -> None:
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
    group.add_argument(
        "--check-point",
        action="append",
        metavar="X,Y,NAME",
        help="a spot of the flat to look at on the mock, mm from its top left, as in 120,45,barcode; seams "
        "keep away from it (repeatable)",
    )


def add_flat_options(parser: argparse.ArgumentParser) -> None:
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


def add_inside_options(parser: argparse.ArgumentParser) -> None:
    """The print on the backs."""
    group = parser.add_argument_group("inside print")
    group.add_argument(
        "--inside",
        metavar="N|FILE",
        help="print the inside on the backs: page N of the flat's file, or another file, drawn as seen from "
        "inside (margins grow by 1 mm, opposite ones are made equal)",
    )
    group.add_argument(
        "--flip",
        choices=("long", "short"),
        help="edge of the paper over which the printer turns the sheets (default: long)",
    )


def add_structure_options(parser: argparse.ArgumentParser) -> None:
    """Cuts and creases."""
    group = parser.add_argument_group("cuts and creases")
    group.add_argument("--lines", metavar="FILE.pdf", help="take them from a separate line file")
    group.add_argument(
        "--line-as",
        action="append",
        metavar="NAME=KIND",
        help="what a layer or spot colour is: crease, cut, perforation or ignore (repeatable)",
    )
    group.add_argument(
        "--crease", action="append", metavar="X1,Y1,X2,Y2", help="a crease of your own, mm (repeatable)"
    )


def add_page_options(look: argparse._ArgumentGroup) -> None:
    """Pages that a pack may have besides; --no-proof and --no-corners leave out what a ticket asks for."""
    look.add_argument(
        "--proof",
        action=argparse.BooleanOptionalAction,
        help="add the proof list: findings, check points and every text, each with a box to tick",
    )
    look.add_argument(
        "--corners",
        dest="corner_pages",
        action=argparse.BooleanOptionalAction,
        help="add the corner strips: the art from both sides of every edge that meets another",
    )


def add_look_options(parser: argparse.ArgumentParser) -> argparse._ArgumentGroup:
    """Marks, guides and lightening; the group, for what one command adds to it."""
    look = parser.add_argument_group("how it is printed")
    look.add_argument(
        "--marks",
        choices=("full", "tabs", "none"),
        help="registration marks: on both sides of a seam (default), only off the face, or none",
    )
    look.add_argument(
        "--guides",
        choices=("full", "ticks", "none"),
        help="creases and cuts: lines with ticks (default), ticks only, or none",
    )
    look.add_argument("--lighten", metavar="SHARE", help="lay white over the artwork, 0 to 90%%")
    return look
