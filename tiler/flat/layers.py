"""Optional content (ISO 32000-2, 8.11): which layers of a flat print, carried over as plain on and off."""

from __future__ import annotations

from collections.abc import Collection

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    TextStringObject,
)

from tiler.flat.copier import Copier

Key = tuple[int, int]
"""Object number and generation of a layer in its own file."""


def hidden_layers(reader: PdfReader) -> frozenset[Key]:
    """Layers that do not print: off by the default configuration, or kept from printing by their usage.

    ``PrintState`` counts only where the configuration lists the layer for the Print event (8.11.4.4).
    """
    properties = _dictionary(reader.root_object.get("/OCProperties"))
    default = _dictionary(properties.get("/D"))
    every = _references(properties.get("/OCGs"))
    hidden = set(every) if default.get("/BaseState") == "/OFF" else set()
    hidden -= set(_references(default.get("/ON")))
    hidden |= set(_references(default.get("/OFF")))
    for usage in _array(default.get("/AS")):
        entry = _dictionary(usage)
        if entry.get("/Event") != "/Print":
            continue
        for key, layer in _references(entry.get("/OCGs")).items():
            state = _dictionary(_dictionary(layer.get("/Usage")).get("/Print")).get("/PrintState")
            if state == "/OFF":
                hidden.add(key)
            elif state == "/ON":
                hidden.discard(key)
    return frozenset(hidden)


def carry_layers(writer: PdfWriter, copier: Copier, reader: PdfReader, also_hidden: Collection[Key]) -> None:
    """Give the pack the layers that its art refers to, on or off as they print, beside any it has already.

    Args:
        writer: The pack, with the art already copied.
        copier: What copied it.
        reader: The flat.
        also_hidden: Layers switched off beside those that the flat itself hides.
    """
    every = _references(_dictionary(reader.root_object.get("/OCProperties")).get("/OCGs"))
    present = [key for key in copier.copied if key in every]
    if not present:
        return
    off = hidden_layers(reader) | set(also_hidden)
    known = _dictionary(writer.root_object.get("/OCProperties"))
    groups = _joined(known.get("/OCGs"), [copier.copied[key] for key in present])
    silent = [copier.copied[key] for key in present if key in off]
    default = DictionaryObject(
        {
            NameObject("/Name"): TextStringObject("As printed"),
            NameObject("/BaseState"): NameObject("/ON"),
            NameObject("/OFF"): _joined(_dictionary(known.get("/D")).get("/OFF"), silent),
            NameObject("/Order"): ArrayObject(),
        }
    )
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject(
        {NameObject("/OCGs"): groups, NameObject("/D"): default}
    )
    for reference in groups:
        group = reference.get_object()
        if isinstance(group, DictionaryObject):
            group.pop("/Usage", None)


def _joined(known: object, more: list[IndirectObject]) -> ArrayObject:
    """An array and what it lacks of some references."""
    first = list(_array(known))
    return ArrayObject([*first, *(reference for reference in more if reference not in first)])


def _dictionary(value: object) -> DictionaryObject:
    """The dictionary behind a value; an empty one for anything else."""
    found = value.get_object() if isinstance(value, IndirectObject) else value
    return found if isinstance(found, DictionaryObject) else DictionaryObject()


def _array(value: object) -> ArrayObject:
    """The array behind a value; an empty one for anything else."""
    found = value.get_object() if isinstance(value, IndirectObject) else value
    return found if isinstance(found, ArrayObject) else ArrayObject()


def _references(value: object) -> dict[Key, DictionaryObject]:
    """Key and dictionary of every layer in an array; layers are always indirect (8.11.2.1)."""
    found: dict[Key, DictionaryObject] = {}
    for item in _array(value):
        if isinstance(item, IndirectObject):
            found[(item.idnum, item.generation)] = _dictionary(item)
    return found
