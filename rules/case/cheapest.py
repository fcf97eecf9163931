"""The cheapest way to deal out units of text to the positions of a file, by what each costs on each."""

from collections.abc import Sequence

from .units import Unit

# What a change of the position costs, by what stands between two units. Small numbers, weighed against prices.
SWITCH = {
    "line": 16,
    "clause": 8,  # of a sentence or paragraph that cannot be played whole
    "mention": 2,  # beside a sentence that names a puzzle on its way
    "block": 8,
    "heading": 0,
    "diagram": 0,
    "table": 4,
    "divider": 0,
}

_WEIGHT = 1000  # of a cost, against the number of texts that leave the layout's diagram: of equals the layout's


def cheapest(units: Sequence[Unit]) -> tuple[list[int | None], int]:
    """Return the puzzle of each unit in the cheapest way to deal them out, and what it costs."""
    trail: list[dict[int | None, int | None]] = []
    totals: dict[int | None, int] = {}
    for unit in units:
        step: dict[int | None, int] = {}
        back: dict[int | None, int | None] = {}
        best = min(totals, key=lambda state: totals[state]) if totals else None
        for state, cost in unit.costs.items():
            entry = unit.entry.get(state, 0) + (SWITCH[unit.before] if totals else 0)
            entered = _WEIGHT * entry + (totals[best] if totals else 0)
            stays = state in totals and totals[state] <= entered
            step[state] = _WEIGHT * cost + (state != unit.owner) + (totals[state] if stays else entered)
            back[state] = state if stays else best
        totals = step
        trail.append(back)
    state = min(totals, key=lambda state: totals[state]) if totals else None
    total = totals[state] // _WEIGHT if totals else 0
    owners: list[int | None] = []
    for back in reversed(trail):
        owners.append(state)
        state = back[state]
    return owners[::-1], total


def cost_of_layout(units: Sequence[Unit]) -> int:
    """Return what it costs to leave each unit with the puzzle that the layout gives it to."""
    total, last = 0, None
    for number, unit in enumerate(units):
        total += unit.costs[unit.owner]
        if number == 0 or last != unit.owner:
            total += unit.entry.get(unit.owner, 0) + (SWITCH[unit.before] if number else 0)
        last = unit.owner
    return total
