"""What authors write: text, spans and the claims in it. Knows nothing of legality."""

from .expressions import recall

recall()  # before any module of ours is loaded: none is without expressions
