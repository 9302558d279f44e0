"""What reportlab leaves open: page boxes, layers with ISO 19593-1 metadata, transparency groups."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    RectangleObject,
    TextStringObject,
)

from sample_art.art import MM


@dataclass(frozen=True)
class Layer:
    """One optional-content layer."""

    key: str
    """Property name used in the page content."""
    name: str
    """What a person sees in a layer list."""
    step: str | None = None
    """ISO 19593-1 type of the Structural group, for example Cutting."""
    on: bool = True
    """False for a layer that is hidden by default."""


@dataclass(frozen=True)
class Boxes:
    """Sizes of a page, mm."""

    width: float
    """Trimmed blank, across."""
    height: float
    """Trimmed blank, down."""
    margin: float
    """Paper round the trim box."""
    bleed: float
    """Bleed round the trim box."""
    at_trim: bool = False
    """True puts the origin of user space on the trim box's corner, so the MediaBox starts below 0."""


def finish(raw: bytes, boxes: Boxes, layers: list[Layer], title: str) -> bytes:
    """Return the file with boxes, layers and groups set; the same bytes for the same input."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(raw)))
    groups = {layer.key: writer._add_object(_group(layer)) for layer in layers}
    for page in writer.pages:
        _set_boxes(page, boxes)
        page[NameObject("/Group")] = _transparency(isolated=True)
        resources = _inside(page, "/Resources")
        _drop_unused_fonts(resources)
        if groups:
            names = DictionaryObject({NameObject(f"/{key}"): ref for key, ref in groups.items()})
            resources[NameObject("/Properties")] = names
        for name in _inside(resources, "/XObject"):
            form = _inside(_inside(resources, "/XObject"), name)
            if form.get("/Subtype") == NameObject("/Form"):
                _drop_unused_fonts(_inside(form, "/Resources"))
                form[NameObject("/Group")] = _transparency(isolated=False)
    if groups:
        writer.root_object[NameObject("/OCProperties")] = _properties(layers, groups)
    writer.metadata = {
        "/Title": title,
        "/Producer": "sample_art/make_samples.py",
        "/CreationDate": "D:20260321183000Z",
        "/ModDate": "D:20260321183000Z",
    }
    writer.pdf_header = "%PDF-1.7"
    writer.compress_identical_objects(remove_duplicates=True, remove_unreferenced=True)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _inside(holder: DictionaryObject, key: str) -> DictionaryObject:
    """Return the dictionary under a key, followed through references; empty if there is none."""
    value = holder.get(key, DictionaryObject()).get_object()
    assert isinstance(value, DictionaryObject)
    return value


def _properties(layers: list[Layer], groups: dict[str, IndirectObject]) -> DictionaryObject:
    """Return the catalog's list of layers and which of them are on."""
    config = DictionaryObject(
        {
            NameObject("/Name"): TextStringObject("As sent to print"),
            NameObject("/BaseState"): NameObject("/ON"),
            NameObject("/ON"): ArrayObject(groups[layer.key] for layer in layers if layer.on),
            NameObject("/OFF"): ArrayObject(groups[layer.key] for layer in layers if not layer.on),
            NameObject("/Order"): ArrayObject(groups.values()),
        }
    )
    return DictionaryObject({NameObject("/OCGs"): ArrayObject(groups.values()), NameObject("/D"): config})


def _group(layer: Layer) -> DictionaryObject:
    """Return an optional-content group, with its processing step if it has one."""
    group = DictionaryObject(
        {NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject(layer.name)}
    )
    if layer.step:
        group[NameObject("/GTS_Metadata")] = DictionaryObject(
            {
                NameObject("/GTS_ProcStepsGroup"): NameObject("/Structural"),
                NameObject("/GTS_ProcStepsType"): NameObject(f"/{layer.step}"),
            }
        )
    return group


def _transparency(isolated: bool) -> DictionaryObject:
    """Return a transparency group that blends in CMYK."""
    group = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Group"),
            NameObject("/S"): NameObject("/Transparency"),
            NameObject("/CS"): NameObject("/DeviceCMYK"),
        }
    )
    if isolated:
        group[NameObject("/I")] = BooleanObject(True)
    return group


def _drop_unused_fonts(resources: DictionaryObject) -> None:
    """Take out Helvetica, which reportlab always lists and our art never uses."""
    fonts = _inside(resources, "/Font")
    for key in [key for key, font in fonts.items() if font.get_object()["/BaseFont"] == "/Helvetica"]:
        del fonts[key]


def _set_boxes(page: DictionaryObject, boxes: Boxes) -> None:
    """Write MediaBox, TrimBox and BleedBox."""
    low = 0.0 if boxes.at_trim else boxes.margin
    for name, grow in (("MediaBox", boxes.margin), ("BleedBox", boxes.bleed), ("TrimBox", 0.0)):
        edges = (low - grow, low - grow, low + boxes.width + grow, low + boxes.height + grow)
        rectangle = RectangleObject(tuple(FloatObject(round(edge * MM, 4)) for edge in edges))
        page[NameObject(f"/{name}")] = rectangle
