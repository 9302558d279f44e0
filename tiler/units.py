"""Lengths, scales and shares as people write them, turned into numbers once, at the edge.

Inside tiler every length is a ``float`` in millimetres.
"""

from __future__ import annotations

import re

from tiler.errors import UsageError
from tiler.geometry import Size

MM_PER_INCH = 25.4
"""By definition (international yard and pound agreement, 1959)."""

MM_PER_POINT = MM_PER_INCH / 72
"""A PDF unit of user space is 1/72 inch (ISO 32000-2, 8.3.2.3)."""

POINTS_PER_MM = 72 / MM_PER_INCH

LONGEST = 1e6
"""No length or place of a job is larger, mm."""

_LENGTH = re.compile(r"\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(mm|cm|in|inch|\"|pt)?\s*", re.IGNORECASE)
_MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    '"': MM_PER_INCH,
    "pt": MM_PER_POINT,
}


def parse_length(text: str) -> float:
    """Turn a written length into millimetres; a bare number is millimetres.

    Raises:
        UsageError: The text is no length, or one of more than a kilometre.

    >>> parse_length("12"), parse_length("1.2 cm"), parse_length("0.5in"), parse_length("72pt")
    (12.0, 12.0, 12.7, 25.4)
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise UsageError(
            f"'{text}' is not a length", "write a number with mm, cm, in or pt, as in 12mm or 0.5in"
        )
    number, unit = match.groups()
    length = float(number.replace(",", ".")) * _MM_PER_UNIT[(unit or "mm").lower()]
    if not abs(length) <= LONGEST:
        raise UsageError("a length of more than a kilometre cannot be meant", "write it in mm, as in 12mm")
    return length


def parse_size(text: str) -> Size:
    """Width and height, as in ``752x120mm`` or ``30cm x 20cm``.

    Raises:
        UsageError: The text is no size.

    >>> parse_size("752x120mm")
    Size(width=752.0, height=120.0)
    >>> parse_size("10 x 20 in")
    Size(width=254.0, height=508.0)
    """
    parts = re.split(r"\s*[x×X]\s*", text.strip())
    if len(parts) != 2:
        raise UsageError(f"'{text}' is not a size", "write width x height, as in 752x120mm")
    unit = re.search(r"[a-z\"]+$", parts[1].strip(), re.IGNORECASE)
    if unit and re.fullmatch(r"[\d.,]+", parts[0]):
        parts[0] += unit.group()
    width, height = (parse_length(part) for part in parts)
    if width <= 0 or height <= 0:
        raise UsageError(f"'{text}' is not a size", "both sides must be larger than 0")
    return Size(width, height)


def format_length(mm: float, digits: int = 1) -> str:
    """Write millimetres for people, without a needless zero.

    >>> format_length(506.0), format_length(31.35, 2), format_length(0.04)
    ('506 mm', '31.35 mm', '0 mm')
    """
    return f"{format_number(mm, digits)} mm"


def format_number(value: float, digits: int = 1) -> str:
    """Write a number with at most ``digits`` decimals, without trailing zeros.

    >>> format_number(12.50), format_number(-0.04), format_number(3, 0)
    ('12.5', '0', '3')
    """
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def parse_scale(text: str) -> float:
    """Turn ``1``, ``50%`` or ``1:2`` into a factor (1.0 is true size).

    Raises:
        UsageError: The text is no scale, or not between 1 % and 1000 %.

    >>> parse_scale("1"), parse_scale("50%"), parse_scale("1:2"), parse_scale("2:1")
    (1.0, 0.5, 0.5, 2.0)
    """
    problem = UsageError(f"'{text}' is not a scale", "write 1, 50% or 1:2 (between 1 % and 1000 %)")
    try:
        if ":" in text:
            paper, real = text.split(":")
            factor = float(paper) / float(real)
        elif text.strip().endswith("%"):
            factor = float(text.strip()[:-1]) / 100
        else:
            factor = float(text)
    except (ValueError, ZeroDivisionError):
        raise problem from None
    if not 0.01 <= factor <= 10:
        raise problem
    return factor


def parse_percent(text: str, lowest: float, highest: float) -> float:
    """Turn ``30%`` or ``30`` into a share between 0 and 1, within the bounds given in per cent.

    Raises:
        UsageError: The text is no share, or outside the bounds.

    >>> parse_percent("30%", 0, 90)
    0.3
    """
    try:
        value = float(text.strip().removesuffix("%"))
    except ValueError:
        value = float("nan")
    if not lowest <= value <= highest:
        raise UsageError(f"'{text}' is not a share", f"write a number from {lowest:g} to {highest:g} %")
    return value / 100
