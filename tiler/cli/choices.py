"""Words of the command line turned into a job."""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from tiler.errors import FlatError, UsageError
from tiler.flat.read import Wanted
from tiler.geometry import Point
from tiler.job import CheckPoint, Job
from tiler.printers.in_use import default_name, profiles_folder
from tiler.printers.sheets import default_sheet, find_sheet, parse_margins
from tiler.units import parse_length, parse_percent, parse_scale, parse_size


def job_from(options: argparse.Namespace) -> Job:
    """The job that the options describe; what is not said keeps its default, or what a job ticket says.

    Raises:
        UsageError: A value cannot be understood.
        FlatError: There is no such ticket.
    """
    path = Path(options.flat)
    return job_over(_from_ticket(path) if path.suffix.lower() == ".toml" else None, path, options)


def job_over(base: Job | None, path: Path, options: argparse.Namespace) -> Job:
    """The job that the options describe over the one of a ticket.

    Args:
        base: What the ticket says; None without one.
        path: The flat, where there is no ticket.
        options: What is said here; it comes first.

    Raises:
        UsageError: A value cannot be understood.
    """
    said = {name: value for name, value in vars(options).items() if value is not None}
    choices: dict[str, Any] = {
        "wanted": _wanted(said, base.wanted if base else Wanted()),
        **_inside(said, base),
        **_fold(said, base),
    }
    if "tiles" in said:  # sheets printed again come without the pages that a whole pack has
        choices.update(proof=False, corners=False)
    if base is None or "printer" in said:
        choices["printer"] = _printer(said.get("printer"))
    for name, (field, read) in _READERS.items():
        if name in said:
            choices[field] = read(said[name])
    if base is not None:
        job = replace(base, **choices)
    else:
        choices.setdefault("sheet", default_sheet(os.environ))
        job = Job(flat=path, **choices)
    if said.get("are_checks_for_proof") and not job.proof:
        _refuse_check_files(said)
    return job


def _from_ticket(path: Path) -> Job:
    """The job of a ticket.

    Raises:
        FlatError: There is no such file.
    """
    from tiler.ticket import load_ticket

    if not path.exists():
        raise FlatError(f"{path}: there is no such file", "check the name and the folder")
    return load_ticket(path)


def _wanted(said: Mapping[str, Any], base: Wanted) -> Wanted:
    """Which part of the file is the flat."""
    readers: dict[str, Callable[[Any], Any]] = {"ppi": _ppi, "size": parse_size}
    names = ("page", "box", "ppi", "size", "password")
    changed = {name: readers.get(name, _as_said)(said[name]) for name in names if name in said}
    return replace(base, annotations=base.annotations or bool(said.get("annotations")), **changed)


def _as_said(value: Any) -> Any:
    """The value itself."""
    return value


def _printer(wanted: str | None) -> str | None:
    """The profile that is meant: the named one, none, or the one in use.

    Raises:
        PrinterError: The choice of the one in use cannot be read.
    """
    if wanted is None:
        return default_name(profiles_folder())
    return None if wanted.lower() == "none" else wanted


def _ppi(text: str) -> float:
    """A resolution in pixels per inch.

    Raises:
        UsageError: It is no number above 0.
    """
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 1 <= value <= 20_000:
        raise UsageError(f"'{text}' is not a resolution", "write pixels per inch, as in --ppi 300")
    return value


def _line_as(text: str) -> tuple[str, str]:
    """A name and the kind that the user gives it; the name may hold equals signs.

    Raises:
        UsageError: There is no equals sign.
    """
    name, found, kind = text.rpartition("=")
    if not found or not name.strip():
        raise UsageError(f"'{text}' gives no kind", "write NAME=KIND, as in --line-as 'Die=cut'")
    return name.strip(), kind.strip().lower()


def _crease(text: str) -> tuple[Point, Point]:
    """A crease from one place to another.

    Raises:
        UsageError: It is not four lengths, or has no length.
    """
    parts = text.split(",")
    problem = UsageError(f"'{text}' is no crease", "write X1,Y1,X2,Y2 in mm, as in --crease 60,0,60,280")
    if len(parts) != 4:
        raise problem
    x1, y1, x2, y2 = (parse_length(part) for part in parts)
    if (x1, y1) == (x2, y2):
        raise problem
    return Point(x1, y1), Point(x2, y2)


def _inside(said: dict[str, Any], base: Job | None) -> dict[str, Any]:
    """The choices for the inside print; a bare number is a page of the flat's own file.

    Raises:
        UsageError: There is no such page, or the sheets are to be turned without any.
    """
    text = said.get("inside")
    if text is None:
        if "flip" in said and base is not None and base.inside is not None:
            return {"flip": said["flip"]}
        if "flip" in said:
            raise UsageError("--flip is for sheets with an inside print", "name the inside, as in --inside 2")
        return {}
    if not text.strip():
        raise UsageError("--inside names nothing", "write a page or a file, as in --inside 2")
    flip = {"flip": said.get("flip", "long")}
    if re.fullmatch(r"-?\d+", text.strip()):
        page = int(text)
        if page < 1:
            raise UsageError(f"there is no page {page}", "pages are counted from 1, as in --inside 2")
        return {"inside": base.flat if base else Path(said["flat"]), "inside_page": page, **flip}
    return {"inside": Path(text), **flip}


def _fold(said: dict[str, Any], base: Job | None) -> dict[str, Any]:
    """The choices of folding, where any is said.

    Raises:
        UsageError: A value cannot be understood.
    """
    if not said.keys() & {"root", "fold", "stands", "caliper"}:
        return {}
    from tiler.cli.fold_choices import fold_choices
    from tiler.fold.choices import DEFAULTS

    return {"fold": fold_choices(said, base.fold if base else DEFAULTS)}


def _refuse_check_files(said: dict[str, Any]) -> None:
    """Files for checks have no use in a pack without them.

    Raises:
        UsageError: There is one.
    """
    for name in ("limits", "words"):
        if name in said:
            raise UsageError(f"--{name} is for the proof list", f"add --proof, or leave out --{name}")


def _check_point(text: str) -> CheckPoint:
    """A spot with a name, which may hold commas.

    Raises:
        UsageError: It has no place or no name.
    """
    parts = [part.strip() for part in text.split(",", 2)]
    if len(parts) != 3 or not parts[2]:
        raise UsageError(
            f"'{text}' is no check point", "write X,Y,NAME in mm, as in --check-point 120,45,barcode"
        )
    return CheckPoint(parts[2], Point(parse_length(parts[0]), parse_length(parts[1])))


def _labels(text: str) -> tuple[str, ...]:
    """Tile labels as typed.

    Raises:
        UsageError: There is none.
    """
    labels = tuple(part.strip().upper() for part in re.split(r"[,;\s]+", text) if part.strip())
    if not labels:
        raise UsageError("--tiles names no tile", "write labels from the map, as in --tiles A1,B2")
    return labels


_READERS: dict[str, tuple[str, Callable[[Any], Any]]] = {
    "sheet": ("sheet", find_sheet),
    "margins": ("margins", parse_margins),
    "overlap": ("overlap", parse_length),
    "scale": ("scale", parse_scale),
    "layout": ("layout", _as_said),
    "orientation": ("orientation", _as_said),
    "marks": ("marks", _as_said),
    "guides": ("guides", _as_said),
    "lighten": ("lighten", lambda text: parse_percent(text, 0, 90)),
    "tiles": ("tiles", _labels),
    "lines": ("lines", Path),
    "line_as": ("line_as", lambda texts: tuple(_line_as(text) for text in texts)),
    "crease": ("creases", lambda texts: tuple(_crease(text) for text in texts)),
    "check_point": ("check_points", lambda texts: tuple(_check_point(text) for text in texts)),
    "proof": ("proof", _as_said),
    "corner_pages": ("corners", _as_said),
    "limits": ("limits", Path),
    "words": ("words", Path),
}
"""Word of the command line to the field of a job and what reads it."""
