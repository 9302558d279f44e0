"""Rows of the folded box: how it stands, where its edges meet, and the angle of every crease. Pure."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from tiler.errors import UsageError
from tiler.fold.box import FoldedBox
from tiler.fold.choices import DEFAULTS, STANDS, FoldChoices
from tiler.fold.folding import How
from tiler.fold.hinges import Hinge
from tiler.fold.meetings import Meeting
from tiler.fold.strips import step_words
from tiler.fold.verdict import Verdict
from tiler.job import Job
from tiler.tui.row import Option, Row
from tiler.units import format_number, parse_length

BOX, MEETINGS, CREASES = "The box", "Where edges meet", "Creases"
CREASE, MEETING = "crease ", "meeting "
"""How the keys of such rows begin; the name follows."""

SMALL_STEP, LARGE_STEP = 5, 15
"""Steps of an angle, degrees."""
_CALIPERS = (0.3, 0.4, 0.5, 0.8, 1.5, 3.0)
"""Folding box board, then corrugated and grey board, mm (common practice, no source)."""
_THICKEST = 20.0
_ANGLES = (0, 45, 90, 120, 135, 180, -90)

STANDS_WORDS = {
    "auto": "as its text reads",
    "root": "on the root",
    "rim": "root on top",
    "bottom": "on its bottom edge",
    "top": "on its top edge",
    "left": "on its left edge",
    "right": "on its right edge",
}
_HOW: Mapping[How, str] = {
    "told": "as you told",
    "ring": "as its ring of panels closes",
    "closing edges": "so that cut edges close",
    "laid under": "so that it goes under a panel",
    "laid flat": "laid flat on its wall",
    "default": "for want of any sign",
}
_TO_SIDES = {"towards its end": "on", "towards its start": "back"}


@dataclass(frozen=True)
class FoldKnown:
    """What the rows depend on beside the job."""

    panels: tuple[str, ...] = ()
    """Names of all panels of the flat."""
    box: FoldedBox | None = None
    """None while it is being folded, and when it cannot be."""
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)
    """By meeting, as far as they have been looked at."""


def fold_rows(job: Job, known: FoldKnown) -> tuple[Row, ...]:
    """All rows, in the order of the screen."""
    rows = [_root(job, known), _stands(job, known), _caliper(job)]
    folded: set[frozenset[str]] = set()
    if known.box is not None:
        rows += [
            _meeting(known.box, meeting, known.verdicts.get(meeting.id)) for meeting in known.box.meetings
        ]
        folding = known.box.folding
        for node, hinge in sorted(folding.tree.hinged(), key=lambda pair: _number(pair[1])):
            found = folding.folds[node.panel.id]
            rows.append(_crease(job, hinge, found.angle, found.how))
            folded.add(frozenset((hinge.first, hinge.second)))
    rows += [_lost(job, told) for told in job.fold.angles if frozenset(told[:2]) not in folded]
    return tuple(rows)


def _number(hinge: Hinge) -> tuple[int, int]:
    """Order of creases: by the numbers of their panels."""
    return int(hinge.first[1:]), int(hinge.second[1:])


def is_odd(verdict: Verdict | None) -> bool:
    """True for a meeting that asks for a look."""
    return verdict is not None and verdict.kind in ("steps", "one side")


def turned_angle(job: Job, box: FoldedBox, name: str, degrees: int) -> Job:
    """The job with a crease folded by some degrees more, at the next whole step.

    Args:
        job: The present choices.
        box: The flat, folded so.
        name: Of the crease, as in ``P2/P5``.
        degrees: The step; below 0 for less.
    """
    for node, hinge in box.folding.tree.hinged():
        if hinge.name == name:
            angle = next_angle(box.folding.folds[node.panel.id].angle, degrees)
            return _with(job, job.fold.with_angle(hinge.first, hinge.second, angle))
    return job


def next_angle(angle: float, step: int) -> float:
    """The next multiple of a step, within half a turn either way.

    >>> next_angle(87.3, 5), next_angle(90, 15), next_angle(90, -5), next_angle(180, 15)
    (90.0, 105.0, 85.0, 180.0)
    """
    size = abs(step)
    steps = math.floor(angle / size + 1e-9) + 1 if step > 0 else math.ceil(angle / size - 1e-9) - 1
    return float(max(-180, min(180, steps * size)))


def meeting_words(box: FoldedBox, meeting: Meeting, verdict: Verdict | None) -> str:
    """One sentence on a meeting."""
    if verdict is None:
        return f"{meeting.id}: its art is being looked at."
    return f"{meeting.id}: {verdict.words(*meeting.panels, step_words(box, meeting))}."


def _with(job: Job, fold: FoldChoices) -> Job:
    return replace(job, fold=fold)


def _root(job: Job, known: FoldKnown) -> Row:
    root = job.fold.root
    found = f" ({known.box.folding.tree.root.id})" if known.box is not None and root is None else ""
    options = [Option(f"the largest{found}", _with(job, replace(job.fold, root=None)))]
    options += [Option(name, _with(job, replace(job.fold, root=name))) for name in known.panels]
    if root is not None and root not in known.panels:
        options.append(Option(root, job))
    return Row(
        "root",
        "Root panel",
        BOX,
        root or (found.strip(" ()") or "the largest"),
        "The panel that stays where it is; all others fold about it.",
        tuple(options),
        is_set=root is not None,
    )


def _stands(job: Job, known: FoldKnown) -> Row:
    stands = job.fold.stands
    options = tuple(
        Option(STANDS_WORDS[name], _with(job, replace(job.fold, stands=name)))  # type: ignore[arg-type]
        for name in STANDS
    )
    shown = STANDS_WORDS[stands]
    if stands == "auto" and known.box is not None:
        shown = STANDS_WORDS[known.box.standing.stands]
    return Row(
        "stands",
        "Stands",
        BOX,
        shown,
        "How the box stands in use, which tells what reads upside down.",
        options,
        is_set=stands != DEFAULTS.stands,
    )


def _caliper(job: Job) -> Row:
    caliper = job.fold.caliper
    values = sorted({*_CALIPERS, *(() if caliper is None else (caliper,))})
    options = [Option("not told", _with(job, replace(job.fold, caliper=None)))]
    options += [Option(_mm(value), _with(job, replace(job.fold, caliper=value))) for value in values]
    return Row(
        "caliper",
        "Board",
        BOX,
        "not told" if caliper is None else _mm(caliper),
        "Thickness of the production board, for the sizes inside and outside.",
        tuple(options),
        typed=lambda text: _with(job, replace(job.fold, caliper=_read_caliper(text))),
        hint="a thickness, as in 0.5mm",
        is_set=caliper is not None,
    )


def _read_caliper(text: str) -> float:
    """A thickness.

    Raises:
        UsageError: It is none of a board.
    """
    caliper = parse_length(text)
    if not 0 < caliper <= _THICKEST:
        raise UsageError(f"'{text}' is no thickness of board", "write 0.3mm to 20mm")
    return caliper


def _mm(value: float) -> str:
    return f"{format_number(value, 2)} mm"


def _crease(job: Job, hinge: Hinge, angle: float, how: How) -> Row:
    first, second = hinge.first, hinge.second
    is_told = job.fold.told(first, second) is not None
    options = [Option("as found", _with(job, _untold(job.fold, first, second)))]
    options += [Option(f"{a}°", _with(job, job.fold.with_angle(first, second, float(a)))) for a in _ANGLES]
    way = "stays flat" if angle == 0 else f"folds {format_number(abs(angle))}°"
    side = "" if angle == 0 else " away from the print" if angle > 0 else " towards the print"
    return Row(
        f"{CREASE}{hinge.name}",
        hinge.name,
        CREASES,
        f"{format_number(angle)}°{' told' if is_told else ''}",
        f"{hinge.name} {way}{side}, {_HOW[how]}.",
        tuple(options),
        less=_with(job, job.fold.with_angle(first, second, next_angle(angle, -SMALL_STEP))),
        more=_with(job, job.fold.with_angle(first, second, next_angle(angle, SMALL_STEP))),
        typed=lambda text: _with(job, job.fold.with_angle(first, second, _read_angle(text))),
        hint="degrees from -180 to 180",
        is_set=is_told,
    )


def _read_angle(text: str) -> float:
    """Degrees.

    Raises:
        UsageError: It is no angle.
    """
    words = text.strip().rstrip("°").strip().replace(",", ".").replace("−", "-")
    try:
        angle = float(words)
    except ValueError:
        angle = math.nan
    if not abs(angle) <= 180:
        raise UsageError(f"'{text}' is no angle of a crease", "write degrees from -180 to 180, as in 90")
    return angle


def _untold(fold: FoldChoices, first: str, second: str) -> FoldChoices:
    """The choices without what was told of one crease."""
    kept = tuple(told for told in fold.angles if {told[0], told[1]} != {first, second})
    return replace(fold, angles=kept)


def _lost(job: Job, told: tuple[str, str, float]) -> Row:
    """An angle that was told of a crease that is not folded."""
    first, second, angle = told
    return Row(
        f"lost {first}/{second}",
        f"{first}/{second}",
        CREASES,
        f"{format_number(angle)}° unused",
        "This angle was told, but no such crease is folded; let it go, or choose another root panel.",
        (Option("keep it", job), Option("let it go", _with(job, _untold(job.fold, first, second)))),
        is_set=True,
    )


def _meeting(box: FoldedBox, meeting: Meeting, verdict: Verdict | None) -> Row:
    first, second = meeting.panels
    return Row(
        f"{MEETING}{meeting.id}",
        f"{meeting.id} {first}–{second}",
        MEETINGS,
        _short(box, meeting, verdict),
        meeting_words(box, meeting, verdict),
        is_set=is_odd(verdict),
    )


def _short(box: FoldedBox, meeting: Meeting, verdict: Verdict | None) -> str:
    """A verdict in a few letters."""
    if verdict is None:
        return "…"
    if verdict.kind == "one side":
        return f"bare on {meeting.panels[0] if verdict.bare == 'a' else meeting.panels[1]}"
    if verdict.kind == "steps" and verdict.step is not None:
        word = step_words(box, meeting)[0 if verdict.step > 0 else 1]
        word = _TO_SIDES.get(word, word.removeprefix("to the "))
        return f"steps {format_number(abs(verdict.step))} mm {word}"
    return {"no art": "no art", "matches": "meets"}.get(verdict.kind, "changes here")
