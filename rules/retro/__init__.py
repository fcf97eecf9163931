"""What a position tells of the game that led to it (retro-analysis), as pure functions on `chess.Board`.

Every argument here works by elimination and errs on one side only: "impossible" is a
proof, anything else means "not disproved". A board is taken for its men and its side to
move alone; its castling and en passant fields are what these functions are to judge.
"""
