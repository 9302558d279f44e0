"""Find the structure lines of a flat, each with its evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tiler.errors import FlatError, StructureError
from tiler.flat.content import page_content
from tiler.geometry import Affine, Size
from tiler.structure.kinds import Evidence, LineKind
from tiler.structure.lines import Candidate, Found, Line
from tiler.structure.scope import Overrides, Scope, Scopes, Taken
from tiler.structure.sink import Sink, TooMuchError
from tiler.structure.skim import skim
from tiler.structure.walk import State, Walker

if TYPE_CHECKING:
    from pypdf import PageObject

SAME_SIZE = 0.5
"""Largest difference between the boxes of a flat and of its line file, mm; well below any crease's width."""


def find_lines(page: PageObject, to_flat: Affine, size: Size, overrides: Overrides | None = None) -> Found:
    """The structure that the flat itself holds.

    Args:
        page: The flat's page.
        to_flat: From the page's user space to the flat, mm.
        size: Of the flat, mm.
        overrides: Kind by name of layer or spot colour, as the user said; None for a name to ignore.

    Returns:
        Lines of the kinds the names tell, in content order; empty when nothing tells of structure. Problems
        are told in ``reports``; nothing is raised for bad content.
    """
    scopes = Scopes(overrides or {})
    scope = scopes.of(_resources(page))
    sink = Sink(scopes, enter=skim)
    if not scope.is_empty:
        _read(page, to_flat, scope, sink, is_whole=False)
    return _found(sink, size)


def lines_from_other(
    page: PageObject, to_flat: Affine, size: Size, flat_size: Size, overrides: Overrides | None = None
) -> Found:
    """The structure drawn in a separate line file, laid on the flat box on box.

    Every stroke counts. Names tell its kind; a nameless solid line is a cut, a nameless dashed line a crease.

    Args:
        page: The line file's page.
        to_flat: From its user space to its own flat coordinates, mm.
        size: Of the line file's box, mm.
        flat_size: Of the flat it belongs to, mm.
        overrides: As in ``find_lines``.

    Raises:
        StructureError: The two boxes differ in size.
    """
    if abs(size.width - flat_size.width) > SAME_SIZE or abs(size.height - flat_size.height) > SAME_SIZE:
        raise StructureError(
            f"the line file measures {size.width:.1f} × {size.height:.1f} mm but the flat measures "
            f"{flat_size.width:.1f} × {flat_size.height:.1f} mm",
            "use a line file of the same size, or choose another page box with --box",
        )
    scopes = Scopes(overrides or {})
    scope = scopes.of(_resources(page))
    unnamed = Taken("", "line file", LineKind.CUT, Evidence.LINE_FILE, is_mixed=True)
    sink = Sink(scopes, unnamed)
    _read(page, to_flat, scope, sink, is_whole=True)
    return _found(sink, size)


def _resources(page: PageObject) -> Any:
    """The page's resources, inherited ones too; none when unreadable."""
    try:
        holder: Any = page
        for _ in range(64):  # a page tree is a few levels deep, but may be cyclic
            if holder is None or "/Resources" in holder:
                break
            holder = holder["/Parent"].get_object() if "/Parent" in holder else None
        return None if holder is None else holder["/Resources"]
    except Exception:  # pypdf raises many kinds for damaged objects
        return None


def _read(page: PageObject, to_flat: Affine, scope: Scope, sink: Sink, is_whole: bool) -> None:
    """Walk or skim the page's content into the sink."""
    try:
        data = page_content(page)
    except FlatError as fault:
        sink.faults.append(fault.message)
        return
    walker = Walker(sink, scope, State(to_flat))
    try:
        if is_whole:
            walker.run(data)
        else:
            skim(walker, data)
    except TooMuchError:
        sink.faults.append(
            "the page draws its lines by forms within forms without end, so only some of them were read"
        )


def _found(sink: Sink, size: Size) -> Found:
    """Lines, candidates and reports of a finished walk."""
    reports = list(sink.faults)
    lines = tuple(line for line in sink.lines if not _is_outside(line, size))
    if len(lines) < len(sink.lines):
        outside = _count(len(sink.lines) - len(lines), "line")
        reports.append(f"{outside} outside the flat left out")
    if sink.wild:
        reports.append(f"{_count(sink.wild, 'line')} with impossible coordinates left out")
    reports += [
        f"dashed lines of {f'“{name}”' if name else 'the line file'} are read as creases, solid lines as cuts"
        for name in sorted(sink.dashed)
    ]
    candidates = tuple(
        Candidate(
            name,
            source,
            taken.kind if taken is not None else None,
            sink.counts.get((name, source), 0),
            taken is not None and taken.evidence is Evidence.TOLD,
        )
        for (name, source), taken in sink.scopes.seen.items()
    )
    if not lines and not reports:
        reports.append(_nothing(sink))
    reports += [f"no layer or spot colour of the flat is called “{name}”" for name in sink.scopes.unheard()]
    return Found(lines, candidates, tuple(sink.scopes.layer_refs.values()), tuple(reports))


def _nothing(sink: Sink) -> str:
    """The sentence for a flat in which no line was found."""
    if sink.default is not None:
        return "the line file holds no line"
    named = [name for (name, _), taken in sink.scopes.seen.items() if taken is not None and taken.kind]
    if named:
        return f"“{named[0]}” names structure, but no line is drawn in it"
    return "no processing step, spot colour or layer of the flat tells its structure"


def _is_outside(line: Line, size: Size) -> bool:
    """True for a line that lies wholly beyond one edge of the flat."""
    xs, ys = [p.x for p in line.points], [p.y for p in line.points]
    return (
        max(xs) < -SAME_SIZE
        or max(ys) < -SAME_SIZE
        or min(xs) > size.width + SAME_SIZE
        or min(ys) > size.height + SAME_SIZE
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
