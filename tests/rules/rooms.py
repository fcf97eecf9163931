"""The rooms of keyproof and which of them each imports from, drawn as text.

    python tests/rules/rooms.py

prints the drawing that stands in DEVELOPERS.md; a test keeps the two alike.
"""

from pathlib import Path

from test_architecture import LAYERS, MODULES, ROOMS, ROOT, graph

Room = tuple[str, ...]


def room_of(path: Path) -> Room:
    """Return the folder of a module, the module itself where it stands alone in rules/."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return parts[:2] if len(parts) > 2 or parts[0] == "rules" else parts[:1]


def floor(room: Room) -> tuple[int, int, Room]:
    """Return what rooms are sorted by: the lowest first."""
    return LAYERS.index(room[0]), ROOMS.index(room[1]) if room[0] == "rules" else 0, room


def drawing() -> str:
    """Return one line a room, lowest first: the room, and the rooms that it imports from, nearest first."""
    rooms = {
        ".".join(("keyproof", *path.relative_to(ROOT).with_suffix("").parts)): room_of(path)
        for path in MODULES
        if path.name != "__init__.py"
    }
    arrows: dict[Room, set[Room]] = {room: set() for room in rooms.values()}
    for module, wanted in graph(MODULES).items():
        if module in rooms:
            arrows[rooms[module]] |= {rooms[each] for each in wanted if each in rooms} - {rooms[module]}
    width = max(len("/".join(room)) for room in arrows)
    lines = []
    for room in sorted(arrows, key=floor):
        to = ", ".join("/".join(each) for each in sorted(arrows[room], key=floor, reverse=True))
        lines.append(f"{'/'.join(room):{width}} {'-> ' if to else ''}{to}".rstrip())
    return "\n".join(lines)


if __name__ == "__main__":
    print(drawing())
