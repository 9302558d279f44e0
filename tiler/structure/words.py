"""What a name says: trade words for structure lines in seven languages.

The words are general trade vocabulary, gathered from common practice; there is no standard list. A *strong*
word is enough wherever it stands in a name. A *weak* word means something else outside the trade (die, nut,
pli, bieg), so it counts only when the rest of the name says nothing else. A *telling* word (varnish, text,
dimensions) rules a name out.
"""

from __future__ import annotations

import re
import unicodedata
from itertools import pairwise
from typing import NamedTuple

from tiler.structure.kinds import LineKind


class Meaning(NamedTuple):
    """What a name was taken for."""

    kind: LineKind
    is_mixed: bool = False
    """True for names of a whole die: solid lines are cuts, dashed ones creases."""


_STRONG: dict[LineKind, str] = {
    LineKind.CUT: """
        cut cuts cutting cutline cutlines cutcontour throughcut knifeline
        stanzkontur stanzkonturen stanzlinie stanzlinien schneidlinie schneidlinien schnittlinie schnittlinien
        schneidkontur schnittkontur messerlinie
        decoupe decoupes decoupage coupe coupes
        taglio tagli tranciatura
        corte cortes troquelado
        snijlijn snijlijnen snijden snij snijcontour uitsnijden
        ciecie ciecia wyciecie krojenie sztancowanie""",
    LineKind.CREASE: """
        crease creases creasing creaseline creaselines fold folds folding foldline foldlines scoreline
        scorelines rill rille rillen rilllinie rilllinien rillinie rillinien rillung falz falze falzen
        falzlinie falzlinien falzung knicklinie biegelinie nutlinie nutlinien
        rainage rainages rainure rainures pliage pliages plis refoulage
        cordonatura cordonature cordone cordoni piega pieghe piegatura
        hendido hendidos plegado plegados pliegue pliegues doblez dobleces doblado
        rillijn rillijnen rilijn rilijnen rillen rillijnen vouw vouwen vouwlijn vouwlijnen
        bigowanie bigi zagiecie zagiecia zginanie przegniatanie falcowanie""",
    LineKind.PERFORATION: """
        perf perfs perforation perforations perforating perforated perforate perfline tearline
        perforationen perforationslinie perforationslinien perforierung perforiert perfo
        perforazione perforazioni perforado perforados perforacion perforaciones
        perforatie perforaties perforatielijn perforeren perforacja perforacje""",
    LineKind.PARTIAL_CUT: """
        kisscut halfcut partialcut anritzen anritzung anstanzung anstanzen ritzlinie ritzlinien ritzung
        micoupe mezzotaglio mediocorte semicorte nacinanie naciecie""",
    LineKind.REVERSE_CREASE: "reversecrease gegenrill gegenrillung gegenrilllinie ruckrill",
    LineKind.CUT_CREASE: "cutcrease stanzrill ritzrill perfrill tagliocordone",
    LineKind.DRILL: "drill drilling drills drilled bohrung bohrungen bohren percage foratura taladro",
}
_MIXED = """
    dieline dielines dieboard diecut diecutting diecuts cutcrease keyline keylines
    stanze stanzen stanzform stanzriss stanzung stanzzeichnung fustella fustelle fustellatura troquel
    troqueles stans stansen stanslijn stanslijnen stansvorm stansmes wykrojnik wykrojniki sztanca"""
"""Names of the whole die; in practice such a layer holds cuts and creases together."""
_WEAK: dict[LineKind, str] = {
    LineKind.CUT: "die dies knife knives messer",
    LineKind.CREASE: "score scores scoring pli nut nuten ril bieg biegi bend bends knick",
    LineKind.DRILL: "hole holes",
}
_WEAK_MIXED = "die dies cad structure structural konstruktion"
_PHRASES: dict[tuple[str, str], LineKind] = {
    ("partial", "cut"): LineKind.PARTIAL_CUT,
    ("half", "cut"): LineKind.PARTIAL_CUT,
    ("kiss", "cut"): LineKind.PARTIAL_CUT,
    ("partial", "cutting"): LineKind.PARTIAL_CUT,
    ("mi", "chair"): LineKind.PARTIAL_CUT,
    ("mi", "coupe"): LineKind.PARTIAL_CUT,
    ("mezzo", "taglio"): LineKind.PARTIAL_CUT,
    ("medio", "corte"): LineKind.PARTIAL_CUT,
    ("reverse", "crease"): LineKind.REVERSE_CREASE,
    ("reverse", "creasing"): LineKind.REVERSE_CREASE,
    ("reverse", "fold"): LineKind.REVERSE_CREASE,
}
_NEUTRAL = """
    line lines linie linien ligne lignes linea linee lineas lijn lijnen linia linie layer ebene calque
    livello capa laag warstwa spot colour color farbe couleur colore kleur kolor sonderfarbe tool tools
    tooling form forme forma shape template outline contour kontur all only and und et e y en i the a of de
    du des per inner outer inside outside front back top bottom technical technisch rule rules path guide
    guides new final copy v rev"""
_DOCUMENTATION = """
    dimension dimensions measure measures bemassung masse cotes cotation quote medidas maten wymiary
    legend legende leyenda note notes info text texts texte testo texto tekst"""
"""Layers of such names explain the lines, often in the very colour of the lines."""
_TELLING = """
    varnish lack lacke vernis vernice barniz lak lakier foil folie weiss white blanc bianco blanco wit bialy
    bleed beschnitt glue gluing leim klebe klebung colle colla cola lijm klej
    photo photos foto image images bild logo mockup marks shadow short free paper hair"""


def _table(groups: dict[LineKind, str], mixed: str) -> dict[str, Meaning]:
    """Word to meaning."""
    table = {word: Meaning(kind) for kind, words in groups.items() for word in words.split()}
    table.update({word: Meaning(LineKind.CUT, is_mixed=True) for word in mixed.split()})
    return table


_STRONG_WORDS = _table(_STRONG, _MIXED)
_WEAK_WORDS = _table(_WEAK, _WEAK_MIXED)
_NEUTRAL_WORDS = frozenset(_NEUTRAL.split())
_DOCUMENTATION_WORDS = frozenset(_DOCUMENTATION.split())
_TELLING_WORDS = frozenset(_TELLING.split()) | _DOCUMENTATION_WORDS
_FLAT_LETTERS = str.maketrans({"ł": "l", "Ł": "L", "ø": "o", "Ø": "O", "ß": "ss", "đ": "d", "æ": "ae"})
_CAMEL = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+")


def words_of(name: str) -> tuple[str, ...]:
    """The words of a name, without accents or capitals, split at signs, digits and inner capitals.

    >>> words_of("CutLine_02"), words_of("Découpe-EXT")
    (('cut', 'line'), ('decoupe', 'ext'))
    """
    plain = unicodedata.normalize("NFKD", name.translate(_FLAT_LETTERS))
    bare = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return tuple(word.lower() for word in _CAMEL.findall(bare))


def meaning_of(name: str) -> Meaning | None:
    """What a layer or spot colour of that name holds; none when the name does not say.

    >>> meaning_of("Stanzlinie"), meaning_of("PANTONE 300"), meaning_of("Hazel nut")
    (Meaning(kind=<LineKind.CUT: 'cut'>, is_mixed=False), None, None)
    """
    for reading in _readings(name):
        meaning = _meaning(words_of(reading)) or _meaning(tuple(re.findall("[a-z]+", reading.lower())))
        if meaning is not None:
            return meaning
    return None


def is_documentation(name: str) -> bool:
    """True for layers that hold dimensions, legends or notes.

    >>> is_documentation("Dimensions"), is_documentation("Artwork")
    (True, False)
    """
    return not _DOCUMENTATION_WORDS.isdisjoint(words_of(name))


def _readings(name: str) -> list[str]:
    """The name as decoded, and as its bytes read in the other usual encodings.

    Names of colorants are bytes; a reader has to guess, and guesses wide characters for two Western letters.
    """
    readings = [name]
    if not name.isascii():
        for guessed in ("gbk", "latin-1", "utf-8"):
            for real in ("utf-8", "cp1252", "cp1250", "cp850"):
                try:
                    readings.append(name.encode(guessed).decode(real))
                except UnicodeError:
                    continue
    return readings


def _meaning(words: tuple[str, ...]) -> Meaning | None:
    """What these words say together."""
    if any(word in _TELLING_WORDS for word in words):
        return None
    for pair in pairwise(words):
        if pair in _PHRASES:
            return Meaning(_PHRASES[pair])
    joined = _STRONG_WORDS.get("".join(words))
    if joined is not None:
        return joined
    strong = [_STRONG_WORDS[word] for word in words if word in _STRONG_WORDS]
    if strong:
        return _together(strong)
    weak = [_WEAK_WORDS[word] for word in words if word in _WEAK_WORDS]
    rest = [word for word in words if word not in _WEAK_WORDS and word not in _NEUTRAL_WORDS]
    return _together(weak) if weak and not rest else None


def _together(meanings: list[Meaning]) -> Meaning:
    """One meaning out of several words: cut with crease is a whole die, else the more special kind."""
    kinds = {meaning.kind for meaning in meanings}
    if kinds == {LineKind.CUT}:
        return Meaning(LineKind.CUT, all(meaning.is_mixed for meaning in meanings))
    if {LineKind.CUT, LineKind.CREASE} <= kinds and not any(m.is_mixed for m in meanings):
        return Meaning(LineKind.CUT, is_mixed=True)
    special = [kind for kind in LineKind if kind in kinds and kind is not LineKind.CUT]
    return Meaning(special[-1])
