"""Fold the flat: panel tree, places in space, meeting edges, views, and how art meets at the corners.

The path of the data: hinges -> tree -> angles -> folding -> standing, meetings -> scene, strips, verdict.
All of it is geometry and arithmetic; nothing here opens a file but ``sampling``, which is handed pixels.
"""
