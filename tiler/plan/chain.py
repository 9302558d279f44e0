"""A chain of faces along one line: how far so many sheets reach, and how few cover given stretches.

::

    |== stretch ==|      |======= stretch =======|
    [ face 1     ]|      |[   face 2    |  face 3 ]
             end, free   ^ start, free  ^ a seam: both faces joined

A face begins and ends free (at blank paper or the flat's edge) or joined (at a seam); each way costs a
different length of paper, its *fee*. Taking at each step the choice whose next sheet begins farthest along is
optimal, because a sheet that begins later reaches no less far and has no more left to cover.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tiler.plan.region import Span
from tiler.plan.tile import ALLOWANCE, EDGE_BAND

TINY = 1e-6
"""mm; lengths closer than this count as equal."""


class Fees(NamedTuple):
    """Paper that a sheet spends beyond the ends of its face, mm."""

    start_free: float
    start_joined: float
    end_free: float
    end_joined: float

    @classmethod
    def of(cls, tab: float) -> Fees:
        """Cut allowance before, glue tab or blank band behind."""
        return cls(0.0, ALLOWANCE, EDGE_BAND, tab)

    @property
    def mirrored(self) -> Fees:
        """The same, read from the far end."""
        return Fees(self.end_free, self.end_joined, self.start_free, self.start_joined)


@dataclass(frozen=True)
class Rule:
    """What the user says of seams along one axis."""

    pins: tuple[float, ...] = ()
    """No face may cross these places, mm, rising."""
    forbidden: tuple[Span, ...] = ()
    """No seam may lie inside these stretches, mm."""

    @property
    def mirrored(self) -> Rule:
        """The same, read from the far end."""
        return Rule(
            tuple(sorted(-pin for pin in self.pins)), tuple((-end, -start) for start, end in self.forbidden)
        )

    def wall(self, begin: float, stretches: Sequence[Span]) -> float:
        """The first pin after ``begin`` that lies inside a stretch to cover."""
        for pin in self.pins:
            if pin > begin + TINY and any(a + TINY < pin < b - TINY for a, b in stretches):
                return pin
        return float("inf")

    def latest(self, limit: float) -> float:
        """The last place up to ``limit`` where a seam is allowed."""
        moved = True
        while moved:
            moved = False
            for start, end in self.forbidden:
                if start + TINY < limit < end - TINY:
                    limit, moved = start, True
        return limit


def reaches(stretches: Sequence[Span], room: float, fees: Fees, rule: Rule) -> list[float] | None:
    """How far 1, 2, 3 ... sheets reach at best, until all stretches are covered.

    Args:
        stretches: What to cover, rising and apart, mm.
        room: Printable length of a sheet, mm.
        fees: Paper spent beyond the ends of a face.
        rule: Pins and forbidden places.

    Returns:
        The farthest seam behind each sheet but the last, and the end of the last stretch; the length of the
        list is the fewest sheets. None when the rule allows no chain.
    """
    found: list[float] = []
    begin = stretches[0][0]
    paper = begin - fees.start_free
    while True:
        wall = rule.wall(begin, stretches)
        free, joined = min(paper + room - fees.end_free, wall), min(paper + room - fees.end_joined, wall)
        if stretches[-1][1] <= free + TINY:
            return [*found, stretches[-1][1]]
        seam = rule.latest(joined)
        found.append(seam)
        after = next(a for a, b in stretches if b > free + TINY)
        step = (seam, seam - fees.start_joined) if seam > begin + TINY else (begin, paper)
        if after > begin + TINY and after - fees.start_free > step[1]:
            step = (after, after - fees.start_free)
        if step[0] <= begin + TINY:
            return None
        begin, paper = step


def mirrored(stretches: Sequence[Span]) -> list[Span]:
    """Stretches read from the far end."""
    return [(-b, -a) for a, b in reversed(stretches)]
