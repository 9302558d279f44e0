"""All that folding tells about a flat, as one value for pages, screens and checks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tiler.fold.choices import DEFAULTS, FoldChoices
from tiler.fold.crossing import crossing_words
from tiler.fold.folding import Folding, fold
from tiler.fold.meetings import Meeting, meetings_of
from tiler.fold.size import FoldedSize, folded_size_of
from tiler.fold.standing import Standing, Written, standing_of
from tiler.structure.model import Structure


@dataclass(frozen=True)
class FoldedBox:
    """A flat, folded."""

    folding: Folding
    standing: Standing
    meetings: tuple[Meeting, ...]
    size: FoldedSize | None
    """None when the panels enclose nothing: no edges meet and the flat is not plainly that of a box."""
    reports: tuple[str, ...]
    """What does not fold, a sentence each."""

    @property
    def closes(self) -> bool:
        """True when edges meet."""
        return bool(self.meetings)


def fold_flat(
    structure: Structure, texts: Iterable[Written] = (), choices: FoldChoices = DEFAULTS
) -> FoldedBox:
    """Fold a flat and look at the box.

    Args:
        structure: Panels and creases.
        texts: Live text, which tells what is up.
        choices: The user's own root, angles and way of standing.

    Raises:
        StructureError: There is no panel to fold.
        UsageError: A named panel or crease does not exist.
    """
    folding = fold(structure, choices)
    meetings = meetings_of(folding)
    is_box = bool(meetings) or structure.folded is not None
    size = folded_size_of(folding, structure.folded) if is_box else None
    reports = (*folding.reports, *crossing_words(folding))
    return FoldedBox(folding, standing_of(folding, texts), meetings, size, reports)
