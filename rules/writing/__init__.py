"""A solution written out from the proof, in several voices."""
