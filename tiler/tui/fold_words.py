"""What the folded box tells beside its picture. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from tiler.fold.box import FoldedBox
from tiler.fold.size import caliper_words
from tiler.fold.verdict import Verdict
from tiler.structure.folded import Folded
from tiler.tui.fold_rows import STANDS_WORDS, is_odd
from tiler.tui.words import capital
from tiler.units import format_number


def size_words(box: FoldedBox) -> str:
    """The folded size; what is missing for one."""
    return f"{_sides(box.size.size)} mm" if box.size is not None else "no box"


def fact_lines(box: FoldedBox) -> tuple[str, ...]:
    """Lines below the size."""
    lines = []
    if box.size is None:
        lines.append("no edges meet when it is folded")
    else:
        lines.append("folded, from crease to crease")
        caliper = box.folding.choices.caliper
        if caliper is not None:
            lines.append(f"inside {_sides(box.size.inside(caliper))}")
            lines.append(f"outside {_sides(box.size.outside(caliper))}")
    lines.append(_stands(box))
    return tuple(lines)


def odd_lines(box: FoldedBox, verdicts: Mapping[str, Verdict]) -> tuple[str, ...]:
    """Lines on what asks for a look."""
    lines = []
    turned = box.standing.upside_down
    if turned:
        names = ", ".join(turned[:5]) + (" …" if len(turned) > 5 else "")
        lines.append(f"{names} end{'s' if len(turned) == 1 else ''} upside down")
    odd = [name for name, verdict in verdicts.items() if is_odd(verdict)]
    if odd:
        names = ", ".join(odd[:5]) + (" …" if len(odd) > 5 else "")
        lines.append(f"art does not meet at {names}")
    return tuple(lines)


def fold_notes(box: FoldedBox) -> tuple[str, ...]:
    """All that is to be read: what does not fold, and what the board makes of the size."""
    notes = [f"{capital(report)}." for report in box.reports]
    caliper = box.folding.choices.caliper
    if box.size is not None and caliper is not None:
        notes.append(caliper_words(box.size, caliper))
    return tuple(notes)


def _stands(box: FoldedBox) -> str:
    root = box.folding.tree.root.id
    if box.standing.stands in ("root", "rim"):
        return f"stands on {root}" if box.standing.stands == "root" else f"stands with {root} on top"
    return f"stands {STANDS_WORDS[box.standing.stands]}"


def _sides(size: Folded) -> str:
    return " × ".join(format_number(side) for side in size)
