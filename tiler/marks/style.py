"""The drawing office's few line widths, greys, type sizes and distances. Everything drawn takes from these.

Three widths, three greys, four type sizes, four distances: a sheet stays calm because nothing on it is
arbitrary. House style, no source.
"""

from __future__ import annotations

HAIR = 0.1
"""Finest line, mm: hatching, edges of tabs. 0.28 pt, which every office printer holds."""
FINE = 0.18
"""Working line, mm: seams, marks, dimensions."""
FIRM = 0.35
"""Line that is measured or cut to, mm."""

BLACK = 0.0
"""Words and lines that carry a measure."""
QUIET = 0.4
"""Words of second rank and working lines."""
FAINT = 0.62
"""Hatching."""

GIANT = 22.0
"""The tile label, pt."""
TITLE = 9.0
"""Words that tell where a neighbour goes, pt."""
NOTE = 6.5
"""Everything a person reads twice at most, pt."""
TINY = 5.0
"""Words inside a cut allowance, pt."""

CLOSE = 1.0
"""Smallest distance between two things, mm."""
NEAR = 2.0
"""Distance between parts of one thing, mm."""
APART = 3.0
"""Distance between two things, mm."""
WIDE = 5.0
"""Distance between groups, mm."""

HALO = 0.25
"""White edge of lines and letters on art, mm."""

CAP_HEIGHT = 0.66
"""Height of a capital of Source Sans Pro, em (the face's OS/2 table)."""
DESCENT = 0.22
"""Depth of p and q below the base line, em (measured by rendering the face)."""
