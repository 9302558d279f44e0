"""Put the seams of one chain where they harm least, the number of sheets being fixed.

Layer *j* holds every state after *j* sheets: a seam at each millimetre of its slack, or a break at a gap. The
best way through the layers is found by dynamic programming, so nothing on the lattice is better.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.plan.chain import TINY, Fees, Rule, mirrored, reaches
from tiler.plan.penalties import APART, EVEN, LONE, Numbers, narrowness
from tiler.plan.region import Span
from tiler.plan.request import LEAST_FACE


@dataclass(frozen=True, eq=False)
class States:
    """Ways to end one face and begin the next; arrays of equal length."""

    end: Numbers
    """Where the face before ends, mm."""
    begin: Numbers
    """Where the next face begins, mm."""
    joined: npt.NDArray[np.bool_]
    """True at a seam, False at a break."""
    done: npt.NDArray[np.int64]
    """How many stretches lie wholly before; used at breaks alone."""
    cost: Numbers


@dataclass(frozen=True)
class Task:
    """One chain to be placed."""

    stretches: tuple[Span, ...]
    """What to cover, mm."""
    room: float
    """Printable length of a sheet, mm."""
    fees: Fees
    rule: Rule
    held: tuple[float, ...]
    """For each stretch the length, mm, by which tabs of the neighbouring strips can hold it."""
    step: float = 1.0
    """Pitch of the lattice, mm."""


Placed = tuple[float, tuple[Span, ...]]
"""Cost and the faces from begin to end, mm."""


def place(task: Task, seam_cost: Callable[[Numbers], Numbers]) -> Placed:
    """The cheapest chain with the fewest sheets; infinite cost when there is none.

    Args:
        task: What to cover and with which sheets.
        seam_cost: Gives the penalty of a seam at each of many places.
    """
    ahead = reaches(task.stretches, task.room, task.fees, task.rule)
    back = reaches(mirrored(task.stretches), task.room, task.fees.mirrored, task.rule.mirrored)
    if ahead is None or back is None:
        return math.inf, ()
    count = len(ahead)
    layers = [_ends(task, first=True)]
    for done in range(1, count):
        layers.append(_layer(task, -back[count - done - 1], ahead[done - 1], seam_cost))
    layers.append(_ends(task, first=False))
    return _cheapest(task, layers)


def _ends(task: Task, first: bool) -> States:
    """The one state before the first face, or behind the last."""
    at = task.stretches[0][0] if first else task.stretches[-1][1]
    done = 0 if first else len(task.stretches)
    where = np.array([at])
    return States(where, where, np.array([False]), np.array([done]), np.zeros(1))


def _layer(task: Task, low: float, high: float, seam_cost: Callable[[Numbers], Numbers]) -> States:
    """All states between two faces whose seam may lie from ``low`` to ``high``."""
    seams = lattice(low, high, task.step, task.rule)
    gaps = list(itertools.pairwise(task.stretches))
    end = np.concatenate((seams, [before[1] for before, _ in gaps]))
    begin = np.concatenate((seams, [after[0] for _, after in gaps]))
    joined = np.arange(len(end)) < len(seams)
    done = np.concatenate((np.zeros(len(seams), dtype=np.int64), np.arange(1, len(gaps) + 1)))
    cost = np.concatenate((seam_cost(seams), np.full(len(gaps), APART)))
    return States(end, begin, joined, done, cost)


def lattice(low: float, high: float, step: float, rule: Rule) -> Numbers:
    """Allowed places: both limits, the whole steps between them, pins and edges of forbidden stretches."""
    if low > high + TINY:
        return np.empty(0)
    steps = np.arange(math.ceil(low / step), math.floor(high / step) + 1) * step
    fixed = [place for place in (*rule.pins, *(edge for pair in rule.forbidden for edge in pair))]
    extra = [low, high, *(place for place in fixed if low < place < high)]
    places = np.array(sorted(set(np.concatenate((steps, extra)).round(6).tolist())))
    for start, end in rule.forbidden:
        places = places[(places <= start + TINY) | (places >= end - TINY)]
    return places


def _cheapest(task: Task, layers: Sequence[States]) -> Placed:
    """The cheapest way from the first layer to the last."""
    total, choices = layers[0].cost, []
    for left, right in itertools.pairwise(layers):
        costs = total[:, None] + _step_cost(task, left, right)
        best = np.argmin(costs, axis=0) if len(total) else np.zeros(len(right.end), dtype=np.int64)
        choices.append(best)
        total = costs[best, np.arange(len(best))] + right.cost
        if not np.isfinite(total).any():
            return math.inf, ()
    index, faces = 0, []
    for layer in range(len(layers) - 1, 0, -1):
        before = int(choices[layer - 1][index])
        faces.append((float(layers[layer - 1].begin[before]), float(layers[layer].end[index])))
        index = before
    return float(total[0]), tuple(reversed(faces))


def _step_cost(task: Task, left: States, right: States) -> Numbers:
    """What the face between two states costs; infinite where it cannot be."""
    size = right.end[None, :] - left.begin[:, None]
    start = np.where(left.joined, task.fees.start_joined, task.fees.start_free)
    end = np.where(right.joined, task.fees.end_joined, task.fees.end_free)
    fits = (size > TINY) & (size + start[:, None] + end[None, :] <= task.room + TINY)
    cost = EVEN * (size / task.room) ** 2 + narrowness(size)
    loose = ~left.joined[:, None] & ~right.joined[None, :]
    if loose.any():
        held = np.concatenate(([0.0], np.cumsum(task.held)))
        grip = held[right.done][None, :] - held[left.done][:, None]
        cost = cost + np.where(loose & (grip < LEAST_FACE - TINY), LONE, 0.0)
    for pin in task.rule.pins:
        if any(a + TINY < pin < b - TINY for a, b in task.stretches):
            fits &= ~((left.begin[:, None] < pin - TINY) & (right.end[None, :] > pin + TINY))
    return np.where(fits, cost, math.inf)
