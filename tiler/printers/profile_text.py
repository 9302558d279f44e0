"""A printer profile as TOML text that a person can read and edit.

::

    name = "Studio laser"
    note = "rear tray"
    queue = "studio_laser"            # print queue of the system

    [measured]
    date = 2026-10-03
    scale_x = 0.99683                 # printed length / true length, across the upright sheet
    scale_y = 1.00121                 # the same along the sheet
    skew = 0.021                      # degrees by which the y axis leans to the right

    [back]
    right = 0.4                       # mm to move the back so that it lies behind the front
    down = -0.2

    [[sheet]]
    name = "iso_a4_210x297mm"
    margins = [4.2, 4.2, 12.7, 4.2]   # top, right, bottom, left, mm
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Collection, Mapping
from datetime import date, datetime
from typing import Any

import tomlkit

from tiler.errors import PrinterError, UsageError
from tiler.geometry import Margins, Point
from tiler.printers.calibration import HIGHEST, LARGEST_SKEW, LOWEST
from tiler.printers.profile import NO_SHIFT, LoadedSheet, Profile
from tiler.printers.sheets import find_sheet

LARGEST_BACK = 20.0
"""mm; no printer that feeds at all is further off: common practice, no source."""

_HEAD = "Printer profile of tiler; lengths in mm. Own comments are lost when tiler writes it: use the note."
_AT_LINE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)")


def write_profile(profile: Profile) -> str:
    """The profile as TOML text."""
    doc = tomlkit.document()
    doc.add(tomlkit.comment(_HEAD))
    doc["name"] = profile.name
    doc["note"] = profile.note
    if profile.queue:
        doc["queue"] = _remarked(profile.queue, "print queue of the system")
    if profile.measured is not None:
        table = tomlkit.table()
        table["date"] = profile.measured
        across = "printed length / true length, across the upright sheet"
        table["scale_x"] = _remarked(round(profile.scale_x, 6), across)
        table["scale_y"] = _remarked(round(profile.scale_y, 6), "the same along the sheet")
        lean = "degrees by which the y axis leans to the right"
        table["skew"] = _remarked(round(profile.skew, 4), lean)
        doc["measured"] = table
    if profile.back != NO_SHIFT:
        back = tomlkit.table()
        move = "mm to move the back so that it lies behind the front"
        back["right"] = _remarked(round(profile.back.x, 3), move)
        back["down"] = round(profile.back.y, 3)
        doc["back"] = back
    sheets = tomlkit.aot()
    for loaded in profile.sheets:
        sheet = tomlkit.table()
        sheet["name"] = loaded.sheet.name
        margins = [round(edge, 3) for edge in loaded.margins]
        sheet["margins"] = _remarked(margins, "top, right, bottom, left, mm")
        sheets.append(sheet)
    if profile.sheets:
        doc["sheet"] = sheets
    return tomlkit.dumps(doc)


def _remarked(value: object, remark: str) -> tomlkit.items.Item:
    item = tomlkit.item(value)
    item.comment(remark)
    return item


def read_profile(text: str, source: str) -> Profile:
    """Read a profile that a person may have edited.

    Args:
        text: TOML.
        source: Name of the file, for messages.

    Raises:
        PrinterError: What is wrong, in which line, and what to write there.
    """
    try:
        doc = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        found = _AT_LINE.search(message)
        line = found[1] if found and found[1] else str(text.count("\n") + 1)
        why = _AT_LINE.sub("", message)
        why = why[:1].lower() + why[1:]
        raise PrinterError(
            f"{source}, line {line}: {why}", "correct the line, or delete the file and measure anew"
        ) from None
    return _Reader(text, source).profile(doc)


class _Reader:
    """Turns parsed TOML into a profile and tells the line of what it cannot use."""

    def __init__(self, text: str, source: str) -> None:
        self._lines = text.splitlines()
        self._source = source

    def problem(self, key: str, what: str, remedy: str, occurrence: int = 0) -> PrinterError:
        """One sentence that names the line where ``key`` stands for the nth time."""
        wanted = re.compile(rf"\s*(?:\[+\s*)?[\"']?{re.escape(key)}[\"']?\s*[=\].]")
        at = [number for number, line in enumerate(self._lines, start=1) if wanted.match(line)]
        place = f", line {at[min(occurrence, len(at) - 1)]}" if at else ""
        return PrinterError(f"{self._source}{place}: {what}", remedy)

    def profile(self, doc: Mapping[str, Any]) -> Profile:
        self._only(doc, ("name", "note", "queue", "measured", "back", "sheet"))
        measured = self._table(doc, "measured")
        self._only(measured, ("date", "scale_x", "scale_y", "skew"))
        back = self._table(doc, "back")
        self._only(back, ("right", "down"))
        return Profile(
            name=self._words(doc, "name", needed=True),
            sheets=self._sheets(doc.get("sheet", [])),
            scale_x=self._number(measured, "scale_x", 1.0, LOWEST, HIGHEST),
            scale_y=self._number(measured, "scale_y", 1.0, LOWEST, HIGHEST),
            skew=self._number(measured, "skew", 0.0, -LARGEST_SKEW, LARGEST_SKEW),
            back=Point(
                self._number(back, "right", 0.0, -LARGEST_BACK, LARGEST_BACK),
                self._number(back, "down", 0.0, -LARGEST_BACK, LARGEST_BACK),
            ),
            measured=self._day(measured) if measured else None,
            queue=self._words(doc, "queue"),
            note=self._words(doc, "note"),
        )

    def _only(self, table: Mapping[str, Any], known: Collection[str]) -> None:
        for key in table:
            if key not in known:
                raise self.problem(
                    key, f"'{key}' means nothing here", f"write one of {', '.join(known)}, or delete it"
                )

    def _table(self, doc: Mapping[str, Any], key: str) -> Mapping[str, Any]:
        table = doc.get(key, {})
        if not isinstance(table, dict):
            raise self.problem(key, f"'{key}' must be a table", f"write it as [{key}]")
        return table

    def _words(self, doc: Mapping[str, Any], key: str, needed: bool = False) -> str:
        words = doc.get(key, "")
        if not isinstance(words, str) or (needed and not words.strip()):
            raise self.problem(key, f"'{key}' must be text", f'write it as {key} = "…"')
        return words

    def _number(
        self, table: Mapping[str, Any], key: str, default: float, lowest: float, highest: float
    ) -> float:
        value = table.get(key, default)
        if not _is_number(value) or not lowest <= value <= highest:
            raise self.problem(
                key, f"'{key}' is not a number from {lowest:g} to {highest:g}", "correct it or measure anew"
            )
        return float(value)

    def _day(self, measured: Mapping[str, Any]) -> date:
        day = measured.get("date")
        if not isinstance(day, date) or isinstance(day, datetime):
            key = "date" if "date" in measured else "measured"
            raise self.problem(key, "'date' must be the day of the readings", "write it as date = 2026-10-03")
        return day

    def _sheets(self, rows: object) -> tuple[LoadedSheet, ...]:
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise self.problem("sheet", "'sheet' must be a list of tables", "write each as [[sheet]]")
        return tuple(self._sheet(row, index) for index, row in enumerate(rows))

    def _sheet(self, row: Mapping[str, Any], index: int) -> LoadedSheet:
        self._only(row, ("name", "margins"))
        try:
            sheet = find_sheet(self._words(row, "name", needed=True))
        except UsageError as error:  # the first line with a name is the profile's own
            raise self.problem("name", error.message, error.remedy, index + 1) from None
        edges = row.get("margins")
        good = isinstance(edges, list) and len(edges) == 4 and all(_is_number(edge) for edge in edges)
        if not good or not all(0 <= edge < min(sheet.size) / 2 for edge in edges or ()):
            raise self.problem(
                "margins",
                f"the margins of {sheet.name} are not four lengths that leave room to print",
                "write top, right, bottom and left in mm, as in margins = [4.2, 4.2, 12.7, 4.2]",
                index,
            )
        assert isinstance(edges, list)
        return LoadedSheet(sheet, Margins(*(float(edge) for edge in edges)))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
