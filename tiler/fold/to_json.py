"""What folding tells, as plain data for ``tiler panels --json``; lengths in mm, rounded to a micrometre."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tiler.fold.box import FoldedBox
from tiler.fold.meetings import Meeting, Side
from tiler.fold.standing import Upright
from tiler.fold.strips import step_words
from tiler.fold.verdict import Verdict
from tiler.structure.folded import Folded


def meetings_json(box: FoldedBox, verdicts: Mapping[str, Verdict]) -> list[dict[str, Any]]:
    """All meetings; ``art`` is there for those that were measured."""
    return [_meeting(box, meeting, verdicts.get(meeting.id)) for meeting in box.meetings]


def _meeting(box: FoldedBox, meeting: Meeting, verdict: Verdict | None) -> dict[str, Any]:
    data: dict[str, Any] = {
        "id": meeting.id,
        "a": _side(meeting.a),
        "b": _side(meeting.b),
        "length": round(meeting.length, 3),
        "gap": round(meeting.gap, 3),
    }
    if verdict is not None:
        data["art"] = {
            "verdict": verdict.kind,
            "step": None if verdict.step is None else round(verdict.step, 2),
            "at": None if verdict.at is None else round(verdict.at, 1),
            "formula": "CIEDE2000",
            "mean": round(verdict.difference, 2),
            "largest": round(verdict.largest, 2),
            "share": round(verdict.odd, 3),
            "words": verdict.words(*meeting.panels, step_words(box, meeting)),
        }
    return data


def _side(side: Side) -> dict[str, Any]:
    return {
        "panel": side.panel,
        "x1": round(side.start.x, 3),
        "y1": round(side.start.y, 3),
        "x2": round(side.end.x, 3),
        "y2": round(side.end.y, 3),
    }


def fold_json(box: FoldedBox) -> dict[str, Any]:
    """Root, angles, what is up, what does not fold, and the board."""
    tree, standing = box.folding.tree, box.standing
    folds = [
        {
            "panels": [hinge.first, hinge.second],
            "angle": round(box.folding.folds[node.panel.id].angle, 3),
            "how": box.folding.folds[node.panel.id].how,
        }
        for node, hinge in tree.hinged()
    ]
    return {
        "root": tree.root.id,
        "folds": folds,
        "stands": standing.stands,
        "up": [_upright(panel) for panel in standing.panels],
        "upside_down": list(standing.upside_down),
        "board": _board(box),
        "reports": list(box.reports),
    }


def _upright(panel: Upright) -> dict[str, Any]:
    turn = None if panel.turn is None else round(panel.turn, 2) + 0.0
    return {"panel": panel.panel, "turn": turn, "reads": panel.reads}


def _board(box: FoldedBox) -> dict[str, Any] | None:
    """Inside and outside for the board's caliper; None when it is not known."""
    caliper = box.folding.choices.caliper
    if box.size is None or caliper is None:
        return None
    sizes = {"inside": box.size.inside(caliper), "outside": box.size.outside(caliper)}
    return {"caliper": caliper, **{name: size_json(size) for name, size in sizes.items()}}


def size_json(size: Folded) -> dict[str, float]:
    """Length, width, depth."""
    return {name: round(value, 3) for name, value in size._asdict().items()}
