"""Findings before production: what a careful prepress person would list, each tied to its sheet."""

from __future__ import annotations
