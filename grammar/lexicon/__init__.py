"""The words that chess is told in: tables that an editor can extend, and the lexemes a text is cut into."""
