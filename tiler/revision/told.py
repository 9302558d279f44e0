"""What a comparison has found: JSON for programs, words for people."""

from __future__ import annotations

from typing import Any

from tiler.geometry import Rect
from tiler.revision.changes import Changes
from tiler.revision.reprint import Reprinted, text_words
from tiler.units import format_number

DECIMALS = 4
"""Lengths in JSON are rounded to a tenth of a micrometre."""


def changes_json(changes: Changes, written: Reprinted | None = None) -> dict[str, Any]:
    """The comparison, version 1: all lengths mm on paper, coordinates from the top left of the tiled box."""
    return {
        "version": 1,
        "unit": "mm",
        "part": changes.old.part or None,
        "old": _flat_json(changes.old.flat),
        "new": _flat_json(changes.new.flat),
        "changed": list(changes.changed),
        "unchanged": list(changes.unchanged),
        "moved": bool(changes.moved),
        "why": changes.moved,
        "shift": None if changes.shift is None else {"x": _mm(changes.shift.x), "y": _mm(changes.shift.y)},
        "tiles": {label: {"changed_mm2": round(area, 2)} for label, area in changes.tiles.items()},
        "areas": [
            {
                **_rect_json(area.rect),
                "changed_mm2": round(area.changed, 2),
                "tiles": list(changes.labels_at(area.rect)),
                "side": "inside" if area.inside else "outside",
            }
            for area in changes.areas
        ],
        "texts": [
            {"old": text.old, "new": text.new, **_rect_json(text.box), "moved": _mm(text.distance)}
            for text in changes.texts
        ],
        "pack": None if written is None else _pack_json(written),
    }


def found_words(changes: Changes) -> list[str]:
    """What has changed, a line each, without what to do about it."""
    old, new = changes.old.flat, changes.new.flat
    if changes.moved:
        return [f"{new.path.name}: {changes.moved}, so the sheets of {old.path.name} do not fit it"]
    if not changes.tiles:
        if old.sha256 == new.sha256 and old.page == new.page:
            return [f"{new.path.name} is {old.path.name}, byte for byte; nothing to print"]
        return [
            f"{new.path.name} was saved anew, but shows the same as {old.path.name} on every sheet; "
            "nothing to print"
        ]
    count, whole = len(changes.tiles), len(changes.plan.tiles)
    lines = [f"{count} of {whole} sheets changed: {', '.join(changes.changed)}"]
    for area in changes.areas[:LISTED]:
        width, height = (format_number(max(side, 0.1)) for side in area.rect.size)
        x, y = format_number(area.rect.x), format_number(area.rect.y)
        where = ", ".join(changes.labels_at(area.rect)) + (" inside" if area.inside else "")
        lines.append(f"  {where}: {width} × {height} mm at {x}, {y} mm")
    if len(changes.areas) > LISTED:
        lines.append(f"  and {len(changes.areas) - LISTED} more places")
    lines += [f"  {text_words(text)}" for text in changes.texts[:LISTED]]
    if len(changes.texts) > LISTED:
        lines.append(f"  and {len(changes.texts) - LISTED} more texts")
    return lines


LISTED = 20
"""Places and texts that are told one by one."""


def written_words(written: Reprinted) -> list[str]:
    """What was written and what to do with it."""
    count = len(written.tile_pages)
    sheets = f"{count} sheet{'s' if count != 1 else ''} ({', '.join(written.tile_pages)})"
    return [
        f"{written.output}: {sheets} with a map of the changes",
        "Print at 100 % with no fitting, on the printer that printed the others, and check the scale bars.",
    ]


def _pack_json(written: Reprinted) -> dict[str, Any]:
    """The pack that was written, with its pages."""
    return {
        "file": written.output.name,
        "bytes": written.size,
        "pages": {
            "map": list(written.map_pages),
            "pictures": list(written.picture_pages),
            "tiles": dict(written.tile_pages),
        },
    }


def _flat_json(flat: Any) -> dict[str, Any]:
    """One revision."""
    return {"file": flat.path.name, "page": flat.page, "sha256": flat.sha256}


def _rect_json(rect: Rect) -> dict[str, float]:
    """A rectangle."""
    sides = zip(("x", "y", "width", "height"), rect, strict=True)
    return {name: _mm(side) for name, side in sides}


def _mm(value: float) -> float:
    """A length, without the noise of binary fractions."""
    return round(value, DECIMALS) + 0.0
