"""Reasons in words, decided on the positions they may speak of: one file for each kind of reason."""
