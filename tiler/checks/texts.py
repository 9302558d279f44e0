"""The proof list: every text in reading order, panel by panel, with what must be held against the brief."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from tiler.checks.finding import TextEntry
from tiler.checks.sight import Sight
from tiler.flat.text import TextRun
from tiler.units import MM_PER_POINT

SAME_LINE = 0.5
"""Base lines nearer than this are one line of reading, in em."""

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
_NUMBER = re.compile(
    r"[±+−-]?\d[\d.,:/×x\u00a0]*(?:\s?(?:%|°C|°F|°|[A-Za-zµ²³Ω℮]{1,4}(?:[²³/]\w{0,3})?)(?!\w))?"
)
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def text_entries(sight: Sight, words: Collection[str] | None = None) -> tuple[TextEntry, ...]:
    """All texts, numbered in reading order.

    Args:
        sight: The flat.
        words: Small-letter words that are spelt right; None marks none.
    """
    order = {panel.id: number for number, panel in enumerate(sight.structure.panels)}
    placed = []
    for run in sight.runs:
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


def reading_order(runs: Sequence[TextRun]) -> list[TextRun]:
    """Runs of one panel as a person reads them: by direction, then line by line, each line along its base."""
    directions: dict[int, list[TextRun]] = {}
    for run in runs:
        directions.setdefault(round(run.angle / 90) % 4, []).append(run)
    ordered: list[TextRun] = []
    for quarter in sorted(directions):
        lines: list[tuple[float, list[TextRun]]] = []
        for run in sorted(directions[quarter], key=lambda item: _along_down(item, quarter)[1]):
            down = _along_down(run, quarter)[1]
            if lines and down - lines[-1][0] <= SAME_LINE * run.size * MM_PER_POINT:
                lines[-1][1].append(run)
            else:
                lines.append((down, [run]))
        for _, line in lines:
            ordered += sorted(line, key=lambda item: _along_down(item, quarter)[0])
    return ordered


def _along_down(run: TextRun, quarter: int) -> tuple[float, float]:
    """A run's start along its own direction and down from it, mm."""
    x, y = run.origin
    return ((x, y), (y, -x), (-x, -y), (-y, x))[quarter]


def facts_in(text: str) -> tuple[tuple[str, str], ...]:
    """Addresses, dates and numbers, in the order of the text.

    >>> facts_in("Best before 3 May 2027, 0.4 kg, heronwick.example")
    (('date', '3 May 2027'), ('number', '0.4 kg'), ('address', 'heronwick.example'))
    """
    found: list[tuple[int, int, str, str]] = []
    for kind, pattern in (("address", _ADDRESS), ("date", _DATE), ("number", _NUMBER)):
        for match in pattern.finditer(text):
            start, end = match.span()
            if kind == "address" and not re.search(r"[A-Za-z]{2}", match[0]):
                continue
            if all(end <= a or start >= b for a, b, _, _ in found):
                found.append((start, end, kind, match[0].strip().rstrip(".,:;")))
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
