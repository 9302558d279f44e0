"""The planning space: strips always run across here, and queries are remembered.

Strips that run down are planned in the same space with x and y exchanged.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from tiler.geometry import Size
from tiler.plan.chain import TINY, Fees, Rule, reaches
from tiler.plan.penalties import Hazards, Numbers, flipped
from tiler.plan.place import Placed, Task, place
from tiler.plan.region import Region, Span
from tiler.plan.request import LEAST_FACE, Avoid, Axis, PlanRequest

LEAST_GAP = 10.0
"""Blank paper narrower than this, mm, is covered rather than left between two tiles (our own choice)."""

IMPOSSIBLE = 10**6
"""Stands for the number of sheets where the user's rules allow no chain."""


@dataclass(frozen=True, eq=False)
class Space:
    """Region, paper and rules, turned so that strips run across."""

    region: Region
    rooms: dict[bool, Size]
    """Printable width and height for portrait (False) and landscape (True) sheets, mm."""
    fees: Fees
    along: Rule
    """Rules for the seams within strips."""
    through: tuple[float | None, ...]
    """For each pin of ``along`` the y that a strip must hold to be bound by it; None binds all strips."""
    cross: Rule
    """Rules for the seams between strips."""
    upright: Hazards
    """In the way of seams within strips."""
    level: Hazards
    """In the way of seams between strips."""

    @classmethod
    def of(cls, request: PlanRequest, down: bool) -> Space:
        """The space of a request for strips that run across, or ``down``."""
        region = request.region
        rooms = {o: request.printable(o).size for o in request.orientations}
        avoid = [item for item in request.avoid if region.touches(item.rect.grown(0.1))]
        if down:
            region, avoid = region.flipped, [flip_avoid(item) for item in avoid]
            rooms = {o: room.turned() for o, room in rooms.items()}
        rules = rule_of(request, "x"), rule_of(request, "y")
        along, cross = reversed(rules) if down else rules
        axis: Axis = "y" if down else "x"
        pins = sorted((p for p in request.pins if p.axis == axis), key=lambda pin: pin.at)
        return cls(
            region,
            rooms,
            Fees.of(request.tab),
            replace(along, pins=tuple(pin.at for pin in pins)),
            tuple(pin.through for pin in pins),
            cross,
            Hazards.of(avoid, upright=True),
            Hazards.of(avoid, upright=False),
        )

    @cached_property
    def rows(self) -> tuple[Span, ...]:
        """Where any of the region lies, as stretches along y."""
        return bridged(self.region.spans_down(0, self.region.size.width))

    @cached_property
    def _bands(self) -> dict[Span, tuple[int, int]]:
        return {}

    @cached_property
    def _counts(self) -> dict[tuple[object, ...], int]:
        return {}

    @cached_property
    def _spans(self) -> dict[tuple[int, int], tuple[Span, ...]]:
        return {}

    @cached_property
    def _contacts(self) -> dict[float, Numbers]:
        return {}

    @cached_property
    def _placed(self) -> dict[tuple[object, ...], Placed]:
        return {}

    def _kinds(self, top: float, bottom: float) -> tuple[int, int]:
        """Kind of the first and last row of a band; two bands of equal kinds hold the same stretches."""
        key = (top, bottom)
        if key not in self._bands:
            first, last = self.region.rows_between(top, bottom)
            kinds = self.region.row_kinds
            self._bands[key] = (kinds[first], kinds[last - 1]) if last > first else (-1, -1)
        return self._bands[key]

    def spans(self, top: float, bottom: float) -> tuple[Span, ...]:
        """What the band holds, as stretches along x."""
        key = self._kinds(top, bottom)
        if key not in self._spans:
            self._spans[key] = bridged(self.region.spans_across(top, bottom))
        return self._spans[key]

    def rule(self, top: float, bottom: float) -> Rule:
        """The rules for the seams within the strip of this band."""
        if not self.through:
            return self.along
        bound = [y is None or top - TINY <= y < bottom - TINY for y in self.through]
        return replace(self.along, pins=tuple(itertools.compress(self.along.pins, bound)))

    def count(self, top: float, bottom: float, landscape: bool) -> int:
        """The fewest sheets that cover the band; 0 when it is blank."""
        rule = self.rule(top, bottom)
        key = (self._kinds(top, bottom), landscape, rule.pins)
        if key not in self._counts:
            spans, room = self.spans(top, bottom), self.rooms[landscape].width
            chain = reaches(spans, room, self.fees, rule) if spans else []
            self._counts[key] = IMPOSSIBLE if chain is None else len(chain)
        return self._counts[key]

    def placed(self, top: float, bottom: float, landscape: bool, held_at: Sequence[float]) -> Placed:
        """The cheapest chain of the band; ``held_at`` are the level seams above and below it."""
        spans = self.spans(top, bottom)
        active = self.upright.active(top, bottom)
        held: tuple[float, ...] = (LEAST_FACE,) * len(spans)
        if len(spans) > 1 or self.count(top, bottom, landscape) == 1:
            held = tuple(max((self._grip(span, y) for y in held_at), default=0.0) for span in spans)
        rule = self.rule(top, bottom)
        key = (spans, landscape, held, active.tobytes(), rule.pins)
        if key not in self._placed:
            task = Task(spans, self.rooms[landscape].width, self.fees, rule, held)
            self._placed[key] = place(task, lambda places: self.upright.at(places, active))
        return self._placed[key]

    def _grip(self, span: Span, y: float) -> float:
        """How much of a stretch continues through the seam at ``y``, up to what a joint needs, mm."""
        if y not in self._contacts:
            self._contacts[y] = self.region.contact(y)
        line, cell = self._contacts[y], self.region.cell.width
        first, last = round(span[0] / cell), min(len(line) - 1, round(span[1] / cell + 0.49))
        return min(LEAST_FACE, float(line[last] - line[first]))


def bridged(spans: Sequence[Span]) -> tuple[Span, ...]:
    """The stretches with narrow gaps closed, so that a joint never breaks off at a mere slit."""
    joined: list[Span] = []
    for start, end in spans:
        if joined and start - joined[-1][1] < LEAST_GAP - TINY:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return tuple(joined)


def rule_of(request: PlanRequest, axis: Axis) -> Rule:
    """The user's pins and forbidden stretches for one axis."""
    pins = tuple(sorted({pin.at for pin in request.pins if pin.axis == axis}))
    return Rule(pins, tuple((f.start, f.end) for f in request.forbidden if f.axis == axis))


def flip_avoid(item: Avoid) -> Avoid:
    """The item with x and y exchanged."""
    return replace(item, rect=flipped(item.rect), direction="down" if item.runs_across else "across")
