"""The editor server: the Language Server Protocol over standard input and output."""
