"""Tests of tiler, in the order of its modules."""

from __future__ import annotations
