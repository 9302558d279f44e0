"""The calibration sheet as a PDF that viewers print at actual size and on both sides."""

from __future__ import annotations

import io

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, BooleanObject, DictionaryObject, NameObject

from tiler import __version__
from tiler.pack.ink import draw_pages, text_width
from tiler.plan.sheet import Sheet
from tiler.printers.calibration_sheet import calibration_pages
from tiler.printers.sheets import sheet_label


def calibration_pdf(sheet: Sheet) -> bytes:
    """Front and back of the calibration sheet, the same bytes for the same sheet.

    Nothing is corrected on it, whatever is known of the printer: it shows the printer as it is.

    Raises:
        PrinterError: The sheet is too small to calibrate on.
    """
    pages = calibration_pages(sheet, text_width)
    writer = PdfWriter()
    for page in PdfReader(io.BytesIO(draw_pages(pages))).pages:
        added = writer.add_page(page)
        for key in ("/Trans", "/Annots", "/Rotate"):
            added.pop(key, None)
    # ISO 32000-2, table 147
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {
            NameObject("/PrintScaling"): NameObject("/None"),
            NameObject("/Duplex"): NameObject("/DuplexFlipLongEdge"),
            NameObject("/PickTrayByPDFSize"): BooleanObject(True),
            NameObject("/Enforce"): ArrayObject([NameObject("/PrintScaling")]),
            NameObject("/DisplayDocTitle"): BooleanObject(True),
        }
    )
    title = f"Calibration sheet, {sheet_label(sheet)}"
    writer.metadata = None
    writer.add_metadata({"/Title": title, "/Producer": f"tiler {__version__}"})
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()
