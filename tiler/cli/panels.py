"""``tiler panels``: what the cuts and creases of a flat make."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.findings import structure_warnings
from tiler.load import Loaded, load
from tiler.plain import plain
from tiler.structure.model import Structure
from tiler.structure.structure import to_json
from tiler.units import format_number

if TYPE_CHECKING:
    from tiler.fold.box import FoldedBox
    from tiler.fold.verdict import Verdict


def panels(options: argparse.Namespace) -> int:
    """Print panels, creases and the folded box on stdout, as tables or as JSON; write views where asked."""
    from tiler.cli.fold import folded, write_corners, write_views
    from tiler.cli.fold_choices import views_from

    views, job = views_from(options), job_from(options)
    loaded = load(job)
    for warning in (*loaded.flat.warnings, *structure_warnings(loaded)):
        talk(f"note: {warning}")
    is_needed = bool(views.view or views.corners or options.measure)
    box = folded(loaded, job.fold, is_needed)
    verdicts: dict[str, Verdict] = {}
    if box is not None:
        write_views(job, loaded, box, views)
        if views.corners or options.measure:
            from tiler.fold.of_flat import verdicts_of

            verdicts = verdicts_of(loaded, box)
        write_corners(job, loaded, box, views, verdicts)
    if options.json:
        print(json.dumps(_json(loaded.structure, box, verdicts), ensure_ascii=False, indent=1))
    else:
        _print(loaded, box, verdicts)
    return 0


def _json(structure: Structure, box: FoldedBox | None, verdicts: dict[str, Verdict]) -> dict[str, Any]:
    """Structure and box as plain data."""
    data = to_json(structure)
    if box is None:
        return {**data, "fold": None}
    from tiler.fold.to_json import fold_json, meetings_json, size_json

    if data["folded"] is None and box.size is not None:
        data["folded"] = size_json(box.size.size)
    return {**data, "meetings": meetings_json(box, verdicts), "fold": fold_json(box)}


def _print(loaded: Loaded, box: FoldedBox | None, verdicts: dict[str, Verdict]) -> None:
    """The structure and the box for people."""
    from rich.console import Console
    from rich.table import Table

    from tiler.cli.fold import fold_rows, meeting_rows, summary

    structure, console = loaded.structure, Console(highlight=False, markup=False)
    for line in (*_summary(structure), *(summary(box) if box else ())):
        console.print(line, soft_wrap=True)
    tables = [_panel_rows(structure), _crease_rows(structure), _name_rows(structure)]
    if box is not None:
        tables += [fold_rows(box), meeting_rows(box, verdicts)]
    for headings, rows in tables:
        if rows:
            table = Table(*headings, box=None, pad_edge=False, header_style="bold")
            for row in rows:
                table.add_row(*row)
            console.print(table)


Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]
"""Headings of a table and its rows."""


def _panel_rows(structure: Structure) -> Rows:
    """Panels with their sizes."""
    headings = ("panel", "width × height mm", "area cm²", "middle at")
    return headings, [
        (
            panel.id,
            f"{format_number(panel.width)} × {format_number(panel.height)}",
            format_number(panel.area / 100, 2),
            f"{format_number(panel.centre.x)}, {format_number(panel.centre.y)}",
        )
        for panel in structure.panels
    ]


def _crease_rows(structure: Structure) -> Rows:
    """Creases with their ends."""
    headings = ("crease between", "kind", "length mm", "from", "to", "known by")
    return headings, [
        (
            " and ".join(crease.panels) or "nothing",
            str(crease.kind),
            format_number(crease.length),
            f"{format_number(crease.start.x)}, {format_number(crease.start.y)}",
            f"{format_number(crease.end.x)}, {format_number(crease.end.y)}",
            str(crease.evidence),
        )
        for crease in structure.creases
    ]


def _name_rows(structure: Structure) -> Rows:
    """Layers and spot colours with what they were taken for."""
    headings = ("name in the file", "is a", "taken for", "lines")
    return headings, [
        (plain(name.name), name.source, str(name.kind or "artwork"), str(name.count))
        for name in structure.candidates
    ]


def _summary(structure: Structure) -> list[str]:
    """The whole in a few lines."""
    lines = [
        f"{len(structure.panels)} panels, {len(structure.creases)} creases; "
        f"outline {format_number(structure.outline_area / 100, 1)} cm², "
        f"creases {format_number(structure.crease_length)} mm, cuts {format_number(structure.cut_length)} mm"
    ]
    if structure.extent is not None:
        width, height = (format_number(side) for side in structure.extent.size)
        lines.append(f"overall {width} × {height} mm")
    return lines
