"""Changes of text, as words: what was there, what is there now, and where."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from tiler.geometry import Point, Rect

SAME_PLACE = 0.1
"""Text whose edges have moved less than this is where it was, mm: as much as is forgiven of other art."""

SAME_SIZE = 0.02
"""Share by which the type size may differ."""

NEAR = 6.0
"""A text may be the successor of another one this far away, mm (own choice, no source)."""


class Run(Protocol):
    """What is looked at in a run of text; ``tiler.flat.text.TextRun`` has it."""

    @property
    def text(self) -> str:
        """The letters."""

    @property
    def box(self) -> Rect:
        """Around the ink, flat millimetres."""

    @property
    def size(self) -> float:
        """Type size, pt."""

    @property
    def origin(self) -> Point:
        """Start of the base line, flat millimetres."""


@dataclass(frozen=True)
class TextChange:
    """Some words that are not what they were."""

    old: str
    """Empty when the words are new."""
    new: str
    """Empty when the words are gone."""
    box: Rect
    """Around the whole run that holds them, flat millimetres; the new one where there is one."""
    distance: float = 0.0
    """How far unchanged words have moved, mm."""


def text_changes(old: Sequence[Run], new: Sequence[Run]) -> tuple[TextChange, ...]:
    """What differs between the texts of two flats, from top to bottom.

    Runs that are the same in the same place drop out; of the rest each old run is paired with the most
    similar new one nearby, and pairs are told word by word.
    """
    gone, come = _unmatched(old, new)
    changes = []
    for before in gone:
        after = _successor(before, come)
        if after is None:
            changes.append(TextChange(before.text, "", before.box))
            continue
        come.remove(after)
        changes += _told(before, after)
    changes += [TextChange("", run.text, run.box) for run in come]
    return tuple(sorted(changes, key=lambda change: (change.box.y, change.box.x)))


def same_places(old: Sequence[Run], new: Sequence[Run]) -> tuple[Rect, ...]:
    """The boxes of all text that is the same in the same place, flat millimetres."""
    gone = {id(run) for run in _unmatched(old, new)[0]}
    return tuple(run.box for run in old if id(run) not in gone)


def _unmatched(old: Sequence[Run], new: Sequence[Run]) -> tuple[list[Run], list[Run]]:
    """The runs without an equal on the other side."""
    by_text: dict[str, list[Run]] = {}
    for run in new:
        by_text.setdefault(run.text, []).append(run)
    gone = []
    for run in old:
        equals = by_text.get(run.text, [])
        equal = next((other for other in equals if _is_same(run, other)), None)
        if equal is None:
            gone.append(run)
        else:
            equals.remove(equal)
    left = {id(run) for runs in by_text.values() for run in runs}
    return gone, [run for run in new if id(run) in left]


def _is_same(a: Run, b: Run) -> bool:
    """True for equal text at the same place in the same size."""
    return _distance(a.box, b.box) <= SAME_PLACE and abs(a.size - b.size) <= SAME_SIZE * a.size


def _distance(a: Rect, b: Rect) -> float:
    """The largest distance of corresponding edges, mm."""
    return max(abs(a.x - b.x), abs(a.y - b.y), abs(a.right - b.right), abs(a.bottom - b.bottom))


def _successor(run: Run, candidates: Sequence[Run]) -> Run | None:
    """The most similar run nearby, None when nothing is alike."""
    best, found = 0.4, None
    for other in candidates:
        if not run.box.grown(NEAR).overlaps(other.box) and other.text != run.text:
            continue
        alike = difflib.SequenceMatcher(None, run.text, other.text, autojunk=False).ratio()
        if run.box.overlaps(other.box):
            alike += 0.5
        if alike > best:
            best, found = alike, other
    return found


def _told(before: Run, after: Run) -> list[TextChange]:
    """The changes of one run, word by word."""
    if before.text == after.text:
        shift = max(abs(after.origin.x - before.origin.x), abs(after.origin.y - before.origin.y))
        return [TextChange(before.text, after.text, after.box, shift)]
    first, second = before.text.split(), after.text.split()
    matcher = difflib.SequenceMatcher(None, first, second, autojunk=False)
    return [
        TextChange(" ".join(first[a:b]), " ".join(second[c:d]), after.box)
        for kind, a, b, c, d in matcher.get_opcodes()
        if kind != "equal"
    ]
