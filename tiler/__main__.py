"""``python -m tiler`` and the ``tiler`` command."""

from __future__ import annotations

import contextlib
import os
import sys
from typing import NoReturn

from tiler.cli import main


def start() -> NoReturn:
    """Run one command and leave at once.

    All files are written and closed by then. Python would take every object of the flat apart before it
    ends, which is a tenth of the time of a mock and of no use to anyone.
    """
    code = main()
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError, AttributeError):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    start()
