"""Compare the objects of a flat with those in its pack, both read by qpdf: nothing lost, nothing changed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pikepdf

from tiler.flat.copier import LEFT_BEHIND

DEEPEST = 2000
"""Letters of a path at which the walk turns back."""

LAYER_KEYS = frozenset({"/Usage"})
"""What a layer leaves behind: the pack's layers are plainly on or off."""

FIRST_FEW = 5
"""Differences named at most."""


def differences(flat: Path, page: int, pack: Path, password: str = "") -> list[str]:
    """How the flat's resources, content and group differ from those of the pack's form."""
    with pikepdf.open(flat, password=password) as before, pikepdf.open(pack) as after:
        source = before.pages[page - 1]
        form = _form(after)
        found: list[str] = []
        has = "/Resources" in source or _inherits(source)
        resources: object = source.resources if has else pikepdf.Dictionary()
        for difference in _compare(resources, form.get("/Resources", pikepdf.Dictionary())):
            found.append(difference)
            if len(found) == FIRST_FEW:
                return found
        contents = source.obj.get("/Contents")
        if isinstance(contents, pikepdf.Stream) and contents.read_raw_bytes() != form.read_raw_bytes():
            found.append("/Contents: the bytes differ")
        return found


def _form(pack: pikepdf.Pdf) -> pikepdf.Object:
    """The form of the flat's page."""
    for page in pack.pages:
        if "/Flat" in page.resources.get("/XObject", {}):
            return page.resources.XObject.Flat
    raise AssertionError("no page of the pack shows the flat")


def _inherits(page: pikepdf.Page) -> bool:
    """True when an ancestor has the resources."""
    node: pikepdf.Object = page.obj
    for _ in range(50):
        if "/Resources" in node:
            return True
        if "/Parent" not in node:
            return False
        node = node.Parent
    return False


Pair = tuple[str, object, object]
"""Where two values stand, and both of them."""


def _compare(before: object, after: object) -> Iterator[str]:
    """Walk both graphs side by side."""
    seen: set[tuple[object, object]] = set()
    todo: list[Pair] = [("/Resources", before, after)]
    while todo:
        path, ours, theirs = todo.pop()
        numbers = getattr(ours, "objgen", (0, 0)), getattr(theirs, "objgen", (0, 0))
        if numbers in seen or len(path) > DEEPEST:
            continue
        if numbers[0] != (0, 0):
            seen.add(numbers)
        yield from _compare_one(path, ours, theirs, todo)


def _compare_one(path: str, ours: object, theirs: object, todo: list[Pair]) -> Iterator[str]:
    """Compare two values; what they hold goes on the list."""
    if isinstance(ours, pikepdf.Stream):
        if not isinstance(theirs, pikepdf.Stream):
            yield f"{path}: a stream became {type(theirs).__name__}"
        elif not _same_bytes(ours, theirs):
            yield f"{path}: the bytes of the stream differ"
        else:
            yield from _entries(path, ours, theirs, todo)
    elif isinstance(ours, pikepdf.Dictionary):
        yield from _entries(path, ours, theirs, todo)
    elif isinstance(ours, pikepdf.Array):
        if not isinstance(theirs, pikepdf.Array) or len(theirs) != len(ours):
            yield f"{path}: the array differs"
        else:
            todo += [(f"{path}[{i}]", ours[i], theirs[i]) for i in range(len(ours))]
    elif not _same_value(ours, theirs):
        yield f"{path}: {str(ours)[:60]!r} became {str(theirs)[:60]!r}"


def _same_bytes(ours: pikepdf.Stream, theirs: pikepdf.Stream) -> bool:
    """True for the same bytes; where the flat tells a wrong length, a line end more or less is forgiven."""
    one, other = ours.read_raw_bytes(), theirs.read_raw_bytes()
    told = int(str(ours.stream_dict.get("/Length", -1)))
    return one == other or (told != len(one) and one.rstrip(b"\r\n") == other.rstrip(b"\r\n"))


def _entries(path: str, ours: object, theirs: object, todo: list[Pair]) -> Iterator[str]:
    """Entries of a dictionary or of a stream's dictionary."""
    if not isinstance(theirs, (pikepdf.Dictionary, pikepdf.Stream)):
        yield f"{path}: a dictionary became {type(theirs).__name__}"
        return
    for key in ours.keys():  # type: ignore[attr-defined]  # noqa: SIM118
        value = ours.get(key)  # type: ignore[attr-defined]
        if value is None or (key == "/Length" and isinstance(ours, pikepdf.Stream)):
            continue
        if key in theirs:
            todo.append((path + key, value, theirs.get(key)))
        elif key not in LEFT_BEHIND | LAYER_KEYS:
            yield f"{path}{key}: is missing"


def _same_value(ours: object, theirs: object) -> bool:
    """Names, strings and truth values to the byte; numbers to seven digits."""
    if isinstance(ours, pikepdf.Name):
        return isinstance(theirs, pikepdf.Name) and ours == theirs
    if isinstance(ours, pikepdf.String):
        return isinstance(theirs, pikepdf.String) and bytes(ours) == bytes(theirs)
    if ours is None or isinstance(ours, bool):
        return ours is theirs
    try:
        one, other = float(str(ours)), float(str(theirs))
    except ValueError:
        return str(ours) == str(theirs)
    return abs(one - other) <= 1e-7 * max(1.0, abs(one))
