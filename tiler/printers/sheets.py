"""Find a sheet of paper by any name that people or printers use for it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tiler.errors import UsageError
from tiler.geometry import Margins, Size
from tiler.plan.sheet import Sheet
from tiler.printers.media_name import MediaName, custom_media_name, parse_media_name
from tiler.units import format_number, parse_length

SHORTEST_SIDE = 50.0
"""mm; a smaller sheet leaves no face after margins and tab: common practice, no source."""

LONGEST_SIDE = 5080.0
"""mm; 14 400 units, the largest PDF page without UserUnit (ISO 32000-2, annex C)."""

SAME_SIZE = 0.01
"""mm; custom sizes closer than this to a sheet of the table are that sheet."""

LETTER_COUNTRIES = frozenset({"US", "CA", "MX"})
"""ISO 3166 codes of the countries where letter is the everyday sheet: common practice, no source."""

_LONGEST_NAME = 255
"""Characters; the most that an IPP keyword or name can have (RFC 8011, 5.1.3 and 5.1.4)."""
_CUSTOM = re.compile(r"([+-]?[0-9.,]+ *[a-z\"]*) *[x×*] *([+-]?[0-9.,]+ *[a-z\"]*)")
_NUMBER_ONLY = re.compile(r"[+-]?[0-9.,]+ *")
_TWO_SERIES = re.compile(r"b([0-9])")
_UNSTANDARDISED = frozenset({"a3+", "a3plus", "supera3", "supera3+", "a3super"})
_PWG_FORM = re.compile(r"[a-z0-9]+_.*_.*x.*", re.DOTALL)


@dataclass(frozen=True)
class KnownSheet:
    """A row of the table of sheets."""

    sheet: Sheet
    label: str
    """What people call it, such as ``A4``."""
    aliases: tuple[str, ...]
    """Other names for it."""
    source: str
    """The standard that lays down its size."""


@cache
def known_sheets() -> tuple[KnownSheet, ...]:
    """All sheets that have a common name, in the order of the table."""
    table = tomllib.loads(Path(__file__).with_name("sheets.toml").read_text("utf-8"))
    return tuple(_known(row) for row in table["sheet"])


def _known(row: Mapping[str, str | list[str]]) -> KnownSheet:
    name = parse_media_name(str(row["name"]))
    if name is None:
        raise ValueError(f"sheets.toml: {row['name']}")
    return KnownSheet(
        Sheet(name.text, name.size), str(row["label"]), tuple(row["aliases"]), str(row["source"])
    )


def find_sheet(text: str) -> Sheet:
    """The sheet that ``text`` names.

    Takes common names (``A4``, ``us letter``, ``JIS B4``), self-describing names of PWG 5101.1 and plain
    sizes (``297x420mm``, ``11x17in``; a bare number is millimetres, the shorter side goes first).

    Raises:
        UsageError: No such sheet, two sheets of that name, or a size no sheet can have.
    """
    text = " ".join(text.split())
    if len(text) > _LONGEST_NAME:
        text = text[:_LONGEST_NAME] + "…"
    words = text.lower()
    known = _by_key().get(_key(words))
    if known is not None:
        return known.sheet
    _refuse_doubtful(text, words)
    name = parse_media_name(words)
    if name is not None:
        return _named(name)
    custom = _CUSTOM.fullmatch(words)
    if custom is not None:
        return _custom(text, *custom.groups())
    raise _unknown(text, words)


def sheet_label(sheet: Sheet) -> str:
    """What people call the sheet: its common name, else its size, such as ``300 × 400 mm``."""
    for known in known_sheets():
        if known.sheet.name == sheet.name:
            return known.label
    return _size_in_words(sheet.size)


def sheet_of_size(size: Size, within: float = SAME_SIZE) -> Sheet:
    """The nearest known sheet of this size, either way round and within ``within`` mm, else a custom one."""
    short, long = sorted(size)

    def distance(sheet: Sheet) -> float:
        width, length = sorted(sheet.size)
        return max(abs(width - short), abs(length - long))

    nearest = min((known.sheet for known in known_sheets()), key=distance)
    if distance(nearest) <= within:
        return nearest
    plain = Size(round(short, 2), round(long, 2))
    return Sheet(custom_media_name(plain), plain)


def default_sheet(environ: Mapping[str, str]) -> Sheet:
    """The everyday sheet of the locale that the environment names: letter in North America, else A4.

    Args:
        environ: The process's environment; LC_ALL goes before LC_PAPER before LANG, as POSIX orders them.
    """
    locale = next((environ[key] for key in ("LC_ALL", "LC_PAPER", "LANG") if environ.get(key)), "")
    territory = re.split(r"[.@]", locale)[0].replace("-", "_").rpartition("_")[2]
    return find_sheet("letter" if territory.upper() in LETTER_COUNTRIES else "A4")


def parse_margins(text: str) -> Margins:
    """Turn ``5mm`` (all edges) or ``TOP,RIGHT,BOTTOM,LEFT`` into margins.

    Raises:
        UsageError: Not one or four lengths, or one is negative.

    >>> parse_margins("5mm,5mm,12.7mm,5mm")
    Margins(top=5.0, right=5.0, bottom=12.7, left=5.0)
    """
    lengths = [parse_length(part) for part in text.split(",")] if text.strip() else []
    if len(lengths) == 1:
        lengths *= 4
    if len(lengths) != 4:
        raise UsageError(
            f"'{text}' does not give the margins",
            "write one length for all edges, as in 5mm, or four in the order top,right,bottom,left "
            "with a point for decimals, as in 5mm,5mm,12.7mm,5mm",
        )
    if min(lengths) < 0:
        raise UsageError(f"the margins '{text}' have a length below zero", "write 0mm or more for each edge")
    return Margins(*lengths)


@cache
def _by_key() -> Mapping[str, KnownSheet]:
    return {_key(word): known for known in known_sheets() for word in (known.label, *known.aliases)}


def _key(words: str) -> str:
    """The word without what people spell differently."""
    return re.sub(r"[ _()-]", "", words.lower())


def _refuse_doubtful(text: str, words: str) -> None:
    key = _key(words)
    if key in _UNSTANDARDISED:
        raise UsageError(
            f"'{text}' is not a standardised size, and makers sell different sheets under that name",
            "measure the sheet and write its size, as in 329x483mm",
        )
    series = _TWO_SERIES.fullmatch(key)
    if series is None:
        return
    choices = [_by_key().get(f"{standard}b{series[1]}") for standard in ("iso", "jis")]
    if all(choices):
        both = " and ".join(f"{c.label} ({_size_in_words(c.sheet.size)})" for c in choices if c)
        raise UsageError(f"'{text}' names two sheets, {both}", "write which of the two")


def _named(name: MediaName) -> Sheet:
    if name.kind == "roll" or name.size.height == 0:
        raise UsageError(
            f"'{name.text}' is a roll, and tiles are printed on cut sheets",
            "name a sheet by its size, as in 297x420mm",
        )
    if name.kind == "disc":
        raise UsageError(f"'{name.text}' is a disc", "name a sheet of paper, such as A4 or letter")
    _refuse_absurd(name.text, name.size)
    return Sheet(name.text, name.size)


def _custom(text: str, width: str, length: str) -> Sheet:
    if _NUMBER_ONLY.fullmatch(width):  # 11x17in: the unit stands once, at the end
        width += _NUMBER_ONLY.sub("", length)
    try:
        size = Size(parse_length(width), parse_length(length))
    except UsageError:
        raise UsageError(
            f"'{text}' is not a size of a sheet", "write width and length with mm, cm or in, as in 297x420mm"
        ) from None
    _refuse_absurd(text, size)
    return sheet_of_size(size)


def _refuse_absurd(text: str, size: Size) -> None:
    short, long = sorted(size)
    if short >= SHORTEST_SIDE and long <= LONGEST_SIDE:
        return
    bounds = f"between {SHORTEST_SIDE:g} and {LONGEST_SIDE:g} mm"
    inches = Size(short * 25.4, long * 25.4)
    remedy = f"both sides must be {bounds}"
    if 0 < long <= 50 and inches.width >= SHORTEST_SIDE:
        remedy += f"; for inches write {format_number(size.width, 3)}x{format_number(size.height, 3)}in"
    raise UsageError(f"'{text}' is {_size_in_words(size)}, which no sheet can be", remedy)


def _unknown(text: str, words: str) -> UsageError:
    if _PWG_FORM.fullmatch(words):
        return UsageError(
            f"'{text}' is not a media name in the form of PWG 5101.1",
            "write class_name_WIDTHxLENGTH and the unit (in for na, asme, roc and oe, mm for iso, jis, jpn,"
            " prc and om, either for custom) without needless zeros, as in iso_a4_210x297mm",
        )
    import difflib

    near = difflib.get_close_matches(_key(words), _by_key(), n=3, cutoff=0.7)
    labels = list(dict.fromkeys(_by_key()[key].label for key in near)) or ["A4", "A3", "Letter", "Tabloid"]
    return UsageError(
        f"no sheet is called '{text}'",
        f"did you mean {' or '.join(labels)}?"
        if near
        else f"write a name such as {', '.join(labels)}, or a size such as 297x420mm",
    )


def _size_in_words(size: Size) -> str:
    return f"{format_number(size.width, 2)} × {format_number(size.height, 2)} mm"
