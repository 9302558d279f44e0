"""``python -m tests.wild [PART]``: try all wild files, or those with PART in their path; print the table."""

from __future__ import annotations

import importlib
import os
import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.wild.attempt import Attempt, attempt
from tests.wild.fetch import OfflineError, wild_files

LOADED_ONCE = ("numpy", "pypdfium2", "pypdf", "shapely", "PIL.ImageCms", "tiler.run", "tiler.pack.writer")
"""What every attempt needs; loaded before the forks."""


def attempts(files: Sequence[Path]) -> Iterator[Attempt]:
    """Try one file after the other."""
    for module in LOADED_ONCE:
        importlib.import_module(module)
    for path in files:
        yield attempt(path)


def table(found: Sequence[Attempt]) -> list[str]:
    """Tried, packs, refusals and faults for each package."""
    lines = [f"{'package':14}{'tried':>7}{'packs':>7}{'refused':>9}{'faults':>8}"]
    packages = sorted({each.name.partition("/")[0] for each in found})
    for package in [*packages, "all"]:
        ours = [each for each in found if package in ("all", each.name.partition("/")[0])]
        counts = [sum(1 for each in ours if each.verdict == word) for word in ("pack", "refused", "fault")]
        lines.append(f"{package:14}{len(ours):>7}{counts[0]:>7}{counts[1]:>9}{counts[2]:>8}")
    slowest = max(found, key=lambda each: each.seconds)
    largest = max(found, key=lambda each: each.memory)
    lines.append(f"slowest {slowest.seconds:.1f} s: {slowest.name}")
    lines.append(f"largest {largest.memory / 1e6:.0f} MB: {largest.name}")
    return lines


def main(words: Sequence[str]) -> int:
    """Print every attempt and the table; 1 when there are faults."""
    try:
        files = wild_files()
    except OfflineError as problem:
        print(f"the wild files cannot be fetched: {problem}", file=sys.stderr)
        return 2
    share = os.environ.get("TILER_WILD_SHARE", "1/1").split("/")
    chosen = [path for path in files if not words or re.search(words[0], str(path))]
    found = []
    for each in attempts(chosen[int(share[0]) - 1 :: int(share[1])]):
        found.append(each)
        print(
            f"{each.verdict:8}{each.seconds:6.1f} s {each.memory / 1e6:5.0f} MB  {each.name}  {each.words}",
            flush=True,
        )
    print("\n".join(table(found)))
    return int(any(each.verdict == "fault" for each in found))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
