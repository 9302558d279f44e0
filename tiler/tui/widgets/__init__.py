"""Widgets: state comes down as attributes, messages go up."""
