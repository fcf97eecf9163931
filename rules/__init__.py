"""What is true: positions under the conventions, play, proof, and the rules that compare them with the text."""
