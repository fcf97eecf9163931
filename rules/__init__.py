"""What is true: positions under the composition conventions, play, proof, and the rules that compare them with the text."""
