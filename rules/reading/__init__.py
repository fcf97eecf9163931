"""The walk through a solution text: statements in, moves, claims and reasons in their positions out."""
