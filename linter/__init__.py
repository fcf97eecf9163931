"""The tool: readers of file kinds, the pipeline, reports and the command line."""
