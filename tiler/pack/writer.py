"""Put the pack together: drawn pages, the flat's form, labels, outline, and how viewers shall print it."""

from __future__ import annotations

import hashlib
import io
import itertools
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import BinaryIO

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    ByteStringObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    NullObject,
    NumberObject,
    TextStringObject,
)

from tiler import __version__
from tiler.flat.copier import Copier
from tiler.flat.form import add_pdf_form
from tiler.flat.layers import Key
from tiler.flat.limits import readable
from tiler.flat.pdf import PdfFlat
from tiler.flat.read import Flat
from tiler.geometry import Affine
from tiler.marks.shapes import Page
from tiler.pack.ink import FORM_NAMES, draw_pages
from tiler.plain import plain

DUPLEX = {"none": "/Simplex", "long": "/DuplexFlipLongEdge", "short": "/DuplexFlipShortEdge"}
"""How the sheets are printed, and its name in the viewer preferences (ISO 32000-2, table 147)."""


@dataclass(frozen=True)
class Section:
    """A group of consecutive pages in the outline."""

    title: str
    first: int
    """Index of its first page, counted from 0."""
    count: int
    """How many pages it has."""


@dataclass(frozen=True)
class Pack:
    """All that goes into one output file."""

    title: str
    """Document title; no paths."""
    pages: tuple[Page, ...]
    sections: tuple[Section, ...]
    """Outline; pages of a section with more than one page stand below its title."""
    date: str | None = None
    """YYYY-MM-DD; None leaves the file undated."""
    hidden: Collection[Key] = field(default=())
    """Layers of the flat that are switched off."""
    corrections: tuple[Affine, ...] = ()
    """The printer's correction of each page, in sheet millimetres; empty for none."""
    duplex: str = "none"
    """A key of ``DUPLEX``."""


def write_pack(pack: Pack, flat: Flat, stream: BinaryIO, inside: Flat | None = None) -> None:
    """Write the pack to an open file.

    The same flats and the same pages give the same bytes.

    Args:
        pack: What to write.
        flat: Shown by artwork of the outside.
        stream: Open for writing.
        inside: Shown by artwork of the inside; None when no page has any.

    Raises:
        FlatError: A flat refers to broken objects.
    """
    write_bound([Bound(pack, flat, inside)], stream)


@dataclass(frozen=True)
class Bound:
    """A pack and the flats that its pages show."""

    pack: Pack
    flat: Flat
    inside: Flat | None = None


def write_bound(bound: Sequence[Bound], stream: BinaryIO) -> None:
    """Write one or more packs as one file, one after another; title, date and duplex are the first one's.

    Raises:
        FlatError: A flat refers to broken objects.
    """
    writer = PdfWriter()
    writer._header = b"%PDF-1.7"  # pypdf offers no public way to set it before objects are copied
    copiers: dict[str, Copier] = {}
    shown, contents = [], hashlib.sha256()
    for one in bound:
        forms = _add_forms(one, writer, copiers)
        drawn = draw_pages(one.pack.pages, one.pack.corrections)
        contents.update(drawn)
        shown.append([_add_page(writer, page, forms) for page in PdfReader(io.BytesIO(drawn)).pages])
    packs = [one.pack for one in bound]
    _label(writer, [page for pack in packs for page in pack.pages])
    _outline(writer, shown, packs)
    _prefer(writer, packs[0].duplex)
    for pack in packs:
        contents.update(repr((pack.title, pack.sections, pack.date, sorted(map(repr, pack.hidden)))).encode())
    for flat in (flat for one in bound for flat in (one.flat, one.inside) if flat is not None):
        contents.update(flat.sha256.encode())
    _inform(writer, packs[0], contents.digest()[:16])
    writer.write(stream)


def _add_forms(bound: Bound, writer: PdfWriter, copiers: dict[str, Copier]) -> DictionaryObject:
    """The flats as forms of the pack, by the names that the pages call.

    Args:
        bound: What is shown.
        writer: The file.
        copiers: By fingerprint: prints from one file share fonts and pictures, and their layers are known.
    """
    flat, inside, hidden = bound.flat, bound.inside, bound.pack.hidden
    forms = DictionaryObject()
    copier = copiers.setdefault(flat.sha256, Copier(writer))
    forms[NameObject(FORM_NAMES["outside"])] = _add_form(flat, writer, hidden, copier)
    if inside is not None:
        copier = copiers.setdefault(inside.sha256, Copier(writer))
        known = hidden if inside.sha256 == flat.sha256 else ()
        forms[NameObject(FORM_NAMES["inside"])] = _add_form(inside, writer, known, copier)
    return forms


def _add_form(flat: Flat, writer: PdfWriter, hidden: Collection[Key], copier: Copier) -> IndirectObject:
    """A flat as a form of the pack."""
    if isinstance(flat.source, PdfFlat):
        return add_pdf_form(flat.source, writer, flat.path.name, hidden, copier=copier)
    from tiler.flat.image import add_form

    with readable(flat.path.name):
        return add_form(flat.source, writer)


def _add_page(writer: PdfWriter, drawn: PageObject, forms: DictionaryObject) -> PageObject:
    """Take over a drawn page and let it see the flats."""
    page = writer.add_page(drawn)
    resources = page[NameObject("/Resources")].get_object()
    assert isinstance(resources, DictionaryObject)
    own = DictionaryObject(resources)
    pictures = own.get("/XObject", DictionaryObject()).get_object()
    assert isinstance(pictures, DictionaryObject)
    own[NameObject("/XObject")] = DictionaryObject({**pictures, **forms})
    page[NameObject("/Resources")] = own
    for key in ("/Trans", "/Annots", "/Rotate"):
        page.pop(key, None)
    return page


def _label(writer: PdfWriter, pages: Sequence[Page]) -> None:
    """Page labels: every page is called by its own prefix (ISO 32000-2, 12.4.2)."""
    numbers = ArrayObject()
    for index, page in enumerate(pages):
        numbers.append(NumberObject(index))
        numbers.append(DictionaryObject({NameObject("/P"): TextStringObject(page.label)}))
    writer.root_object[NameObject("/PageLabels")] = DictionaryObject({NameObject("/Nums"): numbers})


def _outline(writer: PdfWriter, shown: Sequence[Sequence[PageObject]], packs: Sequence[Pack]) -> None:
    """The outline: sections, and below them their pages. Destinations are pages, never links or actions."""
    root = DictionaryObject({NameObject("/Type"): NameObject("/Outlines")})
    reference = writer._add_object(root)
    items = []
    for pages, pack in zip(shown, packs, strict=True):
        for section in pack.sections:
            item = _outline_item(writer, reference, section.title, pages[section.first])
            if section.count > 1:
                span = range(section.first, section.first + section.count)
                below = [_outline_item(writer, item, pack.pages[i].title, pages[i]) for i in span]
                _chain(item, below)
            items.append(item)
    _chain(reference, items)
    writer.root_object[NameObject("/Outlines")] = reference
    writer.root_object[NameObject("/PageMode")] = NameObject("/UseNone")


def _outline_item(writer: PdfWriter, parent: IndirectObject, title: str, page: PageObject) -> IndirectObject:
    """One line of the outline that leads to the top of a page."""
    assert page.indirect_reference is not None
    top = FloatObject(page.mediabox.height)
    target = ArrayObject([page.indirect_reference, NameObject("/XYZ"), NullObject(), top, NullObject()])
    return writer._add_object(
        DictionaryObject(
            {
                NameObject("/Title"): TextStringObject(title),
                NameObject("/Parent"): parent,
                NameObject("/Dest"): target,
            }
        )
    )


def _chain(parent: IndirectObject, items: Sequence[IndirectObject]) -> None:
    """Link outline items below their parent."""
    if not items:
        return
    above = parent.get_object()
    assert isinstance(above, DictionaryObject)
    above[NameObject("/First")], above[NameObject("/Last")] = items[0], items[-1]
    above[NameObject("/Count")] = NumberObject(len(items))
    for before, after in itertools.pairwise(items):
        first, second = before.get_object(), after.get_object()
        assert isinstance(first, DictionaryObject)
        assert isinstance(second, DictionaryObject)
        first[NameObject("/Next")], second[NameObject("/Prev")] = after, before


def _prefer(writer: PdfWriter, duplex: str) -> None:
    """Ask viewers to print at true size (ISO 32000-2, table 147)."""
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {
            NameObject("/PrintScaling"): NameObject("/None"),
            NameObject("/Duplex"): NameObject(DUPLEX[duplex]),
            NameObject("/PickTrayByPDFSize"): BooleanObject(True),
            NameObject("/Enforce"): ArrayObject([NameObject("/PrintScaling")]),
            NameObject("/DisplayDocTitle"): BooleanObject(True),
        }
    )


def _inform(writer: PdfWriter, pack: Pack, identifier: bytes) -> None:
    """Title, producer, date and an identifier that follow from the flats and the pages alone."""
    entries = {"/Title": plain(pack.title), "/Producer": f"tiler {__version__}"}
    if pack.date:
        entries["/CreationDate"] = entries["/ModDate"] = f"D:{pack.date.replace('-', '')}000000Z"
    writer.metadata = None
    writer.add_metadata(entries)
    writer._ID = ArrayObject([ByteStringObject(identifier), ByteStringObject(identifier)])
