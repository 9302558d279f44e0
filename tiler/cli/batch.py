"""``tiler mock`` for more than one flat: parts of one pack, or a pack each in a folder."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tiler.batch import Made, Order, Told, make_all
from tiler.cli.choices import job_from, job_over
from tiler.cli.parser import talk
from tiler.cli.progress import progress_bar
from tiler.cli.several import is_folder
from tiler.errors import PackError, TilerError, UsageError
from tiler.parts import Part, PartsOutcome, check_names, is_parts_ticket, load_parts, run_parts
from tiler.report import outcome_json, pages_words, plan_json, print_plan


def several(options: argparse.Namespace) -> int:
    """Write what is asked for.

    Raises:
        TilerError: The words do not go together, or the one pack cannot be made.
    """
    if options.send is not None or options.watch:
        raise UsageError("--send and --watch go with one flat", "leave them out, or name one flat")
    if options.jobs is not None and options.jobs < 1:
        raise UsageError(f"--jobs {options.jobs} makes nothing", "write 1 or more")
    return _batch(options) if is_folder(options.output) else _parts(options)


def parts_of(options: argparse.Namespace) -> tuple[Part, ...]:
    """The parts that the words name: those of a ticket, or one for each flat, called after its file.

    Raises:
        TilerError: A ticket cannot be read, or names are unclear.
    """
    flats = [options.flat, *getattr(options, "more", [])]
    if len(flats) == 1:
        return _parts_in(Path(options.flat), options)
    parts = tuple(Part(Path(flat).stem, job_from(_naming(options, flat))) for flat in flats)
    check_names([part.name for part in parts], "these flats")
    return parts


def plan_parts(options: argparse.Namespace) -> int:
    """Show how every part of a ticket is divided."""
    from tiler.parts import prepare_parts

    with progress_bar() as progress:
        found = prepare_parts(parts_of(options), progress)
    sheets = sum(len(prepared.plan.tiles) for prepared in found)
    if options.json:
        parts = [{"name": prepared.part, **plan_json(prepared)} for prepared in found]
        print(json.dumps({"version": 1, "unit": "mm", "parts": parts, "sheets": sheets}, indent=1))
        return 0
    for prepared in found:
        for warning in prepared.warnings:
            talk(f"note: {prepared.part}: {warning}")
        print(f"{prepared.part}:", flush=True)
        print_plan(prepared)
    print(f"together {sheets} sheets")
    return 0


def _parts_in(path: Path, options: argparse.Namespace) -> tuple[Part, ...]:
    """The parts of a ticket, with what the words say besides."""
    return tuple(Part(part.name, job_over(part.job, part.job.flat, options)) for part in load_parts(path))


def _naming(options: argparse.Namespace, flat: str) -> argparse.Namespace:
    """The same words for another flat."""
    return argparse.Namespace(**{**vars(options), "flat": flat})


def _parts(options: argparse.Namespace) -> int:
    """One pack of several parts."""
    parts = parts_of(options)
    with progress_bar() as progress:
        whole = run_parts(parts, Path(options.output), progress)
    for outcome in whole.outcomes:
        for warning in (*outcome.prepared.warnings, *outcome.notes):
            talk(f"note: {outcome.prepared.part}: {warning}")
    talk(_parts_words(whole))
    talk("Print the first map, at 100 % with no fitting, and check its scale bars before you print the rest.")
    if options.json:
        print(json.dumps(parts_json(whole), ensure_ascii=False, indent=1))
    return 0


def _parts_words(whole: PartsOutcome) -> str:
    """What was written, in one line."""
    each = ", ".join(f"{one.prepared.part} {len(one.tile_pages)}" for one in whole.outcomes)
    kinds = {pages_words(one) for one in whole.outcomes}
    pages = f"{kinds.pop()} for each part"
    if kinds:
        pages = "; ".join(f"{pages_words(one)} for {one.prepared.part}" for one in whole.outcomes)
    return f"{whole.output}: {whole.sheets} sheets ({each}), with {pages}"


def parts_json(whole: PartsOutcome) -> dict[str, Any]:
    """Every part's plan with its pages in the pack, version 1."""
    parts = [{"name": one.prepared.part, **outcome_json(one)} for one in whole.outcomes]
    pack = {"file": whole.output.name, "bytes": whole.size}
    return {"version": 1, "unit": "mm", "parts": parts, "sheets": whole.sheets, "pack": pack}


def _batch(options: argparse.Namespace) -> int:
    """A pack for each flat or ticket."""
    folder = Path(options.output)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as problem:
        raise PackError(f"{folder}: cannot be made ({problem.strerror})", "choose another folder") from None
    sources = [Path(source) for source in (options.flat, *options.more)]
    outputs = list(_outputs(sources, folder))
    orders, refused = _orders(sources, outputs, options)
    with _counter(len(orders)) as told:
        found = {made.order.output: made for made in (*refused, *make_all(orders, options.jobs, told))}
    results = [found[output] for output in outputs]
    _tell(results, options)
    return 1 if any(made.problem for made in results) else 0


@contextmanager
def _counter(count: int) -> Iterator[Told]:
    """A bar on stderr while a person is watching. It keeps no thread, so that workers can be copies."""
    if not sys.stderr.isatty():
        yield lambda made: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (MofNCompleteColumn(), BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True, auto_refresh=False) as bar:
        task = bar.add_task("starting", total=count)
        bar.refresh()

        def told(made: Made) -> None:
            bar.update(task, advance=1, description=made.order.source.name)
            bar.refresh()

        yield told


def _orders(
    sources: Sequence[Path], outputs: Sequence[Path], options: argparse.Namespace
) -> tuple[list[Order], list[Made]]:
    """What can be begun, and what cannot for its words alone."""
    orders, refused = [], []
    for source, output in zip(sources, outputs, strict=True):
        words = _naming(options, str(source))
        try:
            if is_parts_ticket(source):
                orders.append(Order(source, output, parts=_parts_in(source, words)))
            else:
                orders.append(Order(source, output, job_from(words)))
        except TilerError as problem:
            refused.append(Made(Order(source, output), problem=str(problem)))
    return orders, refused


def _outputs(sources: Sequence[Path], folder: Path) -> Iterator[Path]:
    """A file for each source, named after it; equal names are numbered."""
    taken: set[str] = set()
    for source in sources:
        name, number = f"{source.stem}_pack.pdf", 1
        while name.lower() in taken:
            number += 1
            name = f"{source.stem}_pack_{number}.pdf"
        taken.add(name.lower())
        yield folder / name


def _tell(results: Sequence[Made], options: argparse.Namespace) -> None:
    """The summary: JSON or a table on stdout."""
    bad = sum(1 for made in results if made.problem)
    if options.json:
        packs = [_made_json(made) for made in results]
        summary = {"version": 1, "made": len(results) - bad, "failed": bad, "packs": packs}
        print(json.dumps(summary, ensure_ascii=False, indent=1))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading, justify in (("flat", "left"), ("sheets", "right"), ("seconds", "right"), ("pack", "left")):
        table.add_column(heading, justify="right" if justify == "right" else "left", overflow="fold")
    for made in results:
        sheets = "-" if made.problem else str(made.sheets)
        what = made.problem or made.order.output.name
        table.add_row(made.order.source.name, sheets, f"{made.seconds:.1f}", what)
    console = Console(highlight=False, markup=False)
    console.print(table)
    total = sum(made.sheets for made in results)
    console.print(
        f"{len(results) - bad} of {len(results)} packs in {options.output}, {total} sheets of paper"
    )


def _made_json(made: Made) -> dict[str, Any]:
    """One line of the summary."""
    return {
        "file": made.order.source.name,
        "pack": None if made.problem else made.order.output.name,
        "sheets": made.sheets,
        "seconds": round(made.seconds, 3),
        "warnings": list(made.warnings),
        "problem": made.problem,
    }
