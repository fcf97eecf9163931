"""The exit statuses of every command, in one table."""

from enum import IntEnum


class Exit(IntEnum):
    """What a run's exit status says. Of several that apply, the one listed later wins.

    The last two are 128 plus the number of the signal, as shells report it.
    """

    clean = 0  # nothing at or above the bar; for `prove`: sound
    not_understood = 3  # of a text less than half was understood, so it was not proofread, whatever was found or not
    findings = 1  # something at or above the bar; for `prove`: unsound or unproved
    unreadable = 2  # a file could not be read or keyproof failed on it, or the command was misused
    interrupted = 130
    broken_pipe = 141
