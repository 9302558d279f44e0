"""From lines to the structure: network, faces, panels, creases and their measures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from tiler.structure.creases import Crease, chains_of, creases_of
from tiler.structure.faces import Face, sorted_faces
from tiler.structure.folded import folded_size
from tiler.structure.lines import Found
from tiler.structure.loose import loose_ends
from tiler.structure.mend import Mended, counted, mended
from tiler.structure.model import Structure, outlines
from tiler.structure.panels import named

_NEAR_END = 25.0
"""Two open ends of the outline this close together are told as one gap, mm."""


def read_structure(found: Found) -> Structure:
    """Panels, creases and measures out of the lines found."""
    if not found.lines:
        return Structure(candidates=found.candidates, layers=found.layers, reports=found.reports)
    joined = mended([line for line in found.lines if line.kind.is_border])
    split = sorted_faces(joined.network, joined.lines)
    faces, panels = named(split.panels)
    creases = creases_of(joined.network, joined.lines, faces, panels)
    is_fold = np.array([line.kind.is_fold for line in joined.lines], dtype=bool)[joined.network.owner]
    length = joined.network.length
    return Structure(
        lines=found.lines,
        panels=panels,
        creases=creases,
        holes=outlines([hole.polygon for hole in split.holes]),
        cuts=tuple(chains_of(joined.network, np.flatnonzero(~is_fold).tolist())),
        cut_length=float(length[~is_fold].sum()),
        crease_length=float(length[is_fold].sum()),
        outline_area=sum(panel.area for panel in panels),
        folded=folded_size(panels, creases),
        evidence=tuple(sorted({line.evidence for line in found.lines}, key=lambda evidence: evidence.rank)),
        candidates=found.candidates,
        layers=found.layers,
        reports=(*found.reports, *joined.reports, *split.reports, *_open_ends(joined, faces)),
    )


def to_json(structure: Structure) -> dict[str, Any]:
    """The structure as plain data for ``tiler panels --json``, version 1; lengths rounded to a micrometre."""
    return {
        "version": 1,
        "unit": "mm",
        "outline_area": round(structure.outline_area, 3),
        "panels": [
            {
                "id": panel.id,
                "area": round(panel.area, 3),
                "width": round(panel.width, 3),
                "height": round(panel.height, 3),
                "polygon": _rounded(panel.polygon),
                "holes": [_rounded(hole) for hole in panel.holes],
            }
            for panel in structure.panels
        ],
        "creases": [_crease_json(crease) for crease in structure.creases],
        "holes": [_rounded(hole) for hole in structure.holes],
        "crease_length": round(structure.crease_length, 3),
        "cut_length": round(structure.cut_length, 3),
        "folded": None
        if structure.folded is None
        else {name: round(value, 3) for name, value in structure.folded._asdict().items()},
        "evidence": list(structure.evidence_words),
        "candidates": [
            {"name": c.name, "source": c.source, "kind": c.kind and str(c.kind), "count": c.count}
            for c in structure.candidates
        ],
        "reports": list(structure.reports),
        "meetings": [],
    }


def _crease_json(crease: Crease) -> dict[str, Any]:
    data: dict[str, Any] = {
        "x1": round(crease.start.x, 3),
        "y1": round(crease.start.y, 3),
        "x2": round(crease.end.x, 3),
        "y2": round(crease.end.y, 3),
        "length": round(crease.length, 3),
        "kind": str(crease.kind),
        "panels": list(crease.panels),
        "evidence": str(crease.evidence),
    }
    if not crease.is_straight:
        data["points"] = _rounded(crease.points)
    return data


def _rounded(points: Sequence[tuple[float, float]]) -> list[list[float]]:
    return [[round(x, 3), round(y, 3)] for x, y in points]


def _open_ends(joined: Mended, faces: Sequence[Face]) -> list[str]:
    """Sentences on lines that end where nothing is."""
    if not len(joined.network.edges):
        return []
    ends = loose_ends(joined.network)
    kinds = [joined.lines[owner].kind for owner in joined.network.owner[ends.edge]]
    is_fold = np.array([kind.is_fold for kind in kinds], dtype=bool)
    is_inside = np.zeros(len(ends.edge), dtype=bool)
    if faces:
        tree = shapely.STRtree([face.polygon for face in faces])
        is_inside[tree.query(shapely.points(ends.place), predicate="within")[0]] = True
    reports = []
    if not faces:
        reports.append("the lines enclose no panel")
    if is_fold.any():
        x, y = ends.place[is_fold][0]
        number = counted(int(is_fold.sum()), "crease end")
        reports.append(f"{number} meeting no other line, at ({x:.1f}, {y:.1f}) mm")
    slits = int((~is_fold & is_inside).sum())
    if slits:
        reports.append(f"{counted(slits, 'cut end')} within a panel: a slit, or a line left open")
    outer = ends.place[~is_fold & ~is_inside]
    if len(outer):
        reports.append(_gap(outer))
    return reports


def _gap(places: Any) -> str:
    """The sentence for open ends of the outline, with the narrowest gap between two of them."""
    x, y = places[0]
    if 2 <= len(places) <= 2000:
        apart = np.hypot(*(places[:, None] - places[None, :]).transpose(2, 0, 1))
        np.fill_diagonal(apart, np.inf)
        first = int(apart.min(axis=1).argmin())
        if apart[first].min() <= _NEAR_END:
            x, y = places[first]
            gap = apart[first].min()
            return f"the outline is open at ({x:.1f}, {y:.1f}) mm, where the cut has a gap of {gap:.2f} mm"
    return f"{counted(len(places), 'cut end')} meeting no other line, at ({x:.1f}, {y:.1f}) mm"
