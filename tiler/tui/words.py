"""Sentences of the core as the screen shows them. Pure."""

from __future__ import annotations

from tiler.tui.work import Problem


def capital(sentence: str) -> str:
    """The sentence with a capital letter, unless it begins with the name of a file.

    >>> capital("the disk is full"), capital("lid.pdf has 2 pages")
    ('The disk is full', 'lid.pdf has 2 pages')
    """
    first = sentence.split(" ", 1)[0]
    is_file = any(sign in first.rstrip(":") for sign in "./\\_")
    return sentence if is_file else f"{sentence[:1].upper()}{sentence[1:]}"


def told(problem: Problem) -> str:
    """A problem with its remedy on a line of its own."""
    lines = [f"{capital(problem.sentence)}."]
    if problem.remedy:
        lines.append(f"→ {capital(problem.remedy)}.")
    return "\n".join(lines)
