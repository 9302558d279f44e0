"""What a check says: findings, waivers, the list of texts, and the report that holds them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from tiler.geometry import Rect


class Severity(StrEnum):
    """How grave a finding is."""

    FAULT = "fault"
    """It will go wrong; ``--strict`` stops here."""
    WARNING = "warning"
    """It goes against good practice; look at it."""
    NOTE = "note"
    """It may matter; whether it does is not for a program to say."""

    @property
    def rank(self) -> int:
        """0 for the gravest."""
        return list(Severity).index(self)

    @property
    def meaning(self) -> str:
        """What it says of a finding, for people."""
        return _MEANINGS[self.value]


_MEANINGS = {
    "fault": "this will go wrong",
    "warning": "against good practice",
    "note": "whether it matters is yours to say",
}


@dataclass(frozen=True)
class Finding:
    """One thing to look at before production."""

    rule: str
    """Family and name, such as ``text.size``."""
    severity: Severity
    box: Rect
    """Where, true-size flat millimetres; the whole flat when it has no place."""
    message: str
    """One sentence: what, how much, what to do."""
    source: str
    """Where the limit comes from."""
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    """Of ``measured`` and ``limit``: ``mm``, ``pt``, ``ppi`` …"""
    tile: str = ""
    """The tile that shows it; empty when it has no place, lies on no tile, or there is no plan."""
    waived: str = ""
    """The reason for which it was waived; empty for a finding that stands."""
    is_of_whole: bool = False
    """True when it concerns the whole flat and has no place on it."""


@dataclass(frozen=True)
class TextEntry:
    """One run of text, to be proofread."""

    id: int
    """Counted from 1 in reading order, panel by panel."""
    text: str
    box: Rect
    """True-size flat millimetres."""
    size: float
    """pt at true size."""
    x_height: float | None
    """mm, None when it cannot be known."""
    cap_height: float | None
    """mm, None when it cannot be known."""
    font: str
    angle: float
    """Degrees clockwise."""
    panel: str = ""
    """The panel it stands on; empty when there is none."""
    tile: str = ""
    """The tile that shows its middle."""
    facts: tuple[tuple[str, str], ...] = ()
    """Kind (``number``, ``date``, ``address``) and words of all that must be held against the brief."""
    unknown: tuple[str, ...] = ()
    """Words that the word list does not have."""


@dataclass(frozen=True)
class Ink:
    """A colour that the file speaks of."""

    name: str
    kind: str
    """``spot``, ``process`` or ``RGB``."""
    is_structure: bool = False
    """True for a spot colour that draws cuts and creases."""


@dataclass(frozen=True)
class Report:
    """All that the checks have to say."""

    findings: tuple[Finding, ...] = ()
    """The gravest first, then by place."""
    texts: tuple[TextEntry, ...] = ()
    """In reading order."""
    inks: tuple[Ink, ...] = ()
    fonts: tuple[tuple[str, bool], ...] = ()
    """Name of each font with text, and whether it is in the file."""
    remarks: tuple[str, ...] = field(default=())
    """What was not or cannot be checked, and whose matter it is."""

    @property
    def standing(self) -> tuple[Finding, ...]:
        """Findings that nobody has waived."""
        return tuple(finding for finding in self.findings if not finding.waived)

    def count(self, severity: Severity) -> int:
        """Standing findings of that severity."""
        return sum(1 for finding in self.standing if finding.severity is severity)
