"""Does art meet at a corner? Measured along both edges, and told in one sentence.

Where the colours differ, the art of one panel is shifted along the edge until it fits the other best; that
shift is the step that a person would see. It is looked for at two depths from the edge, and the line through
both gives the step at the edge itself, so that art that runs slantwise over the corner is judged fairly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from tiler.fold.colour import ciede2000
from tiler.fold.rigid import Array
from tiler.fold.sampling import DEEPER, STEP, Profile, Sampled
from tiler.units import format_number

Flags = npt.NDArray[np.bool_]
Kind = Literal["no art", "one side", "matches", "steps", "changes"]
"""``changes``: the art changes at the edge, as between walls of two colours; no step is to be seen."""

REACH = 6.0
"""Steps up to this are looked for, mm."""
SEEN = 5.0
"""CIEDE2000 from which two flat colours side by side plainly differ (common practice, no source)."""
EVERY = 0.5
"""The colour difference is told from samples this far apart, mm."""
SMALLEST = 0.25
"""Steps below this are within what hands can fold, mm (common practice, no source)."""
ACUITY = 0.2
"""Finer displacements are neither seen nor folded, mm; an arc minute at 400 mm is 0.12 mm."""
_BARE = 2.0
"""CIEDE2000 from paper white up to which board counts as bare."""
_MOSTLY = 0.97
"""Share of an edge that is bare when the panel has no art there."""
_BETTER = 0.5
"""A shift counts when it leaves no more than this share of the difference."""
_STRAY = 0.1
"""Share of the edge that may differ in a match: things that end at the edge or run along it."""
_END = 5
"""Samples at either end of an edge that are not judged, for knife and crease are never that exact: 0.5 mm."""
_WHITE = np.array([100.0, 0.0, 0.0])


@dataclass(frozen=True)
class Verdict:
    """How the art meets at one edge."""

    kind: Kind
    step: float | None
    """How far the art moves along the edge from the first panel to the second, mm, from the meeting's start
    to its end; None when no shift makes it fit."""
    at: float | None
    """Where along the meeting the step or the difference is largest, mm from its start."""
    difference: float
    """Mean CIEDE2000 along the edge."""
    largest: float
    """Largest CIEDE2000 along the edge."""
    odd: float
    """Share of the edge where the colours differ by more than ``SEEN``."""
    bare: str = ""
    """The panel without art, where only one has any: ``a`` or ``b``."""

    def words(self, first: str, second: str, direction: tuple[str, str]) -> str:
        """The verdict as the end of a sentence.

        Args:
            first: Name of the first panel.
            second: Name of the second panel.
            direction: What a step towards the end of the meeting is called, and one towards its start.
        """
        if self.kind == "no art":
            return "no art runs to this edge"
        if self.kind == "one side":
            bare, other = (first, second) if self.bare == "a" else (second, first)
            return f"art of {other} meets bare board on {bare}"
        mean, most = format_number(self.difference), format_number(self.largest)
        colours = f"CIEDE2000 {mean} on average, {most} at most"
        share = format_number(100 * self.odd, 0)
        if self.kind == "steps" and self.step is not None:
            word = direction[0] if self.step > 0 else direction[1]
            step = format_number(abs(self.step))
            return f"artwork steps {step} mm {word} from {first} to {second} ({colours})"
        if self.kind == "matches":
            but = f" but for {share} % of the edge" if share != "0" else ""
            return f"artwork meets{but} (step {format_number(abs(self.step or 0.0))} mm)"
        return f"artwork changes at the edge on {share} % of it, no step found up to {REACH:g} mm ({colours})"


def judge(found: Sampled) -> Verdict:
    """Compare the art along two edges."""
    a, b = found.a.near, found.b.near
    difference = _least(a, b)
    told = difference[:: round(EVERY / STEP)]
    mean, largest = float(told.mean()), float(told.max())
    odd = difference > SEEN
    odd[:_END] = odd[-_END:] = False
    share = float(odd.sum()) / max(1, len(odd) - 2 * _END)
    measured = (mean, largest, share)
    bare_a, bare_b = (float((ciede2000(side, _WHITE) < _BARE).mean()) for side in (a, b))
    if min(bare_a, bare_b) >= _MOSTLY:
        return Verdict("no art", None, None, *measured)
    if max(bare_a, bare_b) >= _MOSTLY and abs(bare_a - bare_b) > 1 - _MOSTLY:
        return Verdict("one side", None, None, *measured, "a" if bare_a > bare_b else "b")
    if not odd.any():
        return Verdict("matches", 0.0, None, *measured)
    step, at = _step(found, odd)
    if step is not None and abs(step) >= SMALLEST:
        return Verdict("steps", step, at, *measured)
    if step is not None or share <= _STRAY:
        return Verdict("matches", step or 0.0, None, *measured)
    return Verdict("changes", None, float(np.argmax(difference)) * STEP, *measured)


def _least(a: Array, b: Array) -> Array:
    """CIEDE2000 along the edge; each sample may meet one that lies within ``ACUITY`` on the other side."""
    slack = round(ACUITY / STEP)
    count, found = len(a), np.full(len(a), np.inf)
    for shift in range(-slack, slack + 1):
        first, last = max(0, -shift), min(count, count - shift)
        there = ciede2000(a[first:last], b[first + shift : last + shift])
        found[first:last] = np.minimum(found[first:last], there)
    return found


def _step(found: Sampled, odd: Flags) -> tuple[float | None, float | None]:
    """The step that explains most of the difference, at the edge itself, and where it is."""
    best: tuple[float, float, float] | None = None
    fitted = 0.0
    for begin, end in _stretches(odd):
        near = _shift(found.a.near, found.b.near, begin, end)
        total = float(np.linalg.norm(found.a.near[begin:end] - found.b.near[begin:end], axis=1).sum())
        if near is None:
            fitted -= total
            continue
        fitted += total
        shift = near - _slant(found.a, found.b, begin, end, near, found.depth)
        if best is None or total > best[0]:
            best = total, shift, (begin + end) / 2 * STEP
    if best is None or fitted <= 0:
        return None, None
    return best[1], best[2]


def _slant(a: Profile, b: Profile, begin: int, end: int, near: float, depth: float) -> float:
    """The part of a shift that comes from art running slantwise over the corner, mm."""
    deep = _shift(a.deep, b.deep, begin, end, better=1.0)
    if deep is None or abs(deep - near) > 2.2 * DEEPER:
        return 0.0
    return (deep - near) * depth / DEEPER


def _stretches(odd: Flags) -> list[tuple[int, int]]:
    """Stretches round all places that differ, widened by the reach; those that touch are joined."""
    reach = round(REACH / STEP)
    stretches: list[tuple[int, int]] = []
    for place in np.flatnonzero(odd).tolist():
        begin, end = max(0, place - reach), min(len(odd), place + reach + 1)
        if stretches and begin <= stretches[-1][1]:
            stretches[-1] = (stretches[-1][0], end)
        else:
            stretches.append((begin, end))
    return stretches


def _shift(a: Array, b: Array, begin: int, end: int, better: float = _BETTER) -> float | None:
    """The shift that fits a stretch of one edge to the other best, mm; None when none fits much better.

    ``better`` is the share of the difference that it may leave.
    """
    reach = round(REACH / STEP)
    shifts = range(-reach, reach + 1)
    costs = np.array([_cost(a, b, begin, end, shift) for shift in shifts])
    if not np.isfinite(costs).any():
        return None
    best = int(np.argmin(costs))
    stays = costs[reach]
    if costs[best] > better * stays:
        return None
    fine = 0.0
    if 0 < best < len(costs) - 1 and np.isfinite(costs[best - 1 : best + 2]).all():
        left, middle, right = costs[best - 1 : best + 2]
        if left - 2 * middle + right > 1e-9:
            fine = 0.5 * (left - right) / (left - 2 * middle + right)
    return float((best + fine - reach) * STEP)


def _cost(a: Array, b: Array, begin: int, end: int, shift: int) -> float:
    """Mean distance in Lab between a stretch of ``a`` and the stretch of ``b`` that far on."""
    first, last = max(begin, -shift, 0), min(end, len(b) - shift, len(a))
    if last - first < 0.5 * (end - begin):
        return float("inf")
    return float(np.linalg.norm(a[first:last] - b[first + shift : last + shift], axis=1).mean())
