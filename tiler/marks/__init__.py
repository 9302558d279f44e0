"""Fourth stage: what is drawn on a sheet, as plain shapes. Pure."""

from __future__ import annotations
