"""Colour spaces that a page speaks of, out of its resources, its pictures and its content."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, StreamObject

from tiler.checks.overprint import WhiteSpot, has_overprint, white_overprints
from tiler.flat.boxes import inherited
from tiler.flat.content import page_content, stream_data
from tiler.flat.layers import hidden_layers
from tiler.flat.limits import raised_limits, readable
from tiler.flat.pdf import PdfFlat

DEEPEST = 24
"""Forms within forms that are looked into."""

_RGB = re.compile(rb"(?<=[\s\d.])(?:rg|RG)(?=\s|$)")
_CMYK = re.compile(rb"(?<=[\s\d.])[kK](?=\s|$)")
_SPACE = re.compile(rb"\s")
PIECE = 250_000
"""Bytes that are searched at once, in 6 to 11 ms (measured on a page of 200,000 paths)."""

_NOT_SPOTS = ("All", "None", "Cyan", "Magenta", "Yellow", "Black")


@dataclass
class Inventory:
    """What was found."""

    spots: dict[str, None] = field(default_factory=dict)
    """Names of spot colours, in order of appearance."""
    rgb: dict[str, int] = field(default_factory=dict)
    """Where RGB is used (``picture``, ``tint``, ``shading or pattern``), and how often."""
    process: bool = False
    """True when CMYK is used."""
    white_overprints: list[WhiteSpot] = field(default_factory=list)
    is_whole: bool = True
    """False when the page was too long to look for white overprints to its end."""


def take_inventory(flat: PdfFlat, name: str) -> Inventory:
    """Look through a page.

    Args:
        flat: The page.
        name: The file, for messages.

    Raises:
        FlatError: The page is damaged.
    """
    with raised_limits(flat.file_size), readable(name):
        resources = _value(inherited(flat.page, "/Resources"))
        content = page_content(flat.page)
        found = Inventory()
        seen: set[int] = set()
        _content(content, found)
        overprints = _resources(resources, found, seen, 0)
        if overprints:
            hidden = hidden_layers(flat.reader)
            spots, is_whole = white_overprints(content, resources, flat.seen.to_flat, hidden)
            found.white_overprints, found.is_whole = spots, is_whole
    return found


def _content(data: bytes, found: Inventory) -> None:
    """Colours set by operators."""
    for piece in pieces(data):
        count = len(_RGB.findall(piece))
        if count:
            found.rgb["tint"] = found.rgb.get("tint", 0) + count
        found.process = found.process or _CMYK.search(piece) is not None


def pieces(data: bytes, length: int = PIECE) -> Iterator[bytes]:
    """The data in pieces that end at white space and begin with the one before.

    A search keeps all other threads waiting, those of a screen too; through a piece it is short.
    """
    start = 0
    while start < len(data):
        gap = _SPACE.search(data, start + length)
        end = gap.end() if gap is not None else len(data)
        yield data[max(0, start - 1) : end]
        start = end


def _resources(resources: Any, found: Inventory, seen: set[int], depth: int) -> bool:
    """Look into resources and the forms they name; True when any graphics state overprints."""
    if not isinstance(resources, DictionaryObject) or depth > DEEPEST or id(resources) in seen:
        return False
    seen.add(id(resources))
    for space in _entries(resources, "/ColorSpace"):
        _space(space, found, "tint", 0)
    for shading in _entries(resources, "/Shading"):
        if isinstance(shading, DictionaryObject):
            _space(_value(shading.get("/ColorSpace")), found, "shading", 0)
    overprints = any(has_overprint(state) for state in _entries(resources, "/ExtGState"))
    for kind in ("/XObject", "/Pattern"):
        for item in _entries(resources, kind):
            overprints |= _object(item, found, seen, depth)
    return overprints


def _object(item: Any, found: Inventory, seen: set[int], depth: int) -> bool:
    """A picture, form or pattern."""
    if not isinstance(item, StreamObject) or id(item) in seen:
        return False
    if item.get("/Subtype") == "/Image":
        seen.add(id(item))
        _space(_value(item.get("/ColorSpace")), found, "picture", 0)
        return False
    if "/Resources" not in item and item.get("/Subtype") != "/Form":
        return False
    seen.add(id(item))
    _content(stream_data(item), found)
    return _resources(_value(item.get("/Resources")), found, seen, depth + 1)


def _space(space: Any, found: Inventory, use: str, depth: int) -> None:
    """A colour space (ISO 32000-2, 8.6)."""
    if isinstance(space, ArrayObject) and space:
        family = str(space[0])
        if family == "/ICCBased" and len(space) > 1:
            profile = _value(space[1])
            count = profile.get("/N") if isinstance(profile, DictionaryObject) else None
            _process(found, "/DeviceRGB" if count == 3 else "/DeviceCMYK" if count == 4 else "", use)
        elif family == "/Separation" and len(space) > 1:
            _spot(found, [space[1]])
        elif family == "/DeviceN" and len(space) > 1:
            names = _value(space[1])
            _spot(found, list(names) if isinstance(names, ArrayObject) else [])
        elif family in ("/Indexed", "/Pattern") and len(space) > 1 and depth < DEEPEST:
            _space(_value(space[1]), found, use, depth + 1)
        else:
            _process(found, family, use)
    elif space is not None:
        _process(found, str(space), use)


def _process(found: Inventory, family: str, use: str) -> None:
    """A device or CIE-based space by its family."""
    if family in ("/DeviceRGB", "/CalRGB", "/RGB"):
        found.rgb[use] = found.rgb.get(use, 0) + 1
    elif family in ("/DeviceCMYK", "/CMYK"):
        found.process = True


def _spot(found: Inventory, names: list[Any]) -> None:
    """Colorants; those of four-colour printing and the reserved names are no spots (8.6.6.4)."""
    for name in names:
        word = str(name).removeprefix("/")
        if word not in _NOT_SPOTS:
            found.spots[word] = None


def _entries(resources: DictionaryObject, key: str) -> Iterator[Any]:
    """The values of one kind of resource."""
    group = _value(resources.get(key))
    if isinstance(group, DictionaryObject):
        for name in group:
            yield _value(group.raw_get(name))


def _value(value: Any) -> Any:
    """The object behind a reference."""
    return value.get_object() if isinstance(value, IndirectObject) else value
