"""What a job says about itself: JSON for programs, words and tables for people."""

from __future__ import annotations

from typing import Any

from tiler.geometry import Rect
from tiler.pack.inside_notes import turn_words
from tiler.plan.tile import Seam, Tile
from tiler.printers.sheets import sheet_label
from tiler.run import Outcome, Prepared
from tiler.units import format_number

DECIMALS = 4
"""Lengths in JSON are rounded to a tenth of a micrometre."""


def plan_json(prepared: Prepared) -> dict[str, Any]:
    """The plan, version 1: all lengths in mm, coordinates from the top left of the tiled box."""
    plan, flat, job = prepared.plan, prepared.flat, prepared.job
    return {
        "version": 1,
        "unit": "mm",
        "flat": {
            "file": flat.path.name,
            "page": flat.page,
            "box": flat.box,
            "width": _mm(plan.flat.width),
            "height": _mm(plan.flat.height),
            "sha256": flat.sha256,
        },
        "sheet": {
            "name": plan.sheet.name,
            "width": _mm(plan.sheet.size.width),
            "height": _mm(plan.sheet.size.height),
        },
        "printer": _printer_json(prepared),
        "inside": _inside_json(prepared),
        "scale": job.scale,
        "overlap": _mm(plan.overlap),
        "layout": plan.layout,
        "direction": plan.direction,
        "sheets": len(plan.tiles),
        "grid_sheets": plan.grid_sheets,
        "pages": {"map": [], "assembly": [], "proof": [], "corners": []},
        "tiles": [_tile_json(tile) for tile in plan.tiles],
        "seams": [_seam_json(seam) for seam in plan.seams],
        "structure": {
            "cuts": len(prepared.loaded.structure.cuts),
            "creases": len(prepared.loaded.structure.creases),
            "evidence": list(prepared.loaded.structure.evidence_words),
        },
        "warnings": list(prepared.warnings),
    }


def outcome_json(outcome: Outcome) -> dict[str, Any]:
    """The plan with the pages of the pack that was written; a tile that was not printed has page null."""
    result = plan_json(outcome.prepared)
    result["pages"] = {
        "map": list(outcome.map_pages),
        "assembly": list(outcome.assembly_pages),
        "proof": list(outcome.proof_pages),
        "corners": list(outcome.corner_pages),
    }
    result["warnings"] += outcome.notes
    for tile in result["tiles"]:
        tile["page"] = page = outcome.tile_pages.get(tile["label"])
        tile["back"] = page + 1 if page is not None and outcome.sides == 2 else None
    result["pack"] = {"file": outcome.output.name, "bytes": outcome.size}
    return result


def closing_words(outcome: Outcome) -> list[str]:
    """What was written and what to do with it."""
    printed, whole = len(outcome.tile_pages), len(outcome.prepared.plan.tiles)
    sheets = f"{printed} sheet{'s' if printed != 1 else ''}" + (f" of {whole}" if printed != whole else "")
    maps = outcome.map_pages
    first = f"page {maps[0]}" if len(maps) == 1 else f"pages {_page_words(maps)}"
    lines = [
        f"{outcome.output}: {sheets} of {_sheet_words(outcome.prepared)} with {pages_words(outcome)} "
        f"({_size_words(outcome.size)})",
        f"Print {first} (the map) first, at 100 % with no fitting, and check its scale bars "
        "before you print the rest.",
    ]
    if outcome.sides == 2:
        lines[1] = (
            f"Print the map with its back (pages {_page_words(outcome.first_pages)}) first, "
            f"{turn_words(outcome.prepared.job.flip)}, at 100 % with no fitting; check its scale bars, and "
            "against the light those on its back, before you print the rest."
        )
    saved = outcome.prepared.plan.grid_sheets - whole
    if saved > 0:
        lines[0] += f", {saved} fewer than a plain grid"
    lines[0] = "; ".join((lines[0], *outcome.notes))
    return lines


def pages_words(outcome: Outcome) -> str:
    """The pages that a pack has beside its tiles."""
    names = ["map", "assembly page"]
    names += ["proof list"] if outcome.proof_pages else []
    names += ["corner strips"] if outcome.corner_pages else []
    return f"{', '.join(names[:-1])} and {names[-1]}"


def print_plan(prepared: Prepared) -> None:
    """The plan as a table on stdout."""
    from rich.console import Console
    from rich.table import Table

    plan = prepared.plan
    console = Console(highlight=False, markup=False)
    width, height = (format_number(side) for side in plan.flat)
    console.print(
        f"{prepared.flat.path.name}, page {prepared.flat.page}, {prepared.flat.box} box: "
        f"{width} × {height} mm",
        soft_wrap=True,
    )
    console.print(
        f"{len(plan.tiles)} sheets of {_sheet_words(prepared)} ({plan.layout}; a plain grid needs "
        f"{plan.grid_sheets})",
        soft_wrap=True,
    )
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in ("tile", "sheet", "face from", "face size", "joins"):
        table.add_column(heading)
    for tile in plan.tiles:
        table.add_row(*_row(tile))
    console.print(table)
    for seam in plan.seams:
        if seam.why:
            console.print(f"{seam.lower} | {seam.upper}: {seam.why}", soft_wrap=True)


def _printer_json(prepared: Prepared) -> dict[str, Any] | None:
    """The profile and what it says of the printer: printed over true length, and the lean of the y axis."""
    profile = prepared.profile
    if profile is None:
        return None
    measured = profile.measured.isoformat() if profile.measured else None
    return {
        "name": profile.name,
        "scale_x": profile.scale_x,
        "scale_y": profile.scale_y,
        "skew": profile.skew,
        "measured": measured,
    }


def _inside_json(prepared: Prepared) -> dict[str, Any] | None:
    """The inside print on the backs, and the edge over which sheets are turned."""
    inside = prepared.loaded.inside
    if inside is None:
        return None
    return {
        "file": inside.path.name,
        "page": inside.page,
        "box": inside.box,
        "sha256": inside.sha256,
        "flip": prepared.job.flip,
    }


def _page_words(pages: tuple[int, ...]) -> str:
    """Page numbers that follow each other."""
    return f"{pages[0]} and {pages[1]}" if len(pages) == 2 else f"{pages[0]} to {pages[-1]}"


def _row(tile: Tile) -> tuple[str, ...]:
    """One line of the table."""
    x, y, width, height = (format_number(value) for value in tile.face)
    joins = [f"right {', '.join(tile.right)}"] if tile.right else []
    joins += [f"below {', '.join(tile.below)}"] if tile.below else []
    lies = "landscape" if tile.landscape else "portrait"
    return tile.label, lies, f"{x}, {y}", f"{width} × {height} mm", "; ".join(joins)


def _tile_json(tile: Tile) -> dict[str, Any]:
    """One tile; ``place`` is where the window's top-left corner lies on the sheet."""
    return {
        "label": tile.label,
        "page": None,
        "back": None,
        "sheet": {"width": _mm(tile.sheet.width), "height": _mm(tile.sheet.height)},
        "face": _rect_json(tile.face),
        "window": _rect_json(tile.window),
        "place": {"x": _mm(tile.place.x), "y": _mm(tile.place.y)},
        "neighbours": {"right": list(tile.right), "below": list(tile.below)},
    }


def _seam_json(seam: Seam) -> dict[str, Any]:
    """One seam."""
    return {
        "x1": _mm(seam.start.x),
        "y1": _mm(seam.start.y),
        "x2": _mm(seam.end.x),
        "y2": _mm(seam.end.y),
        "upper": seam.upper,
        "lower": seam.lower,
        "penalty": round(seam.penalty, 3),
        "why": seam.why,
    }


def _rect_json(rect: Rect) -> dict[str, float]:
    """A rectangle."""
    return {
        "x": _mm(rect.x),
        "y": _mm(rect.y),
        "width": _mm(rect.width),
        "height": _mm(rect.height),
    }


def _mm(value: float) -> float:
    """A length, without the noise of binary fractions."""
    return round(value, DECIMALS) + 0.0


def _sheet_words(prepared: Prepared) -> str:
    """The sheet as people call it, with its size."""
    sheet = prepared.plan.sheet
    width, height = (format_number(side) for side in sheet.size)
    size, label = f"{width} × {height} mm", sheet_label(sheet)
    return label if label == size else f"{label} ({size})"


def _size_words(size: int) -> str:
    """A file size."""
    return f"{size / 1e6:.1f} MB" if size >= 1_000_000 else f"{max(1, round(size / 1e3))} KB"
