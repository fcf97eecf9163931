"""The tables of a grammar, taken out of lark's own LALR parser.

This is the one place that knows private parts of lark, and it runs only where tables are built:
pyproject.toml holds lark below its next minor version, and tests/grammar/test_driver.py compares
what the tables do with what lark does.
"""

from typing import Any

from lark import Lark
from lark.parsers.lalr_analysis import Shift

from .automaton import Grammar, Rule, Terminal
from .beginnings import beginnings
from .compiled import MATCHER, compiled


def parser(source: str) -> Lark:
    """Return lark's parser of a grammar."""
    return Lark(source, parser="lalr", lexer="basic", propagate_positions=False)


def build(source: str) -> Grammar:
    """Return the tables of a grammar: the same for the same grammar, in each process."""
    made = parser(source)
    frontend: Any = made.parser
    table = frontend.parser.parser.parse_table
    lexer = frontend.lexer
    rules = sorted(
        {action[1] for actions in table.states.values() for action in actions.values() if action[0] is not Shift},
        key=_key,
    )
    places = {rule: place for place, rule in enumerate(rules)}
    start, end = table.start_states["start"], table.end_states["start"]
    order = _reached(table.states, start)
    numbers = {state: number for number, state in enumerate(order)}
    states = [
        {
            symbol: numbers[to] if action is Shift else -1 - places[to]
            for symbol, (action, to) in sorted(table.states[state].items())
        }
        for state in order
    ]
    return Grammar(
        [_terminal(each.name, each.pattern.to_regexp()) for each in lexer.terminals],
        sorted(lexer.ignore_types),
        sorted({symbol.name for rule in made.rules if rule.origin.name == "aside" for symbol in rule.expansion}),
        [_rule(rule) for rule in rules],
        states,
        numbers[start],
        numbers[end],
        MATCHER,
    )


def _reached(states: Any, start: Any) -> list[Any]:
    """Return all states in the order in which they are met: lark numbers them as it happens to find them."""
    order, seen = [start], {start}
    for state in order:
        for _, (action, to) in sorted(states[state].items()):
            if action is Shift and to not in seen:
                seen.add(to)
                order.append(to)
    return order


def _key(rule: Any) -> tuple[str, tuple[str, ...], str]:
    return rule.origin.name, tuple(symbol.name for symbol in rule.expansion), rule.alias or ""


def _rule(rule: Any) -> Rule:
    options = rule.options
    if any(options.empty_indices) or options.template_source:
        raise ValueError(f"a grammar here has neither templates nor [parts] that leave a gap: {rule.origin.name}")
    kept = [
        (place, not symbol.is_term and symbol.name.startswith("_"))
        for place, symbol in enumerate(rule.expansion)
        if options.keep_all_tokens or not (symbol.is_term and symbol.filter_out)
    ]
    name = str(rule.alias or rule.origin.name)
    return Rule(str(rule.origin.name), len(rule.expansion), name, kept, options.expand1 and not rule.alias)


def _terminal(name: str, pattern: str) -> Terminal:
    found = beginnings(pattern)
    pairs = {sign: "".join(sorted(after)) for sign, after in sorted(found.pairs.items())}
    return Terminal(str(name), pattern, found.empty, "".join(sorted(found.lone)), pairs, compiled(pattern))
