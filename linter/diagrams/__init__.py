"""Positions drawn for print and screen."""
