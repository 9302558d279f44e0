"""Tests of the screen."""
