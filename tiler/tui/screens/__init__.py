"""Screens: each composes widgets and binds keys; the work is done elsewhere."""
