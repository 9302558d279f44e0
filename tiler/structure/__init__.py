"""Second stage: the cuts, creases and panels of the flat."""

from __future__ import annotations
