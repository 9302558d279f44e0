"""Names in seven languages; general trade vocabulary, common practice, no source."""

from __future__ import annotations

import pytest

from tiler.structure.kinds import LineKind
from tiler.structure.words import Meaning, meaning_of, words_of

CUT, CREASE, PERF = LineKind.CUT, LineKind.CREASE, LineKind.PERFORATION


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Cut", CUT), ("CutLine_02", CUT), ("CUTTING", CUT), ("Through Cut", CUT), ("cut-contour", CUT),
        ("Creasing Line", CREASE), ("crease", CREASE), ("Fold lines", CREASE), ("SCORE", CREASE),
        ("Score 2", CREASE),
        ("Perf", PERF), ("Perforation line", PERF), ("tear line", PERF), ("Cut perforation", PERF),
        ("Half Cut", LineKind.PARTIAL_CUT), ("KissCut", LineKind.PARTIAL_CUT),
        ("kiss_cut", LineKind.PARTIAL_CUT),
        ("Reverse crease", LineKind.REVERSE_CREASE), ("Drill holes", LineKind.DRILL),
        ("Stanzlinie", CUT), ("Stanzkontur", CUT), ("Rill", CREASE), ("Rilllinie", CREASE),
        ("RILLLINIEN", CREASE),
        ("Falz", CREASE), ("Nut", CREASE), ("Perforation", PERF), ("Gegenrill", LineKind.REVERSE_CREASE),
        ("Coupe", CUT), ("Découpe", CUT), ("DÉCOUPE", CUT), ("Rainage", CREASE), ("pli", CREASE),
        ("Mi-chair", LineKind.PARTIAL_CUT),
        ("taglio", CUT), ("Cordonatura", CREASE), ("piega", CREASE), ("perforazione", PERF),
        ("Corte", CUT), ("hendido", CREASE), ("Plegado", CREASE), ("doblez", CREASE), ("perforación", PERF),
        ("Snijlijn", CUT), ("ril", CREASE), ("Vouwlijn", CREASE), ("perforatie", PERF),
        ("cięcie", CUT), ("ciecie", CUT), ("Bigowanie", CREASE), ("bieg", CREASE), ("Zagięcie", CREASE),
        ("Perforacja", PERF),
    ],
)  # fmt: skip
def test_a_trade_word_tells_the_kind(name: str, kind: LineKind) -> None:
    assert meaning_of(name) == Meaning(kind)


@pytest.mark.parametrize(
    "name",
    ["Dieline", "DIE LINE", "die_lines", "Die", "DieCut", "Stanze", "Stanzform", "Fustella", "Troquel",
     "Stans",
     "Wykrojnik", "CAD", "Cut & Crease", "cut_crease", "CutFold", "Schneiden Rillen Stanzlinie"],
)  # fmt: skip
def test_the_name_of_a_whole_die_holds_cuts_and_creases(name: str) -> None:
    assert meaning_of(name) == Meaning(CUT, is_mixed=True)


@pytest.mark.parametrize(
    "name",
    ["", "Artwork", "PANTONE 485 C", "Cyan", "Hazel nut", "Die Verpackung", "Diet", "Haircut", "Scorecard",
     "Shortcut", "Blindfold", "Supplier", "Cut-out photo", "Dieline text", "Die cut varnish",
     "Crease-free varnish",
     "Fold notes", "Corned beef", "Coupon", "Big", "Bleed", "Glue", "123", "___", "\x00\ud7ff"],
)  # fmt: skip
def test_other_names_tell_nothing(name: str) -> None:
    assert meaning_of(name) is None


@pytest.mark.parametrize("encoding", ["latin-1", "cp1250", "utf-8"])
@pytest.mark.parametrize(("name", "kind"), [("Découpe", CUT), ("Perforé", None), ("découpage", CUT)])
def test_a_name_decoded_wrongly_is_read_again_from_its_bytes(
    name: str, kind: LineKind | None, encoding: str
) -> None:
    for guess in ("gbk", "latin-1"):
        try:
            wrong = name.encode(encoding).decode(guess)
        except UnicodeError:
            continue
        meaning = meaning_of(wrong)
        assert (meaning and meaning.kind) == kind


def test_names_are_split_at_signs_digits_and_inner_capitals() -> None:
    assert words_of("CutLine02_EXTBox-Łuk") == ("cut", "line", "ext", "box", "luk")
