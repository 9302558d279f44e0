"""The words of ``tiler mock`` for several flats, and for a flat that is still being worked on."""

from __future__ import annotations

import argparse


def add_batch_options(parser: argparse.ArgumentParser) -> None:
    """Several flats, and watching."""
    group = parser.add_argument_group("several flats")
    group.add_argument(
        "more",
        nargs="*",
        metavar="FLAT",
        help="further flats: parts of one pack, or with a folder after -o a pack each",
    )
    group.add_argument(
        "--jobs", type=int, metavar="N", help="packs made at once (default: one for each core)"
    )
    group.add_argument(
        "--watch", action="store_true", help="write the pack anew whenever the flat is saved, until Ctrl+C"
    )
