"""White that overprints: which states count, and what saves it."""

from __future__ import annotations

import pytest
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    StreamObject,
)

from tiler.checks import overprint
from tiler.checks.overprint import white_overprints
from tiler.geometry import Affine, Point


def states(**entries: bool) -> DictionaryObject:
    """Resources with a graphics state /G."""
    state = DictionaryObject({NameObject(f"/{key}"): BooleanObject(value) for key, value in entries.items()})
    off = DictionaryObject({NameObject("/op"): BooleanObject(False)})
    group = DictionaryObject({NameObject("/G"): state, NameObject("/Off"): off})
    tint = ArrayObject([NameObject("/Separation"), NameObject("/Gold"), NameObject("/DeviceCMYK")])
    spaces = DictionaryObject({NameObject("/Gold"): tint})
    return DictionaryObject({NameObject("/ExtGState"): group, NameObject("/ColorSpace"): spaces})


TO_FLAT = Affine(1, 0, 0, -1, 0, 100)
SHOW = b" BT 10 20 Td (A) Tj ET"


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"/G gs 0 0 0 0 k", True),
        (b"/G gs 1 g", True),
        (b"/G gs 1 1 1 rg", True),
        (b"/G gs /Gold cs 0 scn", True),
        (b"0 0 0 0 k", False),
        (b"/G gs 0 0 0 1 k", False),
        (b"/G gs 0.9 g", False),
        (b"/G gs /Gold cs 1 scn", False),
        (b"/G gs 0 0 0 0 k /Off gs", False),
        (b"q /G gs Q 0 0 0 0 k", False),
        (b"q /G gs 0 0 0 0 k", True),
    ],
)
def test_white_text_overprints_by_state_and_colour(content: bytes, found: bool) -> None:
    """ISO 32000-2, 8.6.7 and 8.6.8."""
    spots, is_whole = white_overprints(content + SHOW, states(op=True), TO_FLAT, ())
    assert is_whole
    assert [(spot.at, spot.is_text) for spot in spots] == ([(Point(10, 80), True)] if found else [])


def test_the_older_entry_alone_counts_for_fills() -> None:
    """ISO 32000-2, table 57: /op falls back on /OP."""
    content = b"/G gs 0 0 0 0 k 5 5 20 20 re f"
    assert len(white_overprints(content, states(OP=True), TO_FLAT, ())[0]) == 1
    assert white_overprints(content, states(OP=True, op=False), TO_FLAT, ())[0] == []


def test_a_form_takes_over_the_state_and_its_place_is_mapped() -> None:
    form = StreamObject()
    form._data = b"2 0 0 2 0 0 cm 5 5 20 20 re f"
    form[NameObject("/Subtype")] = NameObject("/Form")
    form[NameObject("/Matrix")] = ArrayObject(FloatObject(v) for v in (1, 0, 0, 1, 7, 0))
    resources = states(op=True)
    resources[NameObject("/XObject")] = DictionaryObject({NameObject("/F"): form})
    (spot,), _ = white_overprints(b"/G gs 1 g 1 0 0 1 0 3 cm /F Do", resources, TO_FLAT, ())
    assert spot.at == Point(17, 100 - 13)
    assert not spot.is_text


def test_forms_that_call_themselves_come_to_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(overprint, "MOST_OPERATIONS", 3000)
    form = StreamObject()
    form._data = b"0 0 9 9 re f /F Do /F Do /F Do"
    form[NameObject("/Subtype")] = NameObject("/Form")
    resources = states(op=True)
    resources[NameObject("/XObject")] = DictionaryObject({NameObject("/F"): form})
    form[NameObject("/Resources")] = resources
    assert white_overprints(b"/F Do", resources, TO_FLAT, ()) == ([], False)
