"""Sheets and printers as data."""

from __future__ import annotations
