"""What a user without the compiled kernel should know, told once: proofs work and are slow."""

import contextlib

from keyproof.rules.proof.native import kernel

from .cache import folder

_TOLD = "told-that-proofs-are-slow"


def note() -> str | None:
    """Return what to tell, None where the kernel is at hand, or it was told before, or nothing may be kept."""
    place = folder()
    if kernel is not None or place is None or (place / _TOLD).exists():
        return None
    with contextlib.suppress(OSError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        (place / _TOLD).touch()
    return (
        "proofs are about a thousand times slower than they could be, as no C compiler was at hand when keyproof was "
        "installed: install one (such as gcc or clang), then keyproof again; this is said once"
    )
