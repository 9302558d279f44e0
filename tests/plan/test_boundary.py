"""The planner is pure: it loads neither readers nor writers nor screens."""

from __future__ import annotations

import subprocess
import sys


def test_planning_loads_no_pdf_library_no_terminal_library_and_no_polygons() -> None:
    heavy = {"pypdf", "pypdfium2", "reportlab", "rich", "textual", "shapely", "PIL"}
    code = f"import sys, tiler.plan.make; print(sorted({heavy!r} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
