"""tiler: the flat of a box, printed at true size on a desktop printer.

The path of the data is the order of the packages:

1. ``flat`` reads the print file, as a person sees its page, in millimetres.
2. ``structure`` finds its cuts, creases and panels.
3. ``plan`` divides it into the fewest strong sheets.
4. ``marks`` says what is drawn on each sheet, as plain shapes.
5. ``pack`` writes the PDF: map page, assembly page, tiles.

``printers`` knows sheets and devices; ``job`` ties a run together for the command line and the screen.
"""

from __future__ import annotations

__version__ = "1.0.0"
