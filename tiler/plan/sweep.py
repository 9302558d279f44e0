"""The fewest sheets: how far down the flat so many sheets reach, by dynamic programming.

Removing rows from the top of what is left never makes it need more sheets. So of all plans with *n* sheets
the one that reaches farthest down is at least as good as every other, and only it need be carried on. Its
last seam lies either a full sheet below the seam before, or just above the row of cells that would make the
strip need one sheet more. Both are tried exactly, for each way the sheet may lie and each number of tiles,
so the result is the optimum among all strip plans, not only among those on a lattice. (One detail keeps two
kinds of reach apart: behind a blank gap a strip needs no cut allowance, so a state is its beginning *and*
its paper; only states that lose in both are dropped.)
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.plan.chain import TINY, Fees, Rule, mirrored
from tiler.plan.region import Span
from tiler.plan.space import IMPOSSIBLE, Space

Count = Callable[[float, float, bool], int]
"""The fewest sheets of a band from top to bottom."""


@dataclass(frozen=True, eq=False)
class View:
    """A planning space read from the top, or mirrored and read from the bottom."""

    rows: Sequence[Span]
    """Where anything is to be covered, along y, mm."""
    rooms: dict[bool, float]
    """Printable height for each way of the sheet, mm."""
    fees: Fees
    rule: Rule
    count: Count
    pitch: float
    """Height of a row of cells, mm."""

    @classmethod
    def ahead(cls, space: Space) -> View:
        """From the top."""
        rooms = {o: room.height for o, room in space.rooms.items()}
        return cls(space.rows, rooms, space.fees, space.cross, space.count, space.region.cell.height)

    @classmethod
    def back(cls, space: Space) -> View:
        """From the bottom, with y mirrored."""
        rooms = {o: room.height for o, room in space.rooms.items()}

        def count(top: float, bottom: float, landscape: bool) -> int:
            return space.count(-bottom, -top, landscape)

        pitch = space.region.cell.height
        return cls(mirrored(space.rows), rooms, space.fees.mirrored, space.cross.mirrored, count, pitch)


_State = tuple[float, float]
"""Where the next strip begins, and where its paper begins, mm."""


def sweep(view: View) -> list[float] | None:
    """The farthest seam behind 1, 2, 3 ... sheets.

    Returns:
        One place for each number of sheets (minus infinity where no strip ends after just so many), and the
        end of the last row; the length of the list is the fewest sheets. None when the rules allow no plan.
    """
    first = view.rows[0][0]
    states: dict[int, list[_State]] = {0: [(first, first - view.fees.start_free)]}
    seams: dict[int, float] = {}
    used, pending = 0, 0
    finish = math.inf
    while used <= pending and used < finish:
        for state in states.get(used, []):
            for landscape in view.rooms:
                for sheets, seam, after in _strips(view, state, landscape):
                    total = used + sheets
                    if after == math.inf:
                        finish = min(finish, total)
                        continue
                    pending = max(pending, total)
                    if seam > state[0] + TINY:
                        seams[total] = max(seams.get(total, -math.inf), seam)
                        _keep(states.setdefault(total, []), (seam, seam - view.fees.start_joined))
                    if after > state[0] + TINY:
                        _keep(states.setdefault(total, []), (after, after - view.fees.start_free))
        used += 1
    if finish == math.inf:
        return None
    return [*(seams.get(sheets, -math.inf) for sheets in range(1, int(finish))), view.rows[-1][1]]


def _strips(view: View, state: _State, landscape: bool) -> list[tuple[int, float, float]]:
    """Each number of tiles with its farthest seam and the row behind a blank gap (infinity at the end)."""
    begin, paper = state
    wall = view.rule.wall(begin, view.rows)
    free = min(paper + view.rooms[landscape] - view.fees.end_free, wall, view.rows[-1][1])
    joined = min(paper + view.rooms[landscape] - view.fees.end_joined, wall)
    found: list[tuple[int, float, float]] = []
    end = free
    while end > begin + TINY:
        sheets = view.count(begin, end, landscape)
        if sheets < IMPOSSIBLE and sheets > 0:
            after = next((a for a, b in view.rows if b > end + TINY), math.inf)
            seam = view.rule.latest(min(joined, end))
            found.append((sheets, seam, after))
        end = _fewer(view, begin, end, landscape, sheets)
    return found


def _fewer(view: View, begin: float, end: float, landscape: bool, sheets: int) -> float:
    """The farthest end with fewer than ``sheets`` sheets: always at an edge of a row of cells."""
    low, high = math.floor(begin / view.pitch + TINY), math.ceil(end / view.pitch - TINY)
    while high - low > 1:
        middle = (low + high) // 2
        if view.count(begin, middle * view.pitch, landscape) < sheets:
            low = middle
        else:
            high = middle
    return low * view.pitch


def _keep(states: list[_State], new: _State) -> None:
    """Add a state unless another is at least as far in both respects; drop those that it beats."""
    if any(old[0] >= new[0] - TINY and old[1] >= new[1] - TINY for old in states):
        return
    states[:] = [old for old in states if old[0] > new[0] or old[1] > new[1]]
    states.append(new)
