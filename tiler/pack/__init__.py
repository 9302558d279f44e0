"""Fifth stage: write the pack, and nothing else touches the output."""

from __future__ import annotations
