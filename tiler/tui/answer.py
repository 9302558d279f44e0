"""The answer to the designer's question, in words: how many sheets, how large, what to know. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.plan.tile import Plan
from tiler.printers.sheets import sheet_label
from tiler.run import Prepared
from tiler.tui.structure_facts import NO_STRUCTURE, StructureFacts
from tiler.tui.words import capital, own_words
from tiler.units import format_number


@dataclass(frozen=True)
class Answer:
    """What the plan comes to."""

    sheets: int
    """Sheets in the whole plan."""
    headline: str
    """Sheets and paper, without the number."""
    against_grid: str
    """The same flat in a plain grid."""
    lies: str
    """Overall size of the flat."""
    folds: str
    """Size of the folded box; empty when not known."""
    printed: str
    """What of it is printed, when that is not all; else empty."""

    @property
    def sentence(self) -> str:
        """The headline with its number."""
        return f"{self.sheets} {self.headline}"


def answer_of(prepared: Prepared, structure: StructureFacts = NO_STRUCTURE) -> Answer:
    """Put a plan into words."""
    plan, job = prepared.plan, prepared.job
    count = len(plan.tiles)
    width, height = (format_number(side) for side in plan.flat)
    lies = f"lies {width} × {height} mm"
    if job.scale != 1.0:
        lies += f" at {job.scale * 100:g} %"
    folds = ""
    if structure.folded:
        folded = (format_number(side * job.scale) for side in structure.folded)
        folds = f"folds to {' × '.join(folded)} mm"
    return Answer(
        sheets=count,
        headline=f"sheet{'s' if count != 1 else ''} of {sheet_label(plan.sheet)}",
        against_grid=_against_grid(plan),
        lies=lies,
        folds=folds,
        printed=f"prints {len(prepared.printed)} of {count}" if len(prepared.printed) != count else "",
    )


def _against_grid(plan: Plan) -> str:
    """How the plan compares with a plain grid."""
    if plan.layout == "grid":
        return "as a plain grid"
    if plan.grid_sheets == len(plan.tiles):
        return "as few as a plain grid" if len(plan.tiles) > 1 else "all on one sheet"
    return f"a plain grid needs {plan.grid_sheets}"


def notes_of(prepared: Prepared) -> tuple[str, ...]:
    """All that the user should know: warnings first, then where a seam is not clean."""
    seams = [
        f"Seam {seam.lower} | {seam.upper}: {seam.why}" for seam in prepared.plan.seams if seam.penalty > 0
    ]
    return (*(capital(own_words(warning)) for warning in prepared.warnings), *seams)
