"""What sheets, sizes and strips are called on paper."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.plan.sheet import Sheet
from tiler.plan.tile import Plan
from tiler.units import format_length, format_number


def sheet_words(sheet: Sheet) -> str:
    """The paper as people call it, from its PWG 5101.1 name: ``A4, 210 × 297 mm``."""
    size = f"{format_number(sheet.size.width)} × {format_length(sheet.size.height)}"
    parts = sheet.name.split("_")
    if len(parts) < 3 or parts[0] in ("custom", "om"):
        return size
    name = parts[1].replace("-", " ")
    return f"{name.upper() if len(name) <= 3 else name.capitalize()}, {size}"


def size_words(*lengths: float) -> str:
    """``506 × 426 mm``."""
    return " × ".join(format_number(length) for length in lengths) + " mm"


def strip_tag(plan: Plan, index: int) -> str:
    """The row letter or column number that a strip's tiles share, else the strip's number from 1."""
    labels = [tile.label for tile in plan.strips[index]]
    letters = {"".join(c for c in label if c.isalpha()) for label in labels}
    numbers = {"".join(c for c in label if c.isdigit()) for label in labels}
    shared = letters if plan.direction == "across" else numbers
    return shared.pop() if len(shared) == 1 else str(index + 1)


def listed(labels: Sequence[str]) -> str:
    """``A1``, ``A1 and A2``, ``A1, A2 and A3``."""
    if len(labels) < 2:
        return "".join(labels)
    return f"{', '.join(labels[:-1])} and {labels[-1]}"
