"""The words of ``tiler printer``. Nothing heavy is loaded here."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

LENGTHS = ("top", "bottom", "left", "right", "falling", "rising", "square-across", "square-down")
"""Lengths on the calibration sheet, as they are called there."""


def add_printer(commands: argparse._SubParsersAction[Any]) -> None:
    """``tiler printer`` and its own commands."""
    parser = commands.add_parser(
        "printer",
        help="printer profiles: list, show, use, calibrate, measure",
        description="Printer profiles hold a printer's margins and its measured scale and skew.",
    )
    actions = parser.add_subparsers(metavar="ACTION", required=True)
    _add_list(actions)
    _add_show(actions)
    _add_use(actions)
    _add_calibrate(actions)
    _add_measure(actions)


def _add_list(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """``tiler printer list``."""
    parser = actions.add_parser("list", help="profiles and the system's queues")
    parser.set_defaults(command=_action("list_printers"))
    parser.add_argument("--json", action="store_true", help="print JSON on stdout")


def _add_show(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """``tiler printer show``."""
    parser = actions.add_parser("show", help="one profile")
    parser.set_defaults(command=_action("show_printer"))
    parser.add_argument("name", nargs="?", metavar="NAME", help="default: the printer in use")
    parser.add_argument("--json", action="store_true", help="print JSON on stdout")


def _add_use(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """``tiler printer use``."""
    parser = actions.add_parser(
        "use",
        help="make a profile the one that mocks are printed with",
        description="Make a profile the default. With --from, read sheets and margins off a network printer.",
    )
    parser.set_defaults(command=_action("use_printer"))
    parser.add_argument("name", metavar="NAME")
    parser.add_argument(
        "--from", dest="address", metavar="ipp://HOST/ipp/print", help="ask this printer for its margins"
    )
    parser.add_argument("--all-sheets", action="store_true", help="also the sheets it has not loaded")
    parser.add_argument("--any-certificate", action="store_true", help="accept any certificate")


def _add_calibrate(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """``tiler printer calibrate``."""
    parser = actions.add_parser(
        "calibrate",
        help="write the sheet that shows scale, skew and margins",
        description="Write the calibration sheet: print it at 100 %, then measure it.",
    )
    parser.set_defaults(command=_action("calibrate_printer"))
    parser.add_argument("name", nargs="?", metavar="NAME", help="the printer it is meant for")
    parser.add_argument("--sheet", metavar="SIZE", help="paper (default by locale)")
    parser.add_argument("-o", "--output", metavar="SHEET.pdf", required=True)


def _add_measure(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """``tiler printer measure``."""
    parser = actions.add_parser(
        "measure",
        help="put the readings of the calibration sheet into a profile",
        description="Work out scale and skew from what was measured. Without readings, each is asked for.",
    )
    parser.set_defaults(command=_action("measure_printer"))
    parser.add_argument("name", metavar="NAME")
    parser.add_argument("--sheet", metavar="SIZE", help="paper of the calibration sheet (default by locale)")
    for length in LENGTHS:
        parser.add_argument(f"--{length}", metavar="LENGTH", help=f"measured length of the bar '{length}'")
    parser.add_argument("--edges", metavar="TOP,RIGHT,BOTTOM,LEFT", help="first step seen at each edge, mm")
    parser.add_argument("--back", metavar="RIGHT,DOWN", help="offset of the back, as in --back=-0.5,1")
    parser.add_argument("--queue", metavar="QUEUE", help="the system's print queue of this printer")
    parser.add_argument("--note", metavar="TEXT", help="words for yourself")
    parser.add_argument("--over", metavar="WxH", help="say what the error means over a flat of this size")
    parser.add_argument("--replace", action="store_true", help="forget what the profile held before")


def _action(name: str) -> Callable[[argparse.Namespace], int]:
    """A command of ``tiler.cli.printer`` that is loaded when it runs."""

    def run(options: argparse.Namespace) -> int:
        from tiler.cli import printer

        return int(getattr(printer, name)(options))

    return run
