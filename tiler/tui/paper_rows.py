"""Rows for what is printed on: sheet, printer, margins, glue tabs. Pure."""

from __future__ import annotations

from dataclasses import replace

from tiler.geometry import Margins
from tiler.job import Job
from tiler.plan.sheet import UNKNOWN_PRINTER, Sheet
from tiler.printers.sheets import find_sheet, known_sheets, parse_margins, sheet_label
from tiler.tui.row import Known, Option, Row
from tiler.units import format_length, format_number, parse_length

COMMON_SHEETS = ("A4", "A3", "Letter", "Legal", "Tabloid", "SRA3", "A2", "A5")
"""Sheets offered first."""


def sheet_row(job: Job) -> Row:
    """The paper."""
    by_label = {sheet.label: sheet.sheet for sheet in known_sheets()}
    common = [by_label[label] for label in COMMON_SHEETS if label in by_label]
    others = [sheet for label, sheet in by_label.items() if label not in COMMON_SHEETS]
    if all(sheet.name != job.sheet.name for sheet in (*common, *others)):
        common.insert(0, job.sheet)
    options = tuple(Option(_sheet_words(sheet), replace(job, sheet=sheet)) for sheet in (*common, *others))
    return Row(
        "sheet",
        "Sheet",
        "Paper",
        sheet_label(job.sheet),
        "The paper in the printer.",
        options,
        typed=lambda text: replace(job, sheet=find_sheet(text)),
        hint="a name, or a size such as 297x420mm",
    )


def _sheet_words(sheet: Sheet) -> str:
    label = sheet_label(sheet)
    size = f"{format_number(sheet.size.width)} × {format_number(sheet.size.height)} mm"
    return label if "×" in label else f"{label:<11} {size}"


def printer_row(job: Job, known: Known) -> Row | None:
    """The measured printer; none where none was measured."""
    names = [profile.name for profile in known.profiles]
    if job.printer is not None and job.printer not in names:
        names.append(job.printer)
    if not names:
        return None
    options = [Option("none", replace(job, printer=None))]
    options += [Option(name, replace(job, printer=name, margins=None)) for name in sorted(names)]
    options = [Option(o.text, job) if o.text == (job.printer or "none") else o for o in options]
    return Row(
        "printer",
        "Printer",
        "Paper",
        job.printer or "none",
        "A measured printer brings its margins and its correction.",
        tuple(options),
        is_set=job.printer is not None,
    )


def margins_row(job: Job) -> Row:
    """The unprintable edges."""
    own = "the printer's" if job.printer else "safe"
    presets = ((own, None), ("5 mm", Margins(5, 5, 5, 5)), ("3 mm", Margins(3, 3, 3, 3)))
    options = [Option(text, replace(job, margins=margins)) for text, margins in presets]
    shown = next((text for text, margins in presets if margins == job.margins), "")
    if job.margins is not None and not shown:
        shown = " ".join(format_number(edge) for edge in job.margins)
        options.insert(0, Option(shown, job))
    edges = " ".join(format_number(edge) for edge in UNKNOWN_PRINTER)
    return Row(
        "margins",
        "Margins",
        "Paper",
        shown,
        f"What the printer cannot reach: top, right, bottom, left. Safe is {edges} mm.",
        tuple(options),
        typed=lambda text: replace(job, margins=parse_margins(text)),
        hint="one length, or top,right,bottom,left as in 5,5,12.7,5",
        is_set=job.margins is not None,
    )


def overlap_row(job: Job) -> Row:
    """Width of the glue tabs."""
    return Row(
        "overlap",
        "Overlap",
        "Paper",
        format_length(job.overlap),
        "Width of the glue tabs.",
        less=replace(job, overlap=max(5.0, job.overlap - 1)),
        more=replace(job, overlap=min(60.0, job.overlap + 1)),
        typed=lambda text: replace(job, overlap=parse_length(text)),
        hint="a length, as in 12mm",
        is_set=job.overlap != 12.0,
    )
