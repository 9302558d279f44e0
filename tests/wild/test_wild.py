"""Wild files make packs that hold, or are refused in a sentence; slow, so only when asked for."""

from __future__ import annotations

import os

import pytest

from tests.wild.__main__ import attempts, table
from tests.wild.fetch import OfflineError, wild_files


@pytest.mark.skipif(not os.environ.get("TILER_WILD"), reason="set TILER_WILD=1 to fetch and try wild files")
def test_no_wild_file_does_harm() -> None:
    try:
        files = wild_files()
    except OfflineError as problem:
        pytest.skip(f"the wild files cannot be fetched: {problem}")
    found = list(attempts(files))
    print("\n".join(table(found)))
    faults = [each for each in found if each.verdict == "fault"]
    assert faults == []
    assert sum(1 for each in found if each.verdict == "pack") > len(found) / 3
