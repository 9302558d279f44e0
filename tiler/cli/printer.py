"""``tiler printer``: profiles, the calibration sheet and its readings."""

from __future__ import annotations

import argparse
import json
import os
import sys
from datetime import date
from pathlib import Path
from typing import Any

from tiler.cli.parser import talk
from tiler.cli.printer_words import LENGTHS
from tiler.errors import PrinterError, UsageError
from tiler.geometry import Margins, Point, Size
from tiler.plan.sheet import Sheet
from tiler.printers.calibration import Calibration, error_in_words
from tiler.printers.in_use import profiles_folder
from tiler.printers.keeping import keep_readings, parse_offset, write_calibration_sheet
from tiler.printers.measure import SheetReadings
from tiler.printers.profile import Profile
from tiler.printers.profile_files import (
    default_profile,
    list_profiles,
    load_profile,
    profile_path,
    save_profile,
    use_profile,
)
from tiler.printers.profile_words import profile_words
from tiler.printers.queues import system_queues
from tiler.printers.sheets import default_sheet, find_sheet, parse_margins, sheet_label
from tiler.units import format_number, parse_length, parse_size

LARGE = Size(500, 400)
"""A usual lid, for telling what an error means when no size is given, mm."""


def list_printers(options: argparse.Namespace) -> int:
    """Profiles, the default, and what the system can print on."""
    listing = list_profiles(profiles_folder())
    queues = system_queues()
    for problem in listing.problems:
        talk(f"note: {problem}")
    if options.json:
        names = [{"name": queue.name, "default": queue.is_default} for queue in queues]
        profiles = [_as_json(profile) for profile in listing.profiles]
        print(json.dumps({"profiles": profiles, "default": listing.default, "queues": names}, indent=1))
        return 0
    if not listing.profiles:
        print("No printer profiles yet. Make one: tiler printer calibrate -o SHEET.pdf, then measure.")
    for profile in listing.profiles:
        used = " (in use)" if profile.name == listing.default else ""
        print(f"{profile.name}{used}: {profile_words(profile)}")
    for queue in queues:
        print(f"queue {queue.name}{' (the default of the system)' if queue.is_default else ''}")
    return 0


def show_printer(options: argparse.Namespace) -> int:
    """One profile, whole."""
    folder = profiles_folder()
    profile = load_profile(folder, options.name) if options.name else default_profile(folder)
    if profile is None:
        raise PrinterError("no printer is in use", "name one, or choose one with: tiler printer use NAME")
    if options.json:
        print(json.dumps(_as_json(profile), indent=1))
        return 0
    print(profile.name)
    print(f"  {profile_words(profile)}")
    for loaded in profile.sheets:
        edges = ", ".join(format_number(edge, 2) for edge in loaded.margins)
        print(f"  {sheet_label(loaded.sheet)}: margins {edges} mm (top, right, bottom, left)")
    if profile.back != Point(0, 0):
        print(f"  back offset {format_number(profile.back.x)}, {format_number(profile.back.y)} mm")
    for word, text in (("queue", profile.queue), ("note", profile.note)):
        if text:
            print(f"  {word} {text}")
    print(f"  kept in {profile_path(folder, profile.name)}")
    return 0


def use_printer(options: argparse.Namespace) -> int:
    """Choose the default; with an address, read the profile off the printer first."""
    folder = profiles_folder()
    if options.address:
        from tiler.printers.ipp import read_printer

        found = read_printer(options.address, options.all_sheets, options.any_certificate)
        profile = found.profile(options.name)
        if profile_path(folder, options.name).exists():
            known = load_profile(folder, options.name)
            for loaded in profile.sheets:
                known = known.with_sheet(loaded.sheet, loaded.margins)
            profile = known
        save_profile(folder, profile, replace=True)
        talk(f"{found.model or found.uri} told {len(found.sheets)} sheet sizes with their margins.")
    profile = use_profile(folder, options.name)
    talk(f"Mocks are printed with {profile.name} from now on: {profile_words(profile)}.")
    return 0


def calibrate_printer(options: argparse.Namespace) -> int:
    """Write the calibration sheet."""
    sheet, output = _sheet(options), Path(options.output)
    write_calibration_sheet(sheet, output)
    talk(f"{output}: calibration sheet for {sheet_label(sheet)}, front and back.")
    name = options.name or "NAME"
    talk(f"Print it at 100 % with no fitting, let it rest, measure it, then: tiler printer measure {name}")
    return 0


def measure_printer(options: argparse.Namespace) -> int:
    """Put readings into a profile and say what they mean."""
    folder, sheet = profiles_folder(), _sheet(options)
    profile_path(folder, options.name)  # a wrong name is told before anything is asked
    readings = SheetReadings(
        sheet,
        _lengths(options),
        parse_margins(options.edges) if options.edges else None,
        parse_offset(options.back) if options.back is not None else None,
    )
    day, anew = date.today(), options.replace
    kept = keep_readings(folder, options.name, readings, day, anew, options.queue, options.note)
    if kept.found is not None:
        _tell(kept.found, parse_size(options.over) if options.over else LARGE)
    if kept.is_first:
        talk(f"{kept.profile.name} is the printer in use from now on.")
    talk(f"{kept.path}: {profile_words(kept.profile)}.")
    return 0


def _tell(found: Calibration, flat: Size) -> None:
    """What the readings say."""
    for warning in found.warnings:
        talk(f"note: {warning}")
    talk(error_in_words(found, flat))


def _sheet(options: argparse.Namespace) -> Sheet:
    """The paper meant."""
    return find_sheet(options.sheet) if options.sheet else default_sheet(os.environ)


def _lengths(options: argparse.Namespace) -> dict[str, float]:
    """The measured lengths, from the command or asked for one by one.

    Raises:
        UsageError: Nothing is given and nobody can be asked.
    """
    given = {name: getattr(options, name.replace("-", "_")) for name in LENGTHS}
    said = {name: parse_length(text) for name, text in given.items() if text is not None}
    if said or options.edges or options.back:
        return said
    if not sys.stdin.isatty():
        raise UsageError("there are no readings", "give them, as in --top 174.5mm --left 259.2mm")
    talk("Measure each length from the middle of one line to the middle of the other; empty skips one.")
    for name in LENGTHS:
        print(f"{name}: ", end="", file=sys.stderr, flush=True)
        text = sys.stdin.readline().strip()
        if text:
            said[name] = parse_length(text)
    return said


def _as_json(profile: Profile) -> dict[str, Any]:
    """A profile for programs."""
    return {
        "name": profile.name,
        "sheets": [_sheet_json(loaded.sheet, loaded.margins) for loaded in profile.sheets],
        "scale_x": profile.scale_x,
        "scale_y": profile.scale_y,
        "skew": profile.skew,
        "back": {"x": profile.back.x, "y": profile.back.y},
        "measured": profile.measured.isoformat() if profile.measured else None,
        "queue": profile.queue,
        "note": profile.note,
    }


def _sheet_json(sheet: Sheet, margins: Margins) -> dict[str, Any]:
    """A sheet with its margins in mm."""
    return {"sheet": sheet.name, "margins": margins._asdict()}
