"""One reader for each kind of file: text in, masked text and blocks out."""
