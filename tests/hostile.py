"""Files that mean harm, each small on disk, built where they are used and nowhere kept."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, Stream

from tests.flats import flat_pdf

Spoil = Callable[[Pdf], None]
"""Makes a sound flat hostile."""


def spoiled(path: Path, spoil: Spoil) -> Path:
    """A small flat with something added."""
    flat_pdf(path, size=(300, 200))
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        spoil(pdf)
        pdf.save(path, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return path


def packed(pdf: Pdf, data: bytes, times: int = 1) -> Stream:
    """A stream deflated once or several times over."""
    for _ in range(times):
        data = zlib.compress(data, 9)
    stream = Stream(pdf, data)
    stream.stream_dict[Name.Filter] = Array([Name.FlateDecode] * times)
    return stream


def bomb(size: int, piece: bytes = b" " * 1_000_000) -> bytes:
    """Deflated data that grow to ``size`` bytes."""
    packer = zlib.compressobj(9)
    return b"".join([packer.compress(piece) for _ in range(size // len(piece))]) + packer.flush()


def content_bomb(pdf: Pdf) -> None:
    """Page content of 400 million spaces."""
    stream = Stream(pdf, bomb(400_000_000))
    stream.stream_dict[Name.Filter] = Name.FlateDecode
    pdf.pages[0].obj.Contents = stream


def doubly_packed_bomb(pdf: Pdf) -> None:
    """The same, packed twice to some kilobytes."""
    stream = Stream(pdf, zlib.compress(bomb(400_000_000), 9))
    stream.stream_dict[Name.Filter] = Array([Name.FlateDecode, Name.FlateDecode])
    pdf.pages[0].obj.Contents = Array([stream, stream])


def many_bombs(pdf: Pdf) -> None:
    """An array of content streams, 60 MB each, which stay below the bound one by one."""
    stream = Stream(pdf, bomb(60_000_000))
    stream.stream_dict[Name.Filter] = Name.FlateDecode
    pdf.pages[0].obj.Contents = Array([pdf.make_indirect(stream)] * 60)


def drawing_bomb(pdf: Pdf) -> None:
    """Thirteen million strokes."""
    stream = Stream(pdf, bomb(190_000_000, b"0 0 m 9 9 l S\n" * 50_000))
    stream.stream_dict[Name.Filter] = Name.FlateDecode
    pdf.pages[0].obj.Contents = stream


def nested_forms(pdf: Pdf) -> None:
    """Ten thousand million forms in ten levels of ten."""
    inner = pdf.make_indirect(form(pdf, b"0 0 m 100 100 l S", None))
    for _ in range(10):
        inner = pdf.make_indirect(form(pdf, b"/X Do " * 10, inner))
    pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(X=inner))
    pdf.pages[0].obj.Contents = Stream(pdf, b"/X Do")


def form(pdf: Pdf, content: bytes, inner: pikepdf.Object | None) -> Stream:
    """A form that may call another as /X."""
    made = Stream(pdf, content)
    made.stream_dict[Name.Type] = Name.XObject
    made.stream_dict[Name.Subtype] = Name.Form
    made.stream_dict[Name.BBox] = Array([0, 0, 300, 200])
    made.stream_dict[Name.Resources] = (
        Dictionary(XObject=Dictionary(X=inner)) if inner is not None else Dictionary()
    )
    return made


def a_form_that_calls_itself(pdf: Pdf) -> None:
    """Recursion without end."""
    own = pdf.make_indirect(form(pdf, b"0 0 9 9 re f /X Do /X Do", None))
    own.Resources = Dictionary(XObject=Dictionary(X=own))
    pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(X=own))
    pdf.pages[0].obj.Contents = Stream(pdf, b"/X Do /X Do")


def nested_forms_with_text(pdf: Pdf) -> None:
    """The same with a word in the innermost form, so that whoever reads text opens them all."""
    font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
    nested_forms(pdf)
    inner = pdf.pages[0].obj.Resources.XObject.X
    while "/XObject" in inner.Resources:
        inner = inner.Resources.XObject.X
    inner.write(b"BT /F 9 Tf (word) Tj ET")
    inner.Resources = Dictionary(Font=Dictionary(F=font))


def picture_bomb(pdf: Pdf) -> None:
    """A picture of 200,000 × 200,000 pixels without data."""
    _place(pdf, Stream(pdf, zlib.compress(b"")), 200_000, 200_000, Name.FlateDecode)


def jpeg2000_bomb(pdf: Pdf) -> None:
    """A JPEG 2000 picture of 20,000 × 20,000 pixels that claims to be small."""
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (800, 800)).save(out, "JPEG2000")
    data = out.getvalue()
    for old, new in ((800, 30_000),):
        data = data.replace(old.to_bytes(4, "big"), new.to_bytes(4, "big"))
    _place(pdf, Stream(pdf, data), 100, 100, Name.JPXDecode)


def _place(pdf: Pdf, picture: Stream, width: int, height: int, packing: Name) -> None:
    """Draw a picture over the page."""
    entries = picture.stream_dict
    entries[Name.Type], entries[Name.Subtype] = Name.XObject, Name.Image
    entries[Name.Width], entries[Name.Height] = width, height
    entries[Name.BitsPerComponent], entries[Name.ColorSpace] = 8, Name.DeviceRGB
    entries[Name.Filter] = packing
    pdf.pages[0].obj.Resources = Dictionary(XObject=Dictionary(X=picture))
    pdf.pages[0].obj.Contents = Stream(pdf, b"0 0 50 50 re f q 300 0 0 200 0 0 cm /X Do Q")


def fine_pattern(pdf: Pdf) -> None:
    """A pattern repeated every millionth of a point."""
    cell = Stream(pdf, b"0 0 1 1 re f")
    cell.stream_dict[Name.Type], cell.stream_dict[Name.PatternType] = Name.Pattern, 1
    cell.stream_dict[Name.PaintType], cell.stream_dict[Name.TilingType] = 1, 1
    cell.stream_dict[Name.BBox] = Array([0, 0, 1, 1])
    cell.stream_dict[Name.XStep] = cell.stream_dict[Name.YStep] = 0.000001
    cell.stream_dict[Name.Resources] = Dictionary()
    pdf.pages[0].obj.Resources = Dictionary(Pattern=Dictionary(P=cell))
    pdf.pages[0].obj.Contents = Stream(pdf, b"/Pattern cs /P scn 0 0 300 200 re f")


def deep_arrays(pdf: Pdf) -> None:
    """Arrays in arrays, 400 deep (qpdf writes no deeper ones), and a chain of 20,000 dictionaries."""
    nest = Array()
    for _ in range(400):
        nest = Array([nest])
    link = pdf.make_indirect(Dictionary())
    for _ in range(20_000):
        link = pdf.make_indirect(Dictionary(Next=link))
    pdf.pages[0].obj.Resources.Properties = Dictionary(Deep=nest, Chain=link)


def page_of_everything(pdf: Pdf) -> None:
    """All that acts, in every place where a file may keep it."""
    action = Dictionary(S=Name.JavaScript, JS=pikepdf.String("app.launchURL('http://192.0.2.1/')"))
    launch = Dictionary(S=Name.Launch, F=pikepdf.String("/bin/sh"))
    link = Dictionary(S=Name.URI, URI=pikepdf.String("http://192.0.2.1/"))
    attached = Dictionary(Type=Name.Filespec, F=pikepdf.String("a.exe"), EF=Dictionary(F=Stream(pdf, b"MZ")))
    root, page = pdf.Root, pdf.pages[0].obj
    root.OpenAction, root.AA = action, Dictionary(WC=launch)
    root.Names = Dictionary(
        JavaScript=Dictionary(Names=Array([pikepdf.String("a"), action])),
        EmbeddedFiles=Dictionary(Names=Array([pikepdf.String("a"), attached])),
    )
    root.AF, page.AF = Array([attached]), Array([attached])
    field = Dictionary(
        Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, T=pikepdf.String("f"), Rect=Array([0, 0, 90, 90]),
        A=launch, AA=Dictionary(E=action), F=4, AP=Dictionary(N=form(pdf, b"0 0 9 9 re f", None)),
    )  # fmt: skip
    note = Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=Array([0, 0, 90, 90]), A=link, F=4)
    page.Annots = Array([pdf.make_indirect(field), pdf.make_indirect(note)])
    root.AcroForm = Dictionary(Fields=Array([page.Annots[0]]), XFA=Stream(pdf, b"<xdp/>"))
    page.AA = Dictionary(O=action)
    page.PieceInfo = Dictionary(Own=Dictionary(Private=attached))
    outside = form(pdf, b"0 0 9 9 re f", None)
    outside.stream_dict[Name.Ref] = Dictionary(F=attached, Page=0)
    outside.stream_dict[Name.OPI] = Dictionary({"/2.0": Dictionary(F=pikepdf.String("/etc/passwd"))})
    script = Stream(pdf, b"(/etc/passwd) (r) file")
    script.stream_dict[Name.Type], script.stream_dict[Name.Subtype] = Name.XObject, Name.PS
    wrapped = form(pdf, b"", None)
    wrapped.stream_dict[Name.Subtype2], wrapped.stream_dict[Name.PS] = Name.PS, script
    elsewhere = form(pdf, b"", None)
    elsewhere.stream_dict[Name.F] = pikepdf.String("/etc/passwd")
    elsewhere.stream_dict[Name.FFilter] = Name.FlateDecode
    page.Resources.XObject = Dictionary(A=outside, AA=script, JS=wrapped, F=elsewhere)
    page.Resources.Properties = Dictionary(AA=Dictionary(JS=action, A=launch, Metadata=Stream(pdf, b"<x/>")))
    old = page.Contents.read_bytes()
    page.Contents = Stream(pdf, old + b"\nq /A Do /AA Do /JS Do /F Do Q")
