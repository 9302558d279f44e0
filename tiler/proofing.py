"""What a job asks of checks and folding for its pack: proof list with numbers, and corner strips."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tiler.errors import StructureError
from tiler.geometry import Point
from tiler.job import Job
from tiler.load import Progress, quietly
from tiler.run import Prepared

if TYPE_CHECKING:
    from tiler.checks.finding import Report
    from tiler.checks.limits import Limits
    from tiler.checks.proof import PointToCheck
    from tiler.fold.meetings import Meeting
    from tiler.marks.facts import Facts
    from tiler.marks.shapes import Page

NO_MEETING = "no art runs to an edge that meets another, so there are no corner strips"
NOTHING_TO_LIST = "the checks find nothing to list and the file has no texts, so there is no proof list"


@dataclass(frozen=True)
class HouseRules:
    """What the checks hold a flat against."""

    limits: Limits
    words: frozenset[str] | None
    """Small-letter words that are spelt right; None marks no spelling."""


def house_rules(job: Job) -> HouseRules:
    """The limits and words of a job.

    Raises:
        UsageError: A file that the job names cannot be read or understood.
    """
    from tiler.checks.limits import read_limits
    from tiler.checks.word_list import read_words

    return HouseRules(read_limits(job.limits), read_words(job.words))


def report_of(prepared: Prepared, rules: HouseRules, progress: Progress = quietly) -> Report:
    """The checks of a job, with its waivers laid over them.

    Raises:
        FlatError: The flat cannot be read.
    """
    from tiler.checks.run import run_checks

    return run_checks(
        prepared.flat,
        prepared.loaded.structure,
        prepared.plan,
        rules.limits,
        prepared.job.waivers,
        rules.words,
        progress,
    )


def proof_list(
    prepared: Prepared, facts: Facts, progress: Progress = quietly
) -> tuple[tuple[Page, ...], tuple[tuple[str, Point], ...], tuple[str, ...]]:
    """The pages of the proof list, the numbers of its texts for the map, and what there is to say.

    Args:
        prepared: The job.
        facts: About it.
        progress: Told what the checks look at.

    Raises:
        TilerError: The flat, the limits or the word list cannot be read.
    """
    from tiler.checks.proof import proof_of, text_numbers
    from tiler.pack.ink import text_width
    from tiler.pack.proof_page import proof_pages

    report = report_of(prepared, house_rules(prepared.job), progress)
    report = replace(report, remarks=(*report.remarks, *_remarks(prepared)))
    proof = proof_of(report, points_to_check(prepared, facts))
    pages = proof_pages(proof, prepared.plan, facts, text_width)
    return pages, text_numbers(report, prepared.job.scale), () if pages else (NOTHING_TO_LIST,)


def _remarks(prepared: Prepared) -> Iterator[str]:
    """What the list is of, where that could be mistaken."""
    from tiler.marks.facts import scale_words

    inside, scale = prepared.loaded.inside, prepared.job.scale
    if scale != 1:
        yield f"The mock is printed at {scale_words(scale)}; sizes and places on this list are at true size."
    if inside is not None:
        yield (
            "This list is of the outside. For the inside print: "
            f"tiler check {inside.path.name} --page {inside.page}"
        )


def points_to_check(prepared: Prepared, facts: Facts) -> tuple[PointToCheck, ...]:
    """The check points of the job, each with its letter on the map and its tile."""
    from tiler.checks.proof import PointToCheck

    found = []
    for spot, point in zip(facts.check_points, prepared.job.check_points, strict=True):
        tiles = (tile.label for tile in prepared.plan.tiles if tile.face.contains(spot.at))
        found.append(PointToCheck(spot.sign, spot.name, point.at, next(tiles, "")))
    return tuple(found)


def corner_strips(
    prepared: Prepared, facts: Facts, progress: Progress = quietly
) -> tuple[tuple[Page, ...], tuple[str, ...]]:
    """The pages of the corner strips, and why there are none.

    Args:
        prepared: The job.
        facts: About it.
        progress: Told before each edge that is looked at.

    Raises:
        PackError: The sheet is too small for them.
        FlatError: The flat cannot be drawn.
    """
    from tiler.fold.of_flat import corner_pages_of, verdicts_of
    from tiler.folding import fold_of

    loaded, job = prepared.loaded, prepared.job
    try:
        box = fold_of(loaded, job.fold).box
    except StructureError:
        return (), ()  # the plan's warnings say why the flat does not fold
    verdicts = verdicts_of(loaded, box, _one_by_one(box.meetings, progress))
    pages = corner_pages_of(loaded, box, facts, job.sheet, prepared.plan.margins, verdicts)
    return pages, () if pages else (NO_MEETING,)


def _one_by_one(meetings: Sequence[Meeting], progress: Progress) -> Iterator[Meeting]:
    """The meetings, each told of before it is handed out."""
    for number, meeting in enumerate(meetings):
        progress("looking along the edges", number / len(meetings))
        yield meeting
