"""Edits: pure functions (document, ...) -> Document. One file per subject; knows no library, no drawing, no Qt.

An edit that changes nothing returns the same object; one that cannot be done raises EditRefused(code, values). An edit
of how the boat is drawn leaves `document.network` the same object.
"""
