"""Timings and sizes, run by hand: ``python -m tests.bench.run``. Nothing here passes or fails."""

from __future__ import annotations
