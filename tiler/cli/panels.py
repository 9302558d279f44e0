"""``tiler panels``: what the cuts and creases of a flat make."""

from __future__ import annotations

import argparse
import json

from tiler.cli.choices import job_from
from tiler.cli.parser import talk
from tiler.findings import structure_warnings
from tiler.load import Loaded, load
from tiler.structure.model import Structure
from tiler.structure.structure import to_json
from tiler.units import format_number


def panels(options: argparse.Namespace) -> int:
    """Print panels and creases on stdout, as tables or as JSON."""
    loaded = load(job_from(options))
    for warning in (*loaded.flat.warnings, *structure_warnings(loaded)):
        talk(f"note: {warning}")
    if options.json:
        print(json.dumps(to_json(loaded.structure), ensure_ascii=False, indent=1))
    else:
        _print(loaded)
    return 0


def _print(loaded: Loaded) -> None:
    """The structure for people."""
    from rich.console import Console
    from rich.table import Table

    structure, console = loaded.structure, Console(highlight=False)
    for line in _summary(structure):
        console.print(line, soft_wrap=True)
    for headings, rows in (_panel_rows(structure), _crease_rows(structure), _name_rows(structure)):
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
        (name.name, name.source, str(name.kind or "artwork"), str(name.count))
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
    if structure.folded is not None:
        sides = (structure.folded.length, structure.folded.width, structure.folded.depth)
        lines.append(f"folded {' × '.join(format_number(side) for side in sides)} mm, between crease centres")
    return lines
