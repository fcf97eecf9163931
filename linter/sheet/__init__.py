"""The proof sheet: one page in HTML with the diagrams, the text and what was found."""
