"""First stage: read the flat, as a person sees its page, in millimetres."""

from __future__ import annotations
