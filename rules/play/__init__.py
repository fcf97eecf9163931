"""The tree of positions that play leads to: its nodes, why a move cannot be played, why it is mate."""
