"""A memory of proofs beyond one run.

A question is a task, a position, a stipulation or length and an effort; the same question
to the same prover has the same answer, so that an unchanged puzzle need not be searched
again. Who keeps the answers, and for how long, is for the caller to arrange.
"""

import hashlib
import io
import pickle
import zlib
from collections.abc import Callable
from functools import cache, wraps
from pathlib import Path
from typing import Any, ParamSpec, Protocol, TypeVar

import chess
from msgspec import Struct

WORTH_KEEPING = {"native": 20_000, "plain": 0}
"""Positions searched above which an answer is kept, by prover: below, the search is as quick as the memory."""

P = ParamSpec("P")
T = TypeVar("T")

_RULES = Path(__file__).parents[1]
_MAKERS = (
    "board/fens.py",
    "board/playable.py",
    "board/stipulation.py",
    "proof/limits.py",
    "proof/memory.py",
    "proof/native.py",
    "proof/plain.py",
    "proof/proof.py",
    "proof/prover.py",
)
"""The files, from the folder of the rules, that make a proof what it is."""

_VALUES = ("keyproof.rules.proof.proof", "keyproof.rules.proof.prover", "keyproof.rules.board.stipulation")


class Store(Protocol):
    """Keeps answers by question. `fresh`: what is kept is not asked for, only renewed."""

    fresh: bool

    def look_up(self, question: str) -> bytes | None:
        """Return the answer kept for a question."""
        ...

    def keep(self, question: str, answer: bytes) -> None:
        """Keep an answer; a store that cannot simply does not."""
        ...


_store: Store | None = None


def use(store: Store | None) -> None:
    """Ask this store before each search from here on; None: always search."""
    global _store
    _store = store


@cache
def prover_version(backend: str) -> str:
    """Return a digest of all that makes a proof what it is: the kernel, if it serves, and the code around it.

    FileNotFoundError where a file of it is missing: left out, it could change and old proofs would still be taken.
    """
    makers = [_RULES / name for name in _MAKERS]
    if backend == "native":
        makers += sorted((_RULES / "proof" / "kernel").glob("_search.*"))
    digest = hashlib.sha256(backend.encode())
    for maker in makers:
        digest.update(maker.read_bytes())
    return digest.hexdigest()[:16]


def remembered(kind: type[T], backend: Callable[[], str]) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Make a search of `prover` look into the store first. `kind` is the type of its result.

    A search limited in seconds is never kept, nor one that was cancelled: the next may get further.
    """

    def decorate(search: Callable[P, T]) -> Callable[P, T]:
        @wraps(search)
        def answered(*args: P.args, **limits: P.kwargs) -> T:
            cancel: Any = limits.get("cancel")
            if _store is None or limits.get("seconds") is not None:
                return search(*args, **limits)
            prover = backend()
            # A mate in one takes fewer positions than are ever worth keeping, so nobody need look for it.
            short = WORTH_KEEPING[prover] > 0 and args[-1] in (0, 1)
            if not _store.fresh and not short:
                kept = _store.look_up(_question(search.__name__, prover, args, limits))
                known = None if kept is None else _decode(kept, kind)
                if known is not None:
                    return known
            found = search(*args, **limits)
            worth = not short and _positions(found) > WORTH_KEEPING[prover]
            if worth and (cancel is None or not cancel.cancelled):
                _store.keep(_question(search.__name__, prover, args, limits), _encode(found))
            return found

        return answered

    return decorate


def _positions(found: Any) -> int:
    """Return what an answer cost: a proof says so in `searched`, the others in `positions`."""
    positions: int = found.searched.positions if hasattr(found, "searched") else found.positions
    return positions


def _question(task: str, backend: str, args: tuple[Any, ...], limits: dict[str, Any]) -> str:
    board, *others = args
    asked = {name: value for name, value in limits.items() if name not in ("seconds", "cancel")}
    said = [f"{name}={value}" for name, value in sorted(asked.items())]
    fen = board.fen(en_passant="fen")
    return " ".join([prover_version(backend), task, fen, *map(str, others), *said])


class _Values(pickle.Unpickler):
    """Makes the values of a proof and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        if module in _VALUES or (module, name) == ("chess", "Move"):
            found = super().find_class(module, name)
            if isinstance(found, type) and issubclass(found, (Struct, chess.Move)):
                return found
        raise pickle.UnpicklingError(f"a proof holds no {module}.{name}")


def _encode(found: object) -> bytes:
    return zlib.compress(pickle.dumps(found, protocol=5), 1)  # its checksum tells a damaged answer


def _decode(kept: bytes, kind: type[T]) -> T | None:
    """Return the value kept, None if it is damaged in whatever way."""
    try:
        value = _Values(io.BytesIO(zlib.decompress(kept))).load()
    except Exception:
        return None
    return value if isinstance(value, kind) else None
