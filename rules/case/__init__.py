"""One puzzle on the desk, and what the rules ask of it: its reading, its proof, how it is printed and set."""
