from typing_extensions import Buffer

core: str

_Position = tuple[int, int, int, int, int, int, int, int, int, int, int]

def moves(position: _Position, portable: bool = False, /) -> tuple[bytes, bool]: ...
def perft(position: _Position, depth: int, portable: bool = False, /) -> int: ...
def attacks(kind: int, square: int, occupied: int, portable: bool = False, /) -> int: ...
def search(
    position: _Position,
    genre: int,
    task: int,
    n: int,
    most_positions: int,
    most_seconds: float,
    most_lines: int,
    cancel: Buffer | None,
    portable: bool = False,
    /,
) -> tuple[bytes, int, float, bool]: ...
