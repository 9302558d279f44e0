"""Tests of folding."""
