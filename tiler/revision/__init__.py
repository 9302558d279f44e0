"""What changed between two revisions of a flat, and which tiles have to be printed again.

Both flats are drawn tile by tile at the old plan's seams and compared pixel by pixel (``compare``); changed
pixels are gathered into areas (``areas``), text into words (``words``); ``changes`` puts it together and
``reprint`` writes the sheets.
"""

from __future__ import annotations
