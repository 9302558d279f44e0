"""Sentences of the core as the screen shows them. Pure."""

from __future__ import annotations

import re

from tiler.tui.work import Problem

PHRASES = (
    (r"--page \d+ takes another", "the key g takes another"),
    (r"--inside \d+ prints it on the backs", "the row Inside prints it on the backs"),
    (r"with --line-as\b", "in its row under Structure"),
    (r"with --lines\b", "in the row Line file"),
    (r"with --crease\b", "with the key c"),
    (r"with --margins\b", "in the row Margins"),
    (r"with --page\b", "with the key g"),
    (r"with --fold\b", "in its row"),
    (r"give it with --password\b", "type it"),
    (r"give the right one with --password\b", "type the right one"),
    (r"choose --page\b", "choose page"),
    (r"--orientation portrait\b", "portrait in the row Lies"),
    (r"as in --[a-z-]+ ", "as in "),
    (r"--ppi N\b", "a Resolution"),
    (r"--size WxH\b", "a Size"),
    (r"--ppi and --size are for pictures", "Resolution and Size are for pictures"),
    (r"--ppi (?=\d)", "resolution "),
    (r"--size (?=\d)", "size "),
    (r"--ppi\b", "Resolution"),
    (r"--size\b", "Size"),
    (r"--inside\b", "Inside"),
    (r"--box\b", "Box"),
)
"""How the core names an option of the command line, and how the screen names the same choice."""


def capital(sentence: str) -> str:
    """The sentence with a capital letter, unless it begins with the name of a file.

    >>> capital("the disk is full"), capital("lid.pdf has 2 pages")
    ('The disk is full', 'lid.pdf has 2 pages')
    """
    first = sentence.split(" ", 1)[0]
    is_file = any(sign in first.rstrip(":") for sign in "./\\_")
    return sentence if is_file else f"{sentence[:1].upper()}{sentence[1:]}"


def own_words(sentence: str) -> str:
    """A sentence that names options of the command line, with the names that rows and keys have here.

    >>> own_words("name a line file with --lines, or a crease with --crease")
    'name a line file in the row Line file, or a crease with the key c'
    >>> own_words("choose another page box with --some-thing")
    'choose another page box with some thing'
    """
    for pattern, words in PHRASES:
        sentence = re.sub(pattern, words, sentence)
    return re.sub(r"(?<!\S)--([a-z][a-z-]*)", lambda found: found[1].replace("-", " "), sentence)


def told(problem: Problem) -> str:
    """A problem with its remedy on a line of its own."""
    lines = [f"{capital(own_words(problem.sentence))}."]
    if problem.remedy:
        lines.append(f"→ {capital(own_words(problem.remedy))}.")
    return "\n".join(lines)
