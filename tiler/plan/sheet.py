"""A sheet of printer paper and the part of it that a printer reaches."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Margins, Rect, Size

UNKNOWN_PRINTER = Margins(6.5, 6.5, 12.7, 6.5)
"""Safe margins when nothing is known of the printer: common practice, no source.

They cover the unprintable edges declared by usual desktop inkjets and lasers; the trailing edge is widest.
"""


@dataclass(frozen=True)
class Sheet:
    """One size of paper, upright."""

    name: str
    """PWG 5101.1 self-describing name, such as ``iso_a4_210x297mm``."""
    size: Size
    """mm, as the name gives it (the shorter side first for all usual sheets)."""

    def oriented(self, landscape: bool) -> Size:
        """The page size for a portrait or landscape tile."""
        short, long = sorted(self.size)
        return Size(long, short) if landscape else Size(short, long)

    def printable(self, margins: Margins, landscape: bool) -> Rect:
        """The reachable part of the page, in sheet coordinates; may be empty or inverted."""
        page = self.oriented(landscape)
        edge = margins.turned() if landscape else margins
        return Rect(0, 0, page.width, page.height).inset(edge.left, edge.top, edge.right, edge.bottom)
