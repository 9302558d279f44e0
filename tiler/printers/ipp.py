"""Read the sheets a network printer has, with their unprintable margins, over IPP.

The collections ``media-col-*`` (PWG 5100.7) are trusted, for only they tell which margins belong to which
sheet. The loaded sheets count first, then the printer's default, then all it could take. Lengths in them are
integers in 1/100 mm.

Own code and not a library: one request and its answer are all that is needed, the standard library speaks
HTTP, and time, size and nesting can be bounded here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from tiler.errors import PrinterError
from tiler.geometry import Margins, Size
from tiler.plan.sheet import Sheet
from tiler.printers.ipp_message import Attributes, BrokenMessage, Value, get_printer_attributes, read_response
from tiler.printers.ipp_transport import Address, ask, parse_address
from tiler.printers.media_name import parse_media_name
from tiler.printers.profile import LoadedSheet, Profile
from tiler.printers.sheets import LONGEST_SIDE, SHORTEST_SIDE, sheet_of_size

SAME_SHEET = 0.5
"""mm; CUPS takes sizes this close for the same sheet."""

_WANTED = (
    "printer-info",
    "printer-make-and-model",
    "sides-supported",
    "media-col-ready",
    "media-col-default",
    "media-col-database",  # sent only when asked for by name (PWG 5100.7)
)
_PRINTER_GROUP = 0x04
_VERSION_NOT_SUPPORTED = 0x0503
_SOURCES = ("media-col-ready", "media-col-default", "media-col-database")
_EDGES = ("media-top-margin", "media-right-margin", "media-bottom-margin", "media-left-margin")


@dataclass(frozen=True)
class NetworkPrinter:
    """What a printer says of itself."""

    uri: str
    model: str
    """Make and model, or what else it calls itself; may be empty."""
    sheets: tuple[LoadedSheet, ...]
    """The sheets it has or takes, each once, with the margins of the upright sheet."""
    source: str
    """The attribute that named the first of them, such as ``media-col-ready``; empty when none did."""
    duplex: bool
    """True when it prints on both sides by itself."""

    def profile(self, name: str) -> Profile:
        """A profile with these sheets, not yet measured."""
        return Profile(name=name, sheets=self.sheets, note=self.model)


def read_printer(text: str, all_sheets: bool = False, any_certificate: bool = False) -> NetworkPrinter:
    """Ask a printer for its sheets and margins.

    Args:
        text: Its address, such as ``ipp://192.168.1.20/ipp/print``.
        all_sheets: True adds the sheets it could take to those it has loaded.
        any_certificate: True accepts a certificate that nobody vouches for.

    Raises:
        UsageError: The text is no address.
        PrinterError: It cannot be reached, is no printer, or tells no sheet.
    """
    address = parse_address(text)
    attributes = _attributes(address, any_certificate)
    known = _each_once(loaded for source in _SOURCES for loaded in _sheets(attributes.get(source, ()), {}))
    margins = {loaded.sheet.name: loaded.margins for loaded in known}
    found = {source: _each_once(_sheets(attributes.get(source, ()), margins)) for source in _SOURCES}
    filled = [source for source in _SOURCES if found[source]]
    if not filled:
        raise PrinterError(
            f"{address.uri} tells no sheet with its margins", "measure them: tiler printer calibrate"
        )
    sheets: dict[str, LoadedSheet] = {}
    for source in filled if all_sheets else filled[:1]:
        for loaded in found[source]:
            sheets.setdefault(loaded.sheet.name, loaded)  # what is loaded knows best
    models = [attributes.get(name, [""])[0] for name in ("printer-make-and-model", "printer-info")]
    return NetworkPrinter(
        uri=address.uri,
        model=next((" ".join(model.split()) for model in models if isinstance(model, str) and model), "")[
            :200
        ],
        sheets=tuple(sheets.values()),
        source=filled[0],
        duplex=any(str(side).startswith("two-sided") for side in attributes.get("sides-supported", ())),
    )


def _attributes(address: Address, any_certificate: bool) -> Attributes:
    """The printer's own attributes, by version 2.0 of the protocol or, if it must be, 1.1."""
    status = _VERSION_NOT_SUPPORTED
    for version in ((2, 0), (1, 1)):
        request = get_printer_attributes(address.uri, _WANTED, version)
        try:
            response = read_response(ask(address, request, any_certificate))
        except BrokenMessage as error:
            raise PrinterError(
                f"{address.uri} does not answer in IPP ({error})", "check that it is the address of a printer"
            ) from None
        status = response.status
        if status < 0x0100:
            return response.attributes(_PRINTER_GROUP)
        if status != _VERSION_NOT_SUPPORTED:
            break
    raise PrinterError(
        f"{address.uri} refuses to tell its sheets (IPP status 0x{status:04x})",
        "check the path of the address; most printers use /ipp/print",
    )


def _sheets(collections: Iterable[Value], margins: Mapping[str, Margins]) -> Iterator[LoadedSheet]:
    """The cut sheets of usual size among media collections.

    Args:
        collections: Values of a ``media-col-*`` attribute.
        margins: By name of the sheet, for collections that give none.
    """
    for each in collections:
        if (loaded := _loaded(each, margins)) is not None:
            yield loaded


def _loaded(collection: Value, known: Mapping[str, Margins]) -> LoadedSheet | None:
    """One media collection; None where it gives no fixed size or no margins.

    Margins of nothing stand for a borderless mode. It enlarges the page and so is no true size (common
    practice, no source), and they count as not given.
    """
    if not isinstance(collection, dict):
        return None
    size = (collection.get("media-size") or [None])[0]
    if not isinstance(size, dict):
        return None
    width, length = (_length(size, side) for side in ("x-dimension", "y-dimension"))
    if width is None or length is None:
        return None
    if min(width, length) < SHORTEST_SIDE or max(width, length) > LONGEST_SIDE:
        return None
    sheet = _sheet(Size(width, length), collection)
    edges = [edge for key in _EDGES if (edge := _length(collection, key)) is not None]
    given = len(edges) == len(_EDGES) and max(edges) > 0
    margins = Margins(*edges) if given else known.get(sheet.name)
    if margins is None or max(margins) >= min(width, length) / 2:
        return None
    return LoadedSheet(sheet, margins)


def _sheet(size: Size, collection: dict[str, list[Value]]) -> Sheet:
    """The sheet of that size; the printer's own name for it where nobody else has one."""
    sheet = sheet_of_size(size, SAME_SHEET)
    told = parse_media_name(str((collection.get("media-size-name") or [""])[0]))
    if not sheet.name.startswith("custom_") or told is None:
        return sheet
    same = all(abs(a - b) <= SAME_SHEET for a, b in zip(told.size, size, strict=True))
    return Sheet(told.text, told.size) if same else sheet


def _length(collection: dict[str, list[Value]], key: str) -> float | None:
    """A length in mm; None for ranges and whatever else is no fixed length."""
    value = (collection.get(key) or [None])[0]
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        return None
    return value / 100


def _each_once(sheets: Iterable[LoadedSheet]) -> tuple[LoadedSheet, ...]:
    """Each sheet with the largest margins that any tray or kind of paper has on it."""
    found: dict[str, LoadedSheet] = {}
    for loaded in sheets:
        before = found.get(loaded.sheet.name, loaded)
        widest = (max(pair) for pair in zip(before.margins, loaded.margins, strict=True))
        found[loaded.sheet.name] = LoadedSheet(loaded.sheet, Margins(*widest))
    return tuple(found.values())
