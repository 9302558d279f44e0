"""Words of folding on the command line. Nothing heavy is loaded here."""

from __future__ import annotations

import argparse


def add_fold_choices(parser: argparse.ArgumentParser) -> argparse._ArgumentGroup:
    """How the flat is folded; the group, for what one command adds to it."""
    fold = parser.add_argument_group("the folded box")
    fold.add_argument("--root", metavar="P5", help="panel that stays where it is (default: the largest)")
    fold.add_argument(
        "--fold",
        action="append",
        metavar="P2/P5=DEGREES",
        help="fold a crease by another angle; negative folds towards the print, 0 is flat (repeatable)",
    )
    fold.add_argument(
        "--stands",
        choices=("auto", "root", "rim", "bottom", "top", "left", "right"),
        help="what is below when the box stands: the root panel, the rim (root on top, as a lid), or an edge "
        "of the flat (default: auto = as most of its text reads)",
    )
    fold.add_argument("--caliper", metavar="LENGTH", help="thickness of the board, as in 1.5mm")
    return fold


def add_fold(parser: argparse.ArgumentParser) -> None:
    """How the flat is folded, and what is made of the box."""
    fold = add_fold_choices(parser)
    fold.add_argument("--measure", action="store_true", help="measure whether the art meets at the edges")
    views = parser.add_argument_group("views and corner strips")
    views.add_argument("--view", metavar="FILE.png|.svg", help="write a picture of the folded box")
    views.add_argument(
        "--corner",
        metavar="CORNER",
        help="from where: front-right (default), front-left, back-right, back-left, below-front-right, "
        "below-front-left, or degrees round the box and above the table, as in 40,25",
    )
    views.add_argument(
        "--opening", metavar="SHARE", help="how far it is open: 0%% closed (default), 100%% flat"
    )
    views.add_argument("--view-size", metavar="WxH", help="of a PNG, in pixels (default: 1600x1200)")
    views.add_argument("--inside", metavar="N|FILE", help="inside print: a page of the file, or another file")
    views.add_argument(
        "--corners", metavar="FILE.pdf", help="write strips of art from both sides of every meeting edge"
    )
    views.add_argument("--all-edges", action="store_true", help="strips for the creases too")
    views.add_argument("--sheet", metavar="SIZE", help="paper of the strips, as in A4")
