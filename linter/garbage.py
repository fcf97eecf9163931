"""How often a process is searched for garbage: seldom, since hardly any of what it makes refers to itself."""

import gc

YOUNG = 50_000  # objects a process makes before they are searched: a puzzle leaves about a thousand


def keep_loaded() -> None:
    """Never search what is there now, and seldom what will be made."""
    gc.freeze()
    gc.set_threshold(YOUNG)
