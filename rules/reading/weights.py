"""What each part of a reply counts that words tell beside a defence: together they must come to ENOUGH."""

SQUARE = 3  # "b4 is free": the square it goes to, where nothing else that is read is told of it
MATE = 2  # "2.Qd6+": the mating move that fails, or its square
CHECK = 1  # "when she checks": that it would only be check
MAN = 1  # "the king": the man who escapes
TAKEN = 2  # "the knight could be had": the man who would be taken
MANNER = 2  # "steps in between", "is taken", "is free": how this reply escapes
MOVES = 1  # "comes back to": any move, where an escape is a move
SUPPOSED = 1  # "would", "if", "no longer": what could be played
ENOUGH = 5  # a square and how it escapes, or a square, a man and a condition
OTHERWISE = 6  # the same where its words were read as another reply: "if you take it, I come back to d8"
