"""Findings set aside by a person. A job holds them, so little is loaded here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.geometry import Point

if TYPE_CHECKING:
    from tiler.checks.finding import Finding

WAIVER_REACH = 5.0
"""A waiver holds for findings whose box comes this near to its point, mm."""


@dataclass(frozen=True)
class Waiver:
    """A false alarm set aside by a person."""

    rule: str
    """The rule, or a whole family such as ``text``."""
    near: Point
    """A place on the flat, true-size millimetres."""
    reason: str

    def covers(self, finding: Finding) -> bool:
        """True for a finding of this rule at this place."""
        is_rule = finding.rule == self.rule or finding.rule.startswith(self.rule + ".")
        return is_rule and finding.box.contains(self.near, WAIVER_REACH)
