"""The proof list: every text in reading order, panel by panel, with what must be held against the brief."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Sequence

from tiler.checks.finding import TextEntry
from tiler.checks.group import clusters
from tiler.checks.sight import Sight
from tiler.flat.text import TextRun
from tiler.units import MM_PER_POINT

SAME_LINE = 0.5
"""Base lines nearer than this are one line of reading, in em."""

BLOCK_GAP = 0.8
"""Runs whose boxes grown by this meet are one block, in em."""

FOREIGN = 0.4
"""With more than this share of unknown words the text is in another language, and none is marked."""

FEWEST_WORDS = 8
"""Fewer different words than this tell nothing about the language."""

_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_ADDRESS = re.compile(
    r"(?:https?://|www\.)\S+|\S+@[\w-]+(?:\.[\w-]+)+|\b[A-Za-z0-9][\w-]*(?:\.[\w-]+)*\.[A-Za-z]{2,12}(?:/\S*)?\b"
)
_DATE = re.compile(
    rf"\b\d{{4}}-\d{{2}}-\d{{2}}\b|\b\d{{1,2}}[./]\d{{1,2}}[./]\d{{2,4}}\b"
    rf"|\b\d{{1,2}}\.?\s+(?:{_MONTHS})[a-z]*\.?\s+\d{{4}}\b|\b(?:{_MONTHS})[a-z]*\.?\s+(?:\d{{1,2}},?\s+)?\d{{4}}\b",
    re.IGNORECASE,
)
_UNITS = (
    "g/m² g/l mg/l mm cm m km m² m³ cm² cm³ g kg mg µg ml cl dl l L V A Ah mAh mA W kW Wh kWh lm lx cd K "
    "C F °C °F % ‰ h min s ms hours days years months pt in oz lb fl kJ kcal Hz kHz dB pcs pieces bar kPa Pa "
    "N Nm IU EUR USD GBP € $ £ ℮"
)
_ENDING = "|".join(re.escape(unit) for unit in _UNITS.split())
_NUMBER = re.compile(rf"(?<!\S)[^\s\d]{{0,6}}\d\S*(?:\s(?:{_ENDING})(?![\w²³]))?")
"""A written word with a figure in it, with the unit that follows."""
_AROUND = "()[]{}.,:;!?\"'“”‘’«»·•*"
"""What may stand round a number without being part of it."""
_ORNAMENTS = "|"
"""What parts words though it is no punctuation."""
_SPEECHLESS = ("P", "Z", "Cc", "Cf")
"""Categories of signs that say nothing alone: punctuation, spaces, controls (Unicode 15, 4.5). Other symbols
do say something, such as ℮, and so may a letter whose meaning the font does not tell.
"""
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def text_entries(sight: Sight, words: Collection[str] | None = None) -> tuple[TextEntry, ...]:
    """All texts that say something, numbered in reading order; a dot that stands alone is no text to read.

    Args:
        sight: The flat.
        words: Small-letter words that are spelt right; None marks none.
    """
    order = {panel.id: number for number, panel in enumerate(sight.structure.panels)}
    placed = []
    for run in filter(says_something, sight.runs):
        panel = sight.panel_at(run.box)
        placed.append((order[panel.id] if panel else len(order), panel.id if panel else "", run))
    ordered = []
    for number in sorted({item[0] for item in placed}):
        here = [(name, run) for index, name, run in placed if index == number]
        names = {id(run): name for name, run in here}
        ordered += [(names[id(run)], run) for run in reading_order([run for _, run in here])]
    unknown = _unknown_words([run.text for _, run in ordered], words)
    return tuple(
        TextEntry(
            id=number,
            text=run.text,
            box=run.box,
            size=run.size,
            x_height=run.x_height,
            cap_height=run.cap_height,
            font=run.font,
            angle=run.angle,
            panel=name,
            facts=facts_in(run.text),
            unknown=tuple(word for word in _words(run.text) if word.lower() in unknown),
        )
        for number, (name, run) in enumerate(ordered, start=1)
    )


def says_something(run: TextRun) -> bool:
    """False for a run of nothing but punctuation, such as the dots between the words of a title."""
    return any(
        sign not in _ORNAMENTS and not unicodedata.category(sign).startswith(_SPEECHLESS) for sign in run.text
    )


def reading_order(runs: Sequence[TextRun]) -> list[TextRun]:
    """Runs of one panel as a person reads them: by direction, block by block, then line by line."""
    directions: dict[int, list[TextRun]] = {}
    for run in runs:
        directions.setdefault(round(run.angle / 90) % 4, []).append(run)
    ordered: list[TextRun] = []
    for quarter in sorted(directions):
        same = directions[quarter]
        parts = clusters([run.box.grown(BLOCK_GAP * _em(run)) for run in same], 0.0)
        blocks = [_lines([same[index] for index in part], quarter) for part in parts]
        for block in _rows(blocks, quarter):
            ordered += block
    return ordered


def _em(run: TextRun) -> float:
    """The type size in mm."""
    return run.size * MM_PER_POINT


def _lines(runs: Sequence[TextRun], quarter: int) -> list[TextRun]:
    """Runs of one block line by line, each line along its base."""
    lines: list[tuple[float, list[TextRun]]] = []
    for run in sorted(runs, key=lambda item: _along_down(item, quarter)[1]):
        down = _along_down(run, quarter)[1]
        if lines and down - lines[-1][0] <= SAME_LINE * _em(run):
            lines[-1][1].append(run)
        else:
            lines.append((down, [run]))
    return [run for _, line in lines for run in sorted(line, key=lambda item: _along_down(item, quarter)[0])]


def _rows(blocks: Sequence[list[TextRun]], quarter: int) -> list[list[TextRun]]:
    """Blocks from the top; those that begin at much the same height from the left."""
    rows: list[tuple[float, list[list[TextRun]]]] = []
    for block in sorted(blocks, key=lambda item: _along_down(item[0], quarter)[1]):
        down = _along_down(block[0], quarter)[1]
        if rows and down - rows[-1][0] <= _em(block[0]):
            rows[-1][1].append(block)
        else:
            rows.append((down, [block]))
    return [
        block
        for _, row in rows
        for block in sorted(row, key=lambda item: min(_along_down(run, quarter)[0] for run in item))
    ]


def _along_down(run: TextRun, quarter: int) -> tuple[float, float]:
    """A run's start along its own direction and down from it, mm."""
    x, y = run.origin
    return ((x, y), (y, -x), (-x, -y), (-y, x))[quarter]


def facts_in(text: str) -> tuple[tuple[str, str], ...]:
    """Addresses, dates and numbers, in the order of the text.

    >>> facts_in("Best before 3 May 2027, 0.4 kg, heronwick.example")
    (('date', '3 May 2027'), ('number', '0.4 kg'), ('address', 'heronwick.example'))
    >>> facts_in("Model HW-3, 5 V, 350 g/m², dims to 1 %")
    (('number', 'HW-3'), ('number', '5 V'), ('number', '350 g/m²'), ('number', '1 %'))
    """
    found: list[tuple[int, int, str, str]] = []
    for kind, pattern in (("address", _ADDRESS), ("date", _DATE), ("number", _NUMBER)):
        for match in pattern.finditer(text):
            start, end = match.span()
            if kind == "address" and not re.search(r"[A-Za-z]{2}", match[0]):
                continue
            if all(end <= a or start >= b for a, b, _, _ in found):
                found.append((start, end, kind, match[0].strip(_AROUND + " ")))
    return tuple((kind, words) for _, _, kind, words in sorted(found))


def _words(text: str) -> list[str]:
    """Words to be spelt, addresses left out."""
    return [match[0] for match in _WORD.finditer(_ADDRESS.sub(" ", text)) if len(match[0]) > 2]


def _unknown_words(texts: Sequence[str], words: Collection[str] | None) -> set[str]:
    """Small-letter words that the list does not have; none when the list is plainly of another language."""
    if not words:
        return set()
    every = {word.lower() for text in texts for word in _words(text)}
    unknown = {word for word in every if not _is_known(word, words)}
    if len(every) >= FEWEST_WORDS and len(unknown) > FOREIGN * len(every):
        return set()
    return unknown


def _is_known(word: str, words: Collection[str]) -> bool:
    """True for a word of the list, or one with an ending that lists leave out."""
    plain = word.replace("’", "'")
    stems = [plain, plain.removesuffix("'s")]
    stems += [plain.removesuffix(ending) for ending in ("s", "es", "ed", "ing") if plain.endswith(ending)]
    return any(stem in words for stem in stems if len(stem) > 1)
