"""Third stage: divide the flat into the fewest strong sheets. Pure: no files, no printing, no clock."""

from __future__ import annotations
