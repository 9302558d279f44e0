"""Kinds of structure lines, how each behaves, and how each is known."""

from __future__ import annotations

from enum import StrEnum


class LineKind(StrEnum):
    """What the tool does to the board along a line."""

    CUT = "cut"
    CREASE = "crease"
    REVERSE_CREASE = "reverse crease"
    """Folds the other way, away from the printed side."""
    CUT_CREASE = "cut-crease"
    """Cut and crease by turns in one line; it folds."""
    PERFORATION = "perforation"
    PARTIAL_CUT = "partial cut"
    """Cut through a part of the board's thickness only."""
    DRILL = "drill"
    """A hole."""

    @property
    def is_cut(self) -> bool:
        """True when the board comes apart here."""
        return self in (LineKind.CUT, LineKind.DRILL)

    @property
    def is_fold(self) -> bool:
        """True when the line is folded and so divides panels."""
        return self in (LineKind.CREASE, LineKind.REVERSE_CREASE, LineKind.CUT_CREASE)

    @property
    def is_border(self) -> bool:
        """True when a panel ends here; perforations and partial cuts lie within a panel."""
        return self.is_cut or self.is_fold


class Evidence(StrEnum):
    """How a line is known, the most trusted first."""

    TOLD = "told by the user"
    PROCESSING_STEP = "processing step"
    SPOT = "spot colour"
    LAYER = "layer"
    LINE_FILE = "separate line file"

    @property
    def rank(self) -> int:
        """0 for the most trusted."""
        return list(Evidence).index(self)

    @property
    def plural(self) -> str:
        """As it is named for a whole flat."""
        return f"{self}s" if self in (Evidence.PROCESSING_STEP, Evidence.SPOT, Evidence.LAYER) else str(self)


STRUCTURAL_STEPS: dict[str, LineKind | None] = {
    "Cutting": LineKind.CUT,
    "PartialCutting": LineKind.PARTIAL_CUT,
    "ReversePartialCutting": LineKind.PARTIAL_CUT,
    "Creasing": LineKind.CREASE,
    "ReverseCreasing": LineKind.REVERSE_CREASE,
    "CuttingCreasing": LineKind.CUT_CREASE,
    "ReverseCuttingCreasing": LineKind.CUT_CREASE,
    "PartialCuttingCreasing": LineKind.CUT_CREASE,
    "ReversePartialCuttingCreasing": LineKind.CUT_CREASE,
    "Drilling": LineKind.DRILL,
    "Gluing": None,
    "FoilStamping": None,
    "ColdFoilStamping": None,
    "Embossing": None,
    "Debossing": None,
    "Perforating": LineKind.PERFORATION,
    "Bleed": None,
    "VarnishFree": None,
    "InkFree": None,
    "InkVarnishFree": None,
    "Folding": LineKind.CREASE,
    "Punching": LineKind.CUT,
    "Stapling": None,
}
"""Types of the group Structural (ISO 19593-1:2018), as the Arlington PDF model lists them.

None: no line that divides or folds the board, but an area or a spot.
"""
