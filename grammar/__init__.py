"""What authors write: text, spans and the claims in it. Knows nothing of legality."""
