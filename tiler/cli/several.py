"""Whether ``tiler mock`` was asked for one pack of one flat. Loads next to nothing."""

from __future__ import annotations

import argparse
import os
from pathlib import Path


def is_several(options: argparse.Namespace) -> bool:
    """True when the words ask for more than the pack of one flat."""
    return bool(options.more) or is_folder(options.output) or names_parts(Path(options.flat))


def is_folder(output: str) -> bool:
    """True for a folder that is there, or a name that can only be one."""
    return Path(output).is_dir() or output.endswith((os.sep, "/"))


def names_parts(path: Path) -> bool:
    """True for a job ticket with parts."""
    if path.suffix.lower() != ".toml":
        return False
    from tiler.parts import is_parts_ticket

    return is_parts_ticket(path)
