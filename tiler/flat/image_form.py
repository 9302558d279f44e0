"""A picture flat as a form XObject of a PDF, the same thing a PDF page becomes."""

from __future__ import annotations

from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

from tiler.flat.image_flat import ImageFlat
from tiler.flat.image_plane import Plane, plane_of
from tiler.flat.image_samples import COLOUR_CHANNELS, Colour
from tiler.geometry import Affine
from tiler.units import POINTS_PER_MM

_DEVICE: dict[Colour, str] = {"gray": "/DeviceGray", "rgb": "/DeviceRGB", "cmyk": "/DeviceCMYK"}
_PROFILE_SPACE: dict[Colour, bytes] = {"gray": b"GRAY", "rgb": b"RGB ", "cmyk": b"CMYK"}
"""Data colour space in a profile's header, bytes 16 to 19 (ICC.1, 7.2.8)."""

_D50 = (0.9642, 1.0, 0.8249)
"""White of the ICC profile connection space (ICC.1, 7.2.16), which Lab pictures use in practice."""


def add_form(flat: ImageFlat, writer: PdfWriter) -> IndirectObject:
    """Add the picture to a PDF.

    Form space is in PDF points, y up, BBox ``[0 0 w h]`` the picture as a person sees it at true size.

    Args:
        flat: The picture.
        writer: Gets the form and its images; 16-bit samples need PDF 1.5 or later.

    Returns:
        The form XObject.

    Raises:
        FlatError: The picture cannot be decoded.
    """
    width, height = (side * POINTS_PER_MM for side in flat.size)
    image = _add_image(plane_of(flat), writer)
    # Pillow has turned a TIFF upright while decoding it.
    matrix = placement(1 if flat.format == "tiff" else flat.orientation, width, height)
    content = f"q {' '.join(_plain(v) for v in matrix)} cm /Picture Do Q\n"
    form = StreamObject()
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/BBox"): ArrayObject(FloatObject(_plain(v)) for v in (0, 0, width, height)),
            NameObject("/Resources"): DictionaryObject(
                {NameObject("/XObject"): DictionaryObject({NameObject("/Picture"): image})}
            ),
        }
    )
    form._data = content.encode("ascii")
    return writer._add_object(form)


def placement(orientation: int, width: float, height: float) -> Affine:
    """The matrix that lays a picture's unit square into ``width`` x ``height``, y up.

    Args:
        orientation: EXIF orientation (Exif 2.32, tag 274), which says where row 0 and column 0 are seen.
        width: Extent as seen.
        height: Extent as seen.
    """
    w, h = width, height
    return {
        1: Affine(w, 0, 0, h, 0, 0),
        2: Affine(-w, 0, 0, h, w, 0),
        3: Affine(-w, 0, 0, -h, w, h),
        4: Affine(w, 0, 0, -h, 0, h),
        5: Affine(0, -h, -w, 0, w, h),
        6: Affine(0, -h, w, 0, 0, h),
        7: Affine(0, h, w, 0, 0, 0),
        8: Affine(0, h, -w, 0, w, 0),
    }[orientation]


def _plain(value: float) -> str:
    """A number without exponent, to a millionth of a point."""
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _add_image(plane: Plane, writer: PdfWriter) -> IndirectObject:
    image = StreamObject()
    image.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Image"),
            NameObject("/Width"): NumberObject(plane.width),
            NameObject("/Height"): NumberObject(plane.height),
            NameObject("/BitsPerComponent"): NumberObject(plane.bits),
            NameObject("/ColorSpace"): _colour_space(plane, writer),
            NameObject("/Filter"): NameObject(f"/{plane.filter}"),
        }
    )
    if plane.parms:
        image[NameObject("/DecodeParms")] = DictionaryObject(
            {NameObject(f"/{key}"): NumberObject(value) for key, value in plane.parms}
        )
    if plane.inverted:
        image[NameObject("/Decode")] = ArrayObject(NumberObject(v) for v in (1, 0) * 4)
    if plane.alpha:
        image[NameObject("/SMask")] = _add_image(plane.alpha, writer)
    image._data = plane.data
    return writer._add_object(image)


def _colour_space(plane: Plane, writer: PdfWriter) -> PdfObject:
    if plane.colour == "lab":
        white = ArrayObject(FloatObject(v) for v in _D50)
        spread = ArrayObject(NumberObject(v) for v in (-128, 127, -128, 127))
        entries = DictionaryObject({NameObject("/WhitePoint"): white, NameObject("/Range"): spread})
        return ArrayObject([NameObject("/Lab"), entries])
    if plane.colour == "indexed":
        last = NumberObject(len(plane.palette) // 3 - 1)
        base = _plain_space("rgb", plane.icc, writer)
        return ArrayObject([NameObject("/Indexed"), base, last, ByteStringObject(plane.palette)])
    return _plain_space(plane.colour, plane.icc, writer)


def _plain_space(colour: Colour, icc: bytes | None, writer: PdfWriter) -> PdfObject:
    """The profile when it fits the channels, else the device's own colours."""
    if icc is None or not fits(colour, icc):
        return NameObject(_DEVICE[colour])
    profile = StreamObject()
    profile[NameObject("/N")] = NumberObject(COLOUR_CHANNELS[colour])
    profile[NameObject("/Alternate")] = NameObject(_DEVICE[colour])
    profile._data = icc
    return ArrayObject([NameObject("/ICCBased"), writer._add_object(profile)])


def fits(colour: Colour, icc: bytes) -> bool:
    """True when the profile is one for these channels: its heading, signature and length agree."""
    heading = icc[36:40] == b"acsp" and int.from_bytes(icc[:4], "big") <= len(icc)
    return heading and icc[16:20] == _PROFILE_SPACE.get(colour)
