"""The readings of a calibration sheet as fields, a drawing that shows which is which, and what they come to.

Pure: typed words come in, lines of text go out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from rich.text import Text

from tiler.errors import TilerError, UsageError
from tiler.geometry import Margins, Point, Size
from tiler.plan.sheet import Sheet
from tiler.printers.bars import SQUARE, calibration_bars
from tiler.printers.calibration import Calibration, error_in_words
from tiler.printers.measure import SheetReadings
from tiler.printers.profile import Profile
from tiler.printers.profile_words import profile_words, scale_words
from tiler.printers.sheets import sheet_label
from tiler.tui.strokes import Strokes
from tiler.units import format_number, parse_length

Group = Literal["bar", "edge", "back"]


@dataclass(frozen=True)
class Field:
    """One number to type."""

    key: str
    """Name of the bar, or ``edge top``, ``back right`` …"""
    group: Group
    label: str
    help: str
    """Which line it is on the sheet, and how it is read."""


BARS = {
    "top": "The line along the top of the frame.",
    "bottom": "The line along the bottom of the frame.",
    "left": "The line down the left side of the frame.",
    "right": "The line down the right side of the frame.",
    "falling": "The diagonal from the frame's top left to its bottom right.",
    "rising": "The diagonal from the frame's bottom left to its top right.",
    "square-across": "The square in the middle, from its left side to its right.",
    "square-down": "The square in the middle, from its top side to its bottom.",
}
"""Bars by the name that the sheet gives them."""

EDGES = ("top", "right", "bottom", "left")
"""Edges in the order of ``Margins``."""

_EDGE_KEYS = tuple(f"edge {name}" for name in EDGES)
_BACK_KEYS = ("back right", "back down")

FIELDS = (
    *(Field(name, "bar", name, words) for name, words in BARS.items()),
    *(
        Field(
            f"edge {name}",
            "edge",
            name,
            f"Of the steps at the {name} edge, the first number whose line is printed whole.",
        )
        for name in EDGES
    ),
    Field(
        "back right",
        "back",
        "right",
        "Held against a window, back to you: where the cross meets the level scale; left is minus.",
    ),
    Field(
        "back down",
        "back",
        "down",
        "Held against a window, back to you: where the cross meets the upright scale; up is minus.",
    ),
)
"""All fields in the order of the screen."""


def true_lengths(sheet: Sheet) -> dict[str, str]:
    """What each bar measures on a sheet that is true, in words; empty where there is no room for bars."""
    try:
        return {bar.name: format_number(bar.length) for bar in calibration_bars(sheet)}
    except TilerError:
        return {}


def read_fields(typed: Mapping[str, str], sheet: Sheet) -> SheetReadings:
    """The readings that were typed; an empty field is one that nobody looked at.

    Args:
        typed: Words by the field's key.
        sheet: The paper of the calibration sheet.

    Raises:
        UsageError: Something is no length, or only some of the edges or of the back are there.
    """
    gap = missing_words(typed)
    if gap:
        raise UsageError(gap, "type them all, or none")
    return whole_readings(typed, sheet)


def whole_readings(typed: Mapping[str, str], sheet: Sheet) -> SheetReadings:
    """The same without edges or back that are not all there yet.

    Raises:
        UsageError: Something is no length.
    """
    said = {key: _length(key, words) for key, words in typed.items() if words.strip()}
    edges = [said[key] for key in _EDGE_KEYS if key in said]
    back = [said[key] for key in _BACK_KEYS if key in said]
    return SheetReadings(
        sheet,
        {name: said[name] for name in BARS if name in said},
        Margins(*edges) if len(edges) == len(_EDGE_KEYS) else None,
        Point(*back) if len(back) == len(_BACK_KEYS) else None,
    )


def missing_words(typed: Mapping[str, str]) -> str:
    """What is not all there yet, in words; empty where nothing is missing."""
    for keys, words in ((_EDGE_KEYS, "steps at the edges"), (_BACK_KEYS, "readings of the back")):
        gaps = [key.split()[1] for key in keys if not typed.get(key, "").strip()]
        if 0 < len(gaps) < len(keys):
            return f"of the {words}, {', '.join(gaps)} {'are' if len(gaps) > 1 else 'is'} missing"
    return ""


def spans_both_ways(readings: SheetReadings) -> bool:
    """True when lines both across and along the sheet were read, or none at all."""
    across = {"top", "bottom", "square-across"} & set(readings.lengths)
    along = {"left", "right", "square-down"} & set(readings.lengths)
    return not readings.lengths or bool(across and along)


def _length(key: str, words: str) -> float:
    """A typed length, mm.

    Raises:
        UsageError: It is none; the sentence names the field.
    """
    try:
        return parse_length(words.strip())
    except UsageError as problem:
        raise UsageError(f"{key}: {problem.message}", problem.remedy) from None


def result_lines(
    profile: Profile, found: Calibration | None, flat: Size | None, landscape: bool
) -> tuple[str, ...]:
    """What the readings come to.

    Args:
        profile: The profile as it would be kept.
        found: What its scale comes from; None where no bar was read.
        flat: Size of the present flat on paper, mm; None when there is none.
        landscape: True when its tiles lie on their side, so that its width runs along the sheet.
    """
    if found is None:
        return (profile_words(profile),)
    across, along, skew = scale_words(found)
    lines = [
        f"across {across}   along {along}   skew {skew}",
        "± holds in 19 of 20 cases, for readings to half a millimetre.",
    ]
    if flat is not None:
        words = error_in_words(turned(found) if landscape else found, flat)
        lines.insert(1, f"{words[:1].upper()}{words[1:]}.")
    lines += [f"! {warning[:1].upper()}{warning[1:]}." for warning in found.warnings]
    return tuple(lines)


def turned(found: Calibration) -> Calibration:
    """The calibration as it meets a flat whose tiles lie on their side."""
    return replace(
        found,
        scale_x=found.scale_y,
        scale_y=found.scale_x,
        error_x=found.error_y,
        error_y=found.error_x,
    )


def short_words(profile: Profile) -> str:
    """A profile in a list to choose from."""
    sheets = ", ".join(sheet_label(loaded.sheet) for loaded in profile.sheets) or "margins not measured"
    return f"{sheets}; {f'measured {profile.measured}' if profile.measured else 'scale not measured'}"


# -- the drawing


def drawing(key: str, columns: int, rows: int, plain: bool = False, accent: str = "bold") -> Text:
    """The calibration sheet in characters, with the line of a field drawn heavy.

    ::

        ┌────────────────┐  the paper
        │ ┏━━━━ top ━━━┓ │  the frame, whose sides and diagonals are bars
        │ │╲   ┌──┐   ╱│ │
        │ │    └──┘    │ │  the square
        │ │╱          ╲│ │
        │ └────────────┘ │
        └────────────────┘

    Args:
        key: Of the field; the drawing is bare where it is none.
        columns: Width, cells.
        rows: Height, cells.
        plain: True for characters of ASCII alone.
        accent: Style of the field's own line.
    """
    strokes = Strokes(rows, columns, plain)
    paper = (0, 0, rows - 1, columns - 1)
    frame = (2, 4, rows - 3, columns - 5)
    middle = rows // 2, columns // 2
    high, wide = max(2, round(rows * SQUARE / 297 / 2)), max(4, round(columns * SQUARE / 210 / 2) - 1)
    square = middle[0] - high, middle[1] - wide, middle[0] + high, middle[1] + wide
    for box in (paper, frame, square):
        strokes.box(*box, "light", "quiet")
    for name in ("falling", "rising"):
        _diagonal(strokes, frame, square, name == "falling", is_picked=key == name)
    _pick(strokes, key, frame, square)
    if key.startswith("edge"):
        _steps(strokes, key, paper)
    if key.startswith("back"):
        sign = "+" if plain else "┼"
        strokes.put(*middle, sign, "picked")
        word = {"back right": "→", "back down": "↓"}.get(key, "")
        strokes.put(middle[0] + (key == "back down"), middle[1] + (key == "back right"), word, "picked")
    return _as_text(strokes, rows, columns, accent)


Box = tuple[int, int, int, int]
"""Top, left, bottom and right cell."""


def _pick(strokes: Strokes, key: str, frame: Box, square: Box) -> None:
    """The straight bar of a field, heavy, with its name in it."""
    top, left, bottom, right = square if key.startswith("square") else frame
    if key in ("top", "square-across"):
        strokes.level(top, left, right, "heavy", "picked")
        _name(strokes, key, top, (left + right) // 2)
    elif key == "bottom":
        strokes.level(bottom, left, right, "heavy", "picked")
        _name(strokes, key, bottom, (left + right) // 2)
    elif key in ("left", "square-down"):
        strokes.upright(left, top, bottom, "heavy", "picked")
    elif key == "right":
        strokes.upright(right, top, bottom, "heavy", "picked")


def _name(strokes: Strokes, key: str, row: int, column: int) -> None:
    words = f" {key} " if "-" not in key else ""
    strokes.word(row, column - len(words) // 2, words, "picked")


def _diagonal(strokes: Strokes, frame: Box, square: Box, falls: bool, is_picked: bool) -> None:
    """Dots between two corners of the frame; only its ends unless it is the one to measure."""
    top, left, bottom, right = frame
    steps = bottom - top - 2
    for step in range(steps + 1):
        row = top + 1 + step
        share = (step + 1) / (bottom - top)
        column = round(left + (right - left) * (share if falls else 1 - share))
        is_in_square = square[0] <= row <= square[2] and square[1] <= column <= square[3]
        if is_picked or (not is_in_square and (step < 2 or step > steps - 2)):
            sign = "\\" if falls else "/"
            shown = sign if strokes.plain else ("╲" if falls else "╱")
            strokes.put(row, column, shown, "picked" if is_picked else "quiet")


def _steps(strokes: Strokes, key: str, paper: Box) -> None:
    """The flight of steps at an edge."""
    top, left, bottom, right = paper
    middle = (top + bottom) // 2, (left + right) // 2
    if key in ("edge top", "edge bottom"):
        row = top if key == "edge top" else bottom
        strokes.level(row, middle[1] - 4, middle[1] + 4, "heavy", "picked")
    else:
        column = left if key == "edge left" else right
        strokes.upright(column, middle[0] - 2, middle[0] + 2, "heavy", "picked")


def _as_text(strokes: Strokes, rows: int, columns: int, accent: str) -> Text:
    """Cells as lines of text; what is picked stands out."""
    glyphs = strokes.glyphs()
    text = Text(no_wrap=True)
    for row in range(rows):
        for column in range(columns):
            glyph = glyphs.get((row, column))
            text.append(glyph.text if glyph else " ", accent if glyph and glyph.role == "picked" else "")
        text.append("\n" if row < rows - 1 else "")
    return text
