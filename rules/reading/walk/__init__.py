"""The walk through a text: the cheapest way to take its frames as play from the diagram."""
