"""Manuscripts: what people write in (.docx, .odt, HTML, LaTeX, PDF, .rtf), read as text, given back with remarks."""
