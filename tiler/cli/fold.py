"""What ``tiler panels`` tells and writes of the folded box."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from tiler.cli.fold_choices import Views
from tiler.cli.parser import talk
from tiler.errors import StructureError
from tiler.fold.box import FoldedBox
from tiler.fold.choices import FoldChoices
from tiler.fold.verdict import Verdict
from tiler.job import Job
from tiler.load import Loaded
from tiler.units import format_number

if TYPE_CHECKING:
    from tiler.flat.read import Flat

Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]
"""Headings of a table and its rows."""


def folded(loaded: Loaded, choices: FoldChoices, needed: bool) -> FoldedBox | None:
    """Fold the flat, and tell what does not fold; None when nothing can be folded.

    Args:
        loaded: The flat.
        choices: The user's own.
        needed: True when something is to be written that needs the box.

    Raises:
        StructureError: It is needed and there is none.
        UsageError: A named panel or crease does not exist.
    """
    from tiler.fold.of_flat import fold_loaded

    try:
        box = fold_loaded(loaded, choices)
    except StructureError as problem:
        if needed:
            raise
        if loaded.structure.lines:
            talk(f"note: {problem}")
        return None
    for report in box.reports:
        talk(f"note: {report}")
    return box


def write_views(job: Job, loaded: Loaded, box: FoldedBox, views: Views) -> None:
    """Write the picture of the box.

    Raises:
        TilerError: The inside print cannot be read, or the picture cannot be written.
    """
    from tiler.fold.of_flat import textures_of
    from tiler.fold.scene import scene_of
    from tiler.fold.svg import svg_of
    from tiler.fold.view import paint
    from tiler.inside import read_inside
    from tiler.pack.target import check_target, replaced

    if views.view is None:
        return
    check_target(views.view, job.inputs)
    inside: Flat | None = read_inside(job, loaded.flat)
    textures = textures_of(loaded, inside, views.size)
    scene = scene_of(box, views.corner, views.opening)
    with replaced(views.view) as stream:
        if views.view.suffix.lower() == ".svg":
            stream.write(svg_of(scene, textures).encode("utf-8"))
        else:
            paint(scene, textures, views.size).save(stream, "PNG")
    talk(f"{views.view}: the folded box")


def write_corners(
    job: Job, loaded: Loaded, box: FoldedBox, views: Views, verdicts: dict[str, Verdict]
) -> None:
    """Write the corner strips.

    Raises:
        TilerError: They cannot be planned or written.
    """
    from tiler.fold.of_flat import corner_pages_of
    from tiler.pack.target import check_target, replaced
    from tiler.pack.writer import Pack, Section, write_pack
    from tiler.run import corrections_of, date_of, facts_of, plan_sheets

    if views.corners is None:
        return
    check_target(views.corners, job.inputs)
    prepared = plan_sheets(job, loaded)
    pages = corner_pages_of(
        loaded,
        box,
        facts_of(prepared),
        job.sheet,
        prepared.plan.margins,
        verdicts,
        views.all_edges,
        views.corner,
    )
    if not pages:
        talk("no art runs to an edge that meets another, so there are no corner strips to write")
        return
    pack = Pack(
        f"{loaded.flat.path.name} · corner strips",
        pages,
        (Section("Corner strips", 0, len(pages)),),
        date_of(loaded.flat),
        loaded.structure_layers,
        corrections_of(prepared.profile, pages),
    )
    with replaced(views.corners) as stream:
        write_pack(pack, loaded.flat, stream)
    talk(
        f"{views.corners}: {len(pages)} page{'s' if len(pages) > 1 else ''} of corner strips; print at 100 %"
    )


def summary(box: FoldedBox) -> Iterator[str]:
    """The box in a few lines."""
    from tiler.fold.size import caliper_words

    if box.size is not None:
        sides = " × ".join(format_number(side) for side in box.size.size)
        yield f"folded {sides} mm, between crease centres"
        if box.folding.choices.caliper is not None:
            yield caliper_words(box.size, box.folding.choices.caliper)
    standing = box.standing
    ways = {"root": f"on {box.folding.tree.root.id}", "rim": f"on its rim, {box.folding.tree.root.id} on top"}
    yield f"it stands {ways.get(standing.stands, f'with the {standing.stands} of the flat below')}"
    if standing.upside_down:
        yield f"upside down in use: {', '.join(standing.upside_down)}"


def fold_rows(box: FoldedBox) -> Rows:
    """Angles at the creases."""
    headings = ("fold between", "degrees", "known by")
    rows: list[tuple[str, ...]] = []
    for node, hinge in box.folding.tree.hinged():
        found = box.folding.folds[node.panel.id]
        rows.append((f"{hinge.first} and {hinge.second}", format_number(found.angle, 2), found.how))
    return headings, rows


def meeting_rows(box: FoldedBox, verdicts: Mapping[str, Verdict]) -> Rows:
    """Edges that come together, with what was measured on them."""
    from tiler.fold.strips import step_words

    headings = ("meeting", "of", "length mm", "from", "and from", "art")
    rows: list[tuple[str, ...]] = []
    for meeting in box.meetings:
        verdict = verdicts.get(meeting.id)
        starts = [f"{format_number(s.start.x)}, {format_number(s.start.y)}" for s in (meeting.a, meeting.b)]
        words = "" if verdict is None else verdict.words(*meeting.panels, step_words(box, meeting))
        rows.append((meeting.id, " and ".join(meeting.panels), format_number(meeting.length), *starts, words))
    return headings, rows
