"""Clauses into frames: what each says, with its slots filled in any order and what nothing covers remembered."""
