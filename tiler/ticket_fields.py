"""The words of a job ticket: which key holds which choice. Pure but for path arithmetic."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from tiler.errors import TilerError, UsageError
from tiler.flat.read import Wanted
from tiler.fold.choices import STANDS, FoldChoices
from tiler.geometry import Margins, Size
from tiler.job import Job
from tiler.printers.sheets import find_sheet, sheet_label
from tiler.ticket_values import (
    KINDS,
    WrongValue,
    between,
    check_point,
    crease,
    fold_angle,
    forbidden,
    line_as,
    list_of,
    nudge,
    numbers,
    one_of,
    page_number,
    pin,
    pin_values,
    shown,
    text_value,
    truth,
    waiver,
    word_of,
)

VERSION = 1
"""Of the ticket's form."""

BOXES = ("auto", "trim", "bleed", "crop", "media", "art")

TABLES = {
    "flat": "what is printed",
    "paper": "what it is printed on",
    "plan": "where the seams lie; pins, forbidden stretches and nudges are mm on paper",
    "print": "how it is printed",
    "structure": "cut and crease lines; places are mm on the flat at true size",
    "fold": "how the flat is folded into the box",
    "check": "findings before production; places are mm on the flat at true size",
}
"""Tables of a ticket, in order, each with a remark."""

Values = dict[str, dict[str, tuple[Any, str]]]
"""Table, key, then the value with a remark."""


def values_of(job: Job, named: Callable[[Path], str]) -> Values:
    """All choices as plain values of TOML; what is empty is left out.

    Args:
        job: The job.
        named: How the ticket names a file.
    """
    wanted = job.wanted
    return {
        "flat": _kept(
            file=(named(job.flat), ""),
            page=(wanted.page, ""),
            box=(wanted.box, ", ".join(BOXES)),
            ppi=(wanted.ppi, "of a picture, instead of its own"),
            size=(list(wanted.size) if wanted.size else None, "of a picture: width, height"),
            annotations=(wanted.annotations, "true also prints annotations that are marked to print"),
            scale=(job.scale, "1.0 is true size"),
        ),
        "paper": _kept(
            sheet=(job.sheet.name, sheet_label(job.sheet)),
            margins=(
                list(job.margins) if job.margins else None,
                "that the printer cannot reach: top, right, bottom, left",
            ),
            printer=(job.printer, "a measured printer"),
            orientation=(job.orientation, "auto, portrait, landscape"),
        ),
        "plan": _kept(
            layout=(job.layout, "strips, grid"),
            overlap=(job.overlap, "width of the glue tabs"),
            pins=([pin_values(pin) for pin in job.pins], ""),
            forbidden=([{"axis": f.axis, "start": f.start, "end": f.end} for f in job.forbidden], ""),
            nudges=([{"seam": nudge.seam, "by": nudge.by} for nudge in job.nudges], ""),
        ),
        "print": _print_values(job, named),
        "structure": _kept(
            lines=(named(job.lines) if job.lines else None, "a separate file with the lines"),
            line_as=(dict(job.line_as), ", ".join(KINDS)),
            creases=([[*start, *end] for start, end in job.creases], ""),
            check_points=([{"name": point.name, "at": list(point.at)} for point in job.check_points], ""),
        ),
        "fold": _fold_values(job.fold),
        "check": _check_values(job, named),
    }


def _check_values(job: Job, named: Callable[[Path], str]) -> dict[str, tuple[Any, str]]:
    """What the checks are told."""
    return _kept(
        limits=(named(job.limits) if job.limits else None, "limits of the house"),
        words=(named(job.words) if job.words else None, "word list for the spelling"),
        waivers=([{"rule": w.rule, "near": list(w.near), "reason": w.reason} for w in job.waivers], ""),
    )


def _fold_values(fold: FoldChoices) -> dict[str, tuple[Any, str]]:
    """Choices of how the flat is folded; what is left to tiler says nothing."""
    return _kept(
        root=(fold.root, "the panel that stays where it is"),
        stands=(None if fold.stands == "auto" else fold.stands, ", ".join(STANDS)),
        caliper=(fold.caliper, "thickness of the production board"),
        angles=([{"panels": [one, other], "angle": angle} for one, other, angle in fold.angles], ""),
    )


def _fold(reader: _Reader, values: Mapping[str, Any]) -> FoldChoices:
    """How the flat is folded."""
    read, fold = reader.read, reader.table(values, "fold")
    return FoldChoices(
        root=read("fold.root", fold["root"], text_value).upper() if "root" in fold else None,
        angles=read("fold.angles", fold.get("angles", []), list_of(fold_angle)),
        stands=read("fold.stands", fold.get("stands", "auto"), one_of(STANDS)),
        caliper=read("fold.caliper", fold["caliper"], between(0.01, 20)) if "caliper" in fold else None,
    )


def _backs(reader: _Reader, look: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """What is printed on the backs of the sheets."""
    read, inside = reader.read, look.get("inside")
    return {
        "inside": None if inside is None else folder / read("print.inside", inside, text_value),
        "inside_page": read("print.inside_page", look.get("inside_page", 1), page_number),
        "flip": read("print.flip", look.get("flip", "long"), word_of("flip")),
    }


def _checks(reader: _Reader, values: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """What the checks are told."""
    read, check = reader.read, reader.table(values, "check")
    files = {
        key: folder / read(f"check.{key}", check[key], text_value)
        for key in ("limits", "words")
        if key in check
    }
    return {**files, "waivers": read("check.waivers", check.get("waivers", []), list_of(waiver))}


def _print_values(job: Job, named: Callable[[Path], str]) -> dict[str, tuple[Any, str]]:
    """Choices of how the sheets are printed."""
    return _kept(
        marks=(job.marks, "full, tabs, none"),
        guides=(job.guides, "full, ticks, none"),
        lighten=(job.lighten, "share of white over the artwork, 0 to 0.9"),
        tiles=(list(job.tiles), "only these are printed"),
        inside=(named(job.inside) if job.inside else None, "file of the inside print, for the backs"),
        inside_page=(job.inside_page if job.inside else None, ""),
        flip=(job.flip if job.inside else None, "edge over which sheets are turned: long, short"),
        proof=(job.proof, "true adds the proof list"),
        corners=(job.corners, "true adds the corner strips"),
    )


def _kept(**entries: tuple[Any, str]) -> dict[str, tuple[Any, str]]:
    """The entries that say something; a list or table that is empty, and False, say nothing."""
    return {key: entry for key, entry in entries.items() if entry[0] not in (None, [], {}, False)}


def _wanted(reader: _Reader, flat: Mapping[str, Any]) -> Wanted:
    """Which part of the file is the flat."""
    read, size = reader.read, flat.get("size")
    return Wanted(
        page=read("flat.page", flat.get("page", 1), page_number),
        box=read("flat.box", flat.get("box", "auto"), one_of(BOXES)),
        ppi=read("flat.ppi", flat["ppi"], between(1, 20_000)) if "ppi" in flat else None,
        size=None if size is None else Size(*read("flat.size", size, numbers(2, above=0))),
        annotations=read("flat.annotations", flat.get("annotations", False), truth),
    )


def job_of(values: Mapping[str, Any], text: str, path: Path) -> Job:
    """The job that a ticket describes; what it does not say keeps its default.

    Args:
        values: The ticket as read.
        text: Its text, to tell lines.
        path: Where it lies.

    Raises:
        UsageError: A key is unknown, a value is impossible, or something needed is missing.
    """
    reader = _Reader(text, path.name)
    reader.check_top(values)
    flat, paper = reader.table(values, "flat"), reader.table(values, "paper")
    plan, look = reader.table(values, "plan"), reader.table(values, "print")
    structure = reader.table(values, "structure")
    folder = path.absolute().parent
    if "file" not in flat:
        raise UsageError(f"{path.name} does not name its flat", 'write file = "NAME" under [flat]')
    if "sheet" not in paper:
        raise UsageError(f"{path.name} does not name its sheet", 'write sheet = "A4" under [paper]')
    read = reader.read
    lines, edges = structure.get("lines"), paper.get("margins")
    return Job(
        flat=folder / read("flat.file", flat["file"], text_value),
        sheet=read("paper.sheet", paper["sheet"], lambda value: find_sheet(text_value(value))),
        wanted=_wanted(reader, flat),
        margins=None if edges is None else Margins(*read("paper.margins", edges, numbers(4, least=0))),
        overlap=read("plan.overlap", plan.get("overlap", 12.0), between(0, 1000)),
        scale=read("flat.scale", flat.get("scale", 1.0), between(0.01, 10)),
        layout=read("plan.layout", plan.get("layout", "strips"), word_of("layout")),
        orientation=read("paper.orientation", paper.get("orientation", "auto"), word_of("orientation")),
        marks=read("print.marks", look.get("marks", "full"), word_of("marks")),
        lighten=read("print.lighten", look.get("lighten", 0.0), between(0, 0.9)),
        tiles=read("print.tiles", look.get("tiles", []), list_of(lambda value: text_value(value).upper())),
        guides=read("print.guides", look.get("guides", "full"), word_of("guides")),
        lines=None if lines is None else folder / read("structure.lines", lines, text_value),
        line_as=read("structure.line_as", structure.get("line_as", {}), line_as),
        creases=read("structure.creases", structure.get("creases", []), list_of(crease)),
        pins=read("plan.pins", plan.get("pins", []), list_of(pin)),
        forbidden=read("plan.forbidden", plan.get("forbidden", []), list_of(forbidden)),
        nudges=read("plan.nudges", plan.get("nudges", []), list_of(nudge)),
        check_points=read("structure.check_points", structure.get("check_points", []), list_of(check_point)),
        printer=read("paper.printer", paper["printer"], text_value) if "printer" in paper else None,
        proof=read("print.proof", look.get("proof", False), truth),
        corners=read("print.corners", look.get("corners", False), truth),
        fold=_fold(reader, values),
        **_backs(reader, look, folder),
        **_checks(reader, values, folder),
    )  # fmt: skip


KEYS = {
    "flat": ("file", "page", "box", "ppi", "size", "annotations", "scale"),
    "paper": ("sheet", "margins", "printer", "orientation"),
    "plan": ("layout", "overlap", "pins", "forbidden", "nudges"),
    "print": ("marks", "guides", "lighten", "tiles", "inside", "inside_page", "flip", "proof", "corners"),
    "structure": ("lines", "line_as", "creases", "check_points"),
    "fold": ("root", "stands", "caliper", "angles"),
    "check": ("limits", "words", "waivers"),
}
"""Keys of each table."""


class _Reader:
    """Reads values and tells the line of a wrong one."""

    def __init__(self, text: str, name: str) -> None:
        self._lines, self._name = text.splitlines(), name

    def check_top(self, values: Mapping[str, Any]) -> None:
        """Version and names of the tables."""
        version = values.get("version")
        if version != VERSION or isinstance(version, bool):
            found = "no version" if version is None else f"version {shown(version)}"
            raise UsageError(
                f"{self._name} has {found}, and this tiler reads tickets of version {VERSION}",
                "save it again with the program that wrote it, or with this one",
            )
        for key in values:
            if key != "version" and key not in TABLES:
                raise self._unknown("", key, ("version", *TABLES))

    def table(self, values: Mapping[str, Any], name: str) -> Mapping[str, Any]:
        """A table with known keys; empty where there is none."""
        table = values.get(name, {})
        if not isinstance(table, dict):
            raise UsageError(f"{self._where(name)} is no table", f"write [{name}] on a line of its own")
        for key in table:
            if key not in KEYS[name]:
                raise self._unknown(name, key, KEYS[name])
        return table

    def read(self, key: str, value: Any, reader: Callable[[Any], Any]) -> Any:
        """A value, or one sentence about it."""
        try:
            return reader(value)
        except WrongValue as wrong:
            raise UsageError(f"{self._where(key)} cannot be {shown(value)}", f"write {wrong}") from None
        except TilerError as problem:
            raise UsageError(f"{self._where(key)}: {problem.message}", problem.remedy) from None

    def _unknown(self, table: str, key: str, known: tuple[str, ...]) -> UsageError:
        where = self._where(f"{table}.{key}" if table else key)
        place = f"under [{table}]" if table else "in a ticket"
        return UsageError(f"{where} is not known {place}", f"known are {', '.join(known)}")

    def _where(self, key: str) -> str:
        """The file, the line where it can be told, and the key."""
        table, _, name = key.rpartition(".")
        inside = ""
        for number, line in enumerate(self._lines, start=1):
            heading = re.match(r"\s*\[+\s*([\w.\"-]+)\s*\]+", line)
            if heading:
                inside = heading.group(1)
            named = re.match(r"\s*[\"']?([\w. -]+?)[\"']?\s*=", line)
            here = named is not None and inside == table and named.group(1) == name
            if here or (heading and inside in (key, f"{table}.{name}")):
                return f"{self._name}, line {number}: '{key}'"
        return f"{self._name}: '{key}'"
