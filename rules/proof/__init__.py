"""What is true: the search behind every proof, in C and in plain Python, and the memory of what it found."""
