"""Positions gathered out of whatever words and signs name men and squares, where no form of a position was read."""
