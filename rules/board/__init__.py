"""A position and what can be said of it alone: what is asked, which moves a phrase means, who stands where."""
