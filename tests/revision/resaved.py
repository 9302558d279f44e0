"""Ways in which other programs save the same art: other objects, streams and numbers, one picture."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2
from pypdf.generic import NameObject

Saver = Callable[[Path, Path], None]
"""Reads the first file and writes the second."""


def by_pikepdf(change: Callable[[pikepdf.Pdf], None] | None = None, **options: object) -> Saver:
    """Saved by the qpdf library, after a change and with options of its own."""

    def save(old: Path, new: Path) -> None:
        with pikepdf.open(old) as pdf:
            if change:
                change(pdf)
            pdf.save(new, **options)  # type: ignore[arg-type]

    return save


def content_of(pdf: pikepdf.Pdf) -> bytes:
    """The page's whole content."""
    page = pdf.pages[0]
    page.contents_coalesce()
    return page.obj.Contents.read_bytes()


def rewritten(change: Callable[[bytes], bytes]) -> Callable[[pikepdf.Pdf], None]:
    """Put other content in place of the page's."""

    def apply(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].obj.Contents = pdf.make_stream(change(content_of(pdf)))

    return apply


def split(pdf: pikepdf.Pdf) -> None:
    """The content as an array of many streams, cut between lines."""
    lines = content_of(pdf).split(b"\n")
    pieces = [b"\n".join(lines[i : i + 20]) for i in range(0, len(lines), 20)]
    pdf.pages[0].obj.Contents = pikepdf.Array([pdf.make_stream(piece) for piece in pieces])


def rounded(content: bytes) -> bytes:
    """Numbers with three decimals at most, as many programs write them."""
    return re.sub(rb"-?\d+\.\d{4,}", lambda found: b"%.3f" % float(found.group()), content)


def parsed(pdf: pikepdf.Pdf) -> None:
    """Parsed into instructions and written anew, as editors do."""
    instructions = pikepdf.parse_content_stream(pdf.pages[0])
    pdf.pages[0].obj.Contents = pdf.make_stream(pikepdf.unparse_content_stream(instructions))


def in_a_form(pdf: pikepdf.Pdf) -> None:
    """All content within one form XObject."""
    page = pdf.pages[0]
    form = pdf.make_stream(content_of(pdf))
    form.Type, form.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
    form.BBox, form.Resources = page.obj.MediaBox, page.obj.Resources
    page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(All=form))
    page.obj.Contents = pdf.make_stream(b"q /All Do Q")


def inherited_resources(pdf: pikepdf.Pdf) -> None:
    """Resources on the page tree's root."""
    page = pdf.pages[0].obj
    pdf.Root.Pages.Resources = page.Resources
    del page.Resources


NAMING = {"Tf": "/Font", "Do": "/XObject", "sh": "/Shading", "gs": "/ExtGState", "BDC": "/Properties"}
NAMING |= dict.fromkeys(("cs", "CS"), "/ColorSpace")
"""Operators whose operands are names of resources (ISO 32000-1, annex A), with the kind of resource."""


def renamed(pdf: pikepdf.Pdf) -> None:
    """Fonts, images, shadings, states, colour spaces and layers under other names."""
    resources = pdf.pages[0].obj.Resources
    others = {}
    for kind in dict.fromkeys(NAMING.values()):
        for number, key in enumerate(sorted(resources.get(kind, {}).keys())):
            others[kind, key] = other = f"/Other{number}"
            resources[kind][other] = resources[kind][key]
            del resources[kind][key]
    lines = []
    for line in pikepdf.parse_content_stream(pdf.pages[0]):
        kind = NAMING.get(str(line.operator), "")
        new = [
            pikepdf.Name(others.get((kind, str(one)), str(one))) if isinstance(one, pikepdf.Name) else one
            for one in line.operands
        ]
        lines.append((new, line.operator))
    pdf.pages[0].obj.Contents = pdf.make_stream(pikepdf.unparse_content_stream(lines))


BOXES = ("/MediaBox", "/CropBox", "/TrimBox", "/BleedBox", "/ArtBox")
Box = list[float]


def change_boxes(page: pikepdf.Page, change: Callable[[Box], Box]) -> None:
    """Put other page boxes in place of the page's own."""
    for name in BOXES:
        if name in page.obj:
            page.obj[name] = pikepdf.Array(change([float(value) for value in page.obj[name]]))


def elsewhere(pdf: pikepdf.Pdf) -> None:
    """Page boxes that do not start at the origin."""
    page = pdf.pages[0]
    change_boxes(page, lambda box: [box[0] + 137, box[1] - 61, box[2] + 137, box[3] - 61])
    page.obj.Contents = pdf.make_stream(b"q 1 0 0 1 137 -61 cm\n" + content_of(pdf) + b"\nQ")


def turned(pdf: pikepdf.Pdf) -> None:
    """Art lying on its side on a page that is turned back."""
    page = pdf.pages[0]
    height = float(page.obj.MediaBox[3])
    change_boxes(page, lambda box: [height - box[3], box[0], height - box[1], box[2]])
    page.obj.Rotate = 90
    # A quarter turn counterclockwise, which /Rotate 90 undoes.
    page.obj.Contents = pdf.make_stream(b"q 0 1 -1 0 %f 0 cm\n" % height + content_of(pdf) + b"\nQ")


def double_unit(pdf: pikepdf.Pdf) -> None:
    """Half the numbers in units of two points."""
    page = pdf.pages[0]
    change_boxes(page, lambda box: [value / 2 for value in box])
    page.obj.UserUnit = 2
    page.obj.Contents = pdf.make_stream(b"q .5 0 0 .5 0 0 cm\n" + content_of(pdf) + b"\nQ")


def other_order(pdf: pikepdf.Pdf) -> None:
    """New objects before, so that all numbers differ, and another producer."""
    for _ in range(9):
        pdf.make_indirect(pikepdf.Dictionary(Nothing=1))
    pdf.docinfo["/Producer"] = "another program"
    del pdf.Root.PageMode


def by_pypdf(old: Path, new: Path) -> None:
    """Cloned by pypdf."""
    writer = pypdf.PdfWriter(clone_from=old)
    writer.add_metadata({"/Producer": "another program"})
    writer.write(new)


def page_by_page(old: Path, new: Path) -> None:
    """The page taken over into a new document, its content packed, by pypdf."""
    writer = pypdf.PdfWriter()
    reader = pypdf.PdfReader(old)
    page = writer.add_page(reader.pages[0])
    writer.root_object[NameObject("/OCProperties")] = reader.root_object["/OCProperties"].clone(writer)
    page.compress_content_streams()
    writer.write(new)


def laid_on_another(old: Path, new: Path) -> None:
    """Laid on an empty page of the same boxes, as imposition does, by pypdf."""
    first = pypdf.PdfReader(old)
    writer, art = pypdf.PdfWriter(), first.pages[0]
    page = writer.add_blank_page(art.mediabox.width, art.mediabox.height)
    page.merge_page(art)
    for name in BOXES:
        if name in art:
            page[NameObject(name)] = art[name].clone(writer)
    writer.root_object[NameObject("/OCProperties")] = first.root_object["/OCProperties"].clone(writer)
    writer.write(new)


def without_layers(old: Path, new: Path) -> None:
    """Flattened: what is on no visible layer is taken out of the file."""

    def apply(pdf: pikepdf.Pdf) -> None:
        hidden = {str(layer.Name) for layer in pdf.Root.OCProperties.D.OFF}
        properties = pdf.pages[0].obj.Resources.Properties
        content = content_of(pdf)
        for key, layer in properties.items():
            if str(layer.Name) in hidden:
                span = rb"/OC " + re.escape(key.encode()) + rb" BDC.*?EMC"
                content, count = re.subn(span, b"", content, flags=re.DOTALL)
                assert count
        pdf.pages[0].obj.Contents = pdf.make_stream(content)
        del pdf.Root.OCProperties.D.OFF

    by_pikepdf(apply)(old, new)


def by_pdfium(old: Path, new: Path) -> None:
    """Saved by PDFium."""
    document = pypdfium2.PdfDocument(old)
    document.save(new)
    document.close()


def appended(old: Path, new: Path) -> None:
    """An incremental update that changes nothing but the title."""
    writer = pypdf.PdfWriter(old, incremental=True)
    writer.add_metadata({"/Title": "Sleeve, as sent"})
    writer.write(new)


def encrypted(old: Path, new: Path) -> None:
    """Encrypted with an empty user password."""
    by_pikepdf(encryption=pikepdf.Encryption(owner="owner", user="", R=6))(old, new)


OBJECT_STREAMS, NO_OBJECT_STREAMS = pikepdf.ObjectStreamMode.generate, pikepdf.ObjectStreamMode.disable
NO_DECODING = pikepdf.StreamDecodeLevel.none
ALL_DECODING = pikepdf.StreamDecodeLevel.all

SAVERS: dict[str, Saver] = {
    "saved anew": by_pikepdf(),
    "object streams": by_pikepdf(object_stream_mode=OBJECT_STREAMS),
    "no object streams": by_pikepdf(object_stream_mode=NO_OBJECT_STREAMS),
    "linearized": by_pikepdf(linearize=True),
    "qdf": by_pikepdf(qdf=True),
    "uncompressed": by_pikepdf(compress_streams=False, stream_decode_level=ALL_DECODING),
    "compressed anew": by_pikepdf(recompress_flate=True),
    "normalized content": by_pikepdf(normalize_content=True),
    "PDF 2.0": by_pikepdf(min_version="2.0", stream_decode_level=NO_DECODING),
    "other order and producer": by_pikepdf(other_order),
    "many content streams": by_pikepdf(split),
    "within q and Q": by_pikepdf(rewritten(lambda content: b"q\n" + content + b"\nQ")),
    "three decimals": by_pikepdf(rewritten(rounded)),
    "parsed and written": by_pikepdf(parsed),
    "in a form": by_pikepdf(in_a_form),
    "inherited resources": by_pikepdf(inherited_resources),
    "resources renamed": by_pikepdf(renamed),
    "boxes elsewhere": by_pikepdf(elsewhere),
    "turned page": by_pikepdf(turned),
    "user unit": by_pikepdf(double_unit),
    "pypdf": by_pypdf,
    "pypdf, page by page": page_by_page,
    "pypdf, laid on another": laid_on_another,
    "PDFium": by_pdfium,
    "incremental update": appended,
    "encrypted": encrypted,
    "layers flattened": without_layers,
}
"""Every way by its name."""
