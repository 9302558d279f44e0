"""``python -m tiler`` and the ``tiler`` command."""

from __future__ import annotations

import sys

from tiler.cli import main

if __name__ == "__main__":
    sys.exit(main())
