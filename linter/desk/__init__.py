"""The desk: a page in the browser, served from this machine alone, on which a text is written and proofread."""
