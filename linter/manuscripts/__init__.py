"""Manuscripts: what people write in (.docx, .odt, .html, LaTeX, PDF, .rtf), read as text, and given back with remarks."""
