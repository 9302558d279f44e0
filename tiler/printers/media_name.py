"""Self-describing media names, such as ``iso_a4_210x297mm``, by the grammar of PWG 5101.1.

The grammar is the ABNF that the Printer Working Group published for PWG 5101.1-2023 (28 April 2023)::

    media-size-name = class-in "_" size-name "_" width-dim "x" length-dim "in"
                    / class-mm "_" size-name "_" width-dim "x" length-dim "mm"
                    / "disc_" size-name "_" inner-dim "x" outer-dim "mm"
    class-in  = "custom" / "na" / "asme" / "roc" / "oe" / "roll"
    class-mm  = "custom" / "iso" / "jis" / "jpn" / "prc" / "om" / "roll"
    length-dim = dim / "0"

Names are read in any case and kept in lower case, the only one that IPP allows.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from tiler.geometry import Size
from tiler.units import MM_PER_INCH, format_number

_DIM = r"(?:[1-9][0-9]*(?:\.[0-9]*[1-9])?|0\.[0-9]*[1-9])"
_NAME = r"[a-z0-9][a-z0-9.-]*"
_GRAMMAR = re.compile(
    rf"(?P<kind_in>custom|na|asme|roc|oe|roll)_(?P<name_in>{_NAME})_(?P<w_in>{_DIM})x(?P<l_in>{_DIM}|0)in"
    rf"|(?P<kind_mm>custom|iso|jis|jpn|prc|om|roll|disc)_(?P<name_mm>{_NAME})_"
    rf"(?P<w_mm>{_DIM})x(?P<l_mm>{_DIM}|0)mm"
)


@dataclass(frozen=True)
class MediaName:
    """What a self-describing name says."""

    text: str
    """The whole name, lower case."""
    kind: str
    """The class: who named it, such as ``iso`` or ``na``; also ``custom``, ``roll`` and ``disc``."""
    size_name: str
    """The middle part, such as ``a4``."""
    size: Size
    """Width and length, mm; a length of 0 stands for an endless roll."""


def parse_media_name(text: str) -> MediaName | None:
    """Read one self-describing name; None where the grammar does not allow it.

    >>> parse_media_name("na_letter_8.5x11in").size
    Size(width=215.9, height=279.4)
    """
    match = _GRAMMAR.fullmatch(text.strip().lower())
    if match is None:
        return None
    unit, factor = ("in", MM_PER_INCH) if match["kind_in"] else ("mm", 1.0)
    width, length = (round(float(match[f"{side}_{unit}"]) * factor, 6) for side in "wl")
    kind, name = match[f"kind_{unit}"], match[f"name_{unit}"]
    if kind == "disc" and length == 0:
        return None
    return MediaName(match[0], kind, name, Size(width, length))


def custom_media_name(size: Size) -> str:
    """The self-describing name of a size that has no other, to 0.01 mm.

    >>> custom_media_name(Size(300, 400.5))
    'custom_300x400.5mm_300x400.5mm'
    """
    plain = f"{format_number(size.width, 2)}x{format_number(size.height, 2)}mm"
    return f"custom_{plain}_{plain}"
