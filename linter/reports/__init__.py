"""How results are shown: text for people, JSON for programs."""
