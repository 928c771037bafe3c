"""A decision graph of Ruleout and the runner that walks it: one file, the standard library only, Python 3.9 and newer.

    import NAME
    job = NAME.start()
    job.next                                       # the step to do
    job = job.answer("24.1 V")                     # what was found in that step
    job = job.find({"test": "try_lead"}, "gone")   # what was done and found out of order
    job = job.undo(0)                              # a finding was wrong: take it back, keep the rest
    record_text(job.record("K-1", faults=["panel_dead"]))
    job = NAME.start(language="de")                # the same with its texts in another language

A session is immutable: each finding gives a new one. The same findings give the same chances as every other runner.
"""

from __future__ import annotations

import decimal
import json
import math
import re
import unicodedata
from dataclasses import dataclass, field, replace
from functools import cached_property, cmp_to_key
from typing import Any, Callable, Iterable, Iterator, Mapping, NamedTuple, Optional, Sequence, Union

Act = Mapping[str, Any]
Entry = Mapping[str, Any]
Record = dict[str, Any]
Cells = tuple[int, ...]
Found = Union[str, Cells]
TakenNumbers = Mapping[str, Mapping[str, str]]
Node = Mapping[str, Any]
NEVER = math.inf


class RunError(Exception):
    """Every complaint of the runner. `code`: `graph`, `name`, `answer` or `ended`."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


# ------------------------------------------------------------------------------------------------ answers

PREFIXES: dict[str, float] = {
    **{"": 1, "p": 1e-12, "n": 1e-9, "u": 1e-6, "\u03bc": 1e-6, "m": 1e-3, "c": 0.01, "d": 0.1, "h": 100},
    **{"k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12, "Ki": 2.0**10, "Mi": 2.0**20, "Gi": 2.0**30, "Ti": 2.0**40},
}
#: A unit: its base unit, how many of it, and what is added so that both scales start at one place.
UNITS: dict[str, tuple[str, float, float]] = {
    **{u: (u, 1, 0) for u in "V A W VA var Ah J ohm F H Hz s K m m/s L L/h g N Nm Pa Pag bit bit/s".split()},
    **{u: (u, 1, 0) for u in "rpm % dB dBm lm lx deg count".split()},
    **{"\u03a9": ("ohm", 1, 0), "min": ("s", 60, 0), "h": ("s", 3600, 0), "Wh": ("J", 3600, 0)},
    **{"B": ("bit", 8, 0), "B/s": ("bit/s", 8, 0), "\u00b0": ("deg", 1, 0)},
    **{u: ("K", 1, 273.15) for u in ("degC", "\u00b0C")},
    **{u: ("K", 5 / 9, 459.67 * 5 / 9) for u in ("degF", "\u00b0F")},
    **{"inch": ("m", 0.0254, 0), "ft": ("m", 0.3048, 0), "mil": ("m", 254e-7, 0)},
    **{"oz": ("g", 28.349523125, 0), "lb": ("g", 453.59237, 0), "km/h": ("m/s", 1 / 3.6, 0), "L/min": ("L/h", 60, 0)},
    **{"bar": ("Pa", 1e5, 0), "psi": ("Pa", 6894.7572931684, 0)},
    **{"barg": ("Pag", 1e5, 0), "psig": ("Pag", 6894.7572931684, 0)},
}
TWELVE_DIGITS = decimal.Context(prec=12, rounding=decimal.ROUND_HALF_UP)
#: Room for binary fractions where a value lies half way between two that the meter can show.
HALF = 0.5 + 1e-9
MOST_SAID = 80


def unit_of(symbol: str) -> Optional[tuple[str, float, float]]:
    text = unicodedata.normalize("NFKC", symbol)
    for prefix, factor in PREFIXES.items():
        if text.startswith(prefix) and text[len(prefix) :] in UNITS:
            base, size, zero = UNITS[text[len(prefix) :]]
            return base, size * factor, zero
    return None


def convert(value: float, source: str, target: str) -> Optional[float]:
    """`value` in another unit of the same dimension, to 12 digits; None where there is no way."""
    if source == target:
        return value
    a, b = unit_of(source), unit_of(target)
    if a is None or b is None or a[0] != b[0]:
        return None
    exact = (value * a[1] + a[2] - b[2]) / b[1]
    return float(TWELVE_DIGITS.create_decimal_from_float(exact)) if math.isfinite(exact) else exact


def number_text(value: float) -> str:
    """A number as the records of all runners have it (ECMA-262, Number::toString)."""
    if value == 0:
        return "0"
    sign, digits, exponent = decimal.Decimal(repr(float(value))).normalize().as_tuple()
    shown = "".join(map(str, digits))
    point = len(shown) + int(exponent)
    if len(shown) <= point <= 21:
        text = shown + "0" * (point - len(shown))
    elif 0 < point <= 21:
        text = f"{shown[:point]}.{shown[point:]}"
    elif -6 < point <= 0:
        text = "0." + "0" * -point + shown
    else:
        power = point - 1
        mantissa = shown if len(shown) == 1 else f"{shown[0]}.{shown[1:]}"
        text = f"{mantissa}e{'+' if power > 0 else '-'}{abs(power)}"
    return f"-{text}" if sign else text


def work_out(reading: Mapping[str, Any], taken: Mapping[str, str]) -> str:
    """What a reading comes to, with its unit, from the numbers that it takes; by two digits finer than its meter."""
    numbers = []
    for each in reading["takes"]:
        own, said = each["unit"], taken.get(each["name"], "")
        match = re.match(r"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?) *(.*)$", said.strip())
        number = convert(float(match.group(1)), match.group(2) or own, own) if match else None
        if number is None:
            raise RunError("answer", f"`{each['name']}` is a number in {own}; `{said}` isn't.")
        numbers.append(number)
    try:
        result = result_of(reading["gives"], numbers)
    except ZeroDivisionError:
        result = math.inf
    if not math.isfinite(result):
        what = f"`{reading['name']}` can't be worked out of these numbers: it would divide by zero."
        raise RunError("answer", what)
    decimals = min(20, max(0, 2 - math.floor(math.log10(reading["by"]))))
    exact = decimal.Decimal(float(TWELVE_DIGITS.create_decimal_from_float(result)))
    rounded = exact.quantize(decimal.Decimal(1).scaleb(-decimals), decimal.ROUND_HALF_UP)
    return f"{number_text(float(rounded))} {reading['unit']}"


def result_of(formula: Any, numbers: Sequence[float]) -> float:
    if isinstance(formula, (int, float)):
        return float(formula)
    if formula[0] == "take":
        return float(numbers[formula[1]])
    left: float = result_of(formula[1], numbers)
    right: float = result_of(formula[2], numbers)
    if formula[0] == "+":
        return left + right
    if formula[0] == "-":
        return left - right
    product: float = left * right if formula[0] == "*" else left / right
    return product


def said_as(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return number_text(value)
    return value.strip() if isinstance(value, str) else ""


def wanted(reading: Mapping[str, Any]) -> str:
    if "by" in reading:
        return f"a number from {number_text(reading['from'])} to {with_unit(reading['to'], reading)}"
    return " or ".join(f"`{cell['label']}`" for cell in reading["cells"])


def with_unit(number: float, reading: Mapping[str, Any]) -> str:
    """What is merely counted has no unit that anybody says."""
    return number_text(number) if reading["unit"] == "count" else f"{number_text(number)} {reading['unit']}"


def brief(text: str) -> str:
    return f"{text[:MOST_SAID]}…" if len(text) > MOST_SAID else text


def read_value(reading: Mapping[str, Any], value: Any) -> tuple[int, str]:
    """The cell of a value, and the value as the record keeps it."""
    said = said_as(value)
    for i, cell in enumerate(reading["cells"]):
        if said in cell.get("values", ()) or said == cell["label"]:
            return i, said
    if "by" in reading and len(said) <= MOST_SAID:
        number = number_in(reading, said)
        cell_index = -1 if number is None else cell_at(reading, number)
        if number is not None and cell_index >= 0:
            return cell_index, with_unit(number, reading)
    raise RunError("answer", f"`{reading['name']}` is {wanted(reading)}; `{brief(said)}` isn't.")


def number_in(reading: Mapping[str, Any], said: str) -> Optional[float]:
    match = re.match(r"[-+.0-9]*(?:[eE][-+]?[0-9]+)?", said)
    digits = match.group() if match else ""
    if not re.fullmatch(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?", digits):
        return None
    unit = reading["unit"]
    return convert(float(digits), said[len(digits) :].strip() or unit, unit)


def cell_at(reading: Mapping[str, Any], number: float) -> int:
    def step(x: float) -> int:
        return int(math.floor((x - reading["from"]) / reading["by"] + HALF))

    if not reading["from"] <= number <= reading["to"]:
        return -1
    for i, cell in enumerate(reading["cells"]):
        if step(cell["from"]) <= step(number) <= step(cell["to"]):
            return i
    return -1


def read_answer(readings: Sequence[Mapping[str, Any]], found: Any) -> list[tuple[int, str]]:
    names = [reading["name"] for reading in readings]
    missing = RunError("answer", f"Give one value for each of {', '.join(f'`{name}`' for name in names)}.")
    if isinstance(found, (list, tuple)):
        if len(found) != len(readings):
            raise missing
        return [read_cell(reading, cell) for reading, cell in zip(readings, found)]
    given = dict(found) if isinstance(found, Mapping) else {names[0]: found}
    if set(given) != set(names):
        raise missing
    return [read_value(reading, given[reading["name"]]) for reading in readings]


def read_cell(reading: Mapping[str, Any], cell: Any) -> tuple[int, str]:
    if not is_index(cell, reading["cells"]):
        raise RunError("answer", f"`{reading['name']}` is {wanted(reading)}.")
    found = reading["cells"][cell]
    return int(cell), str([*found.get("values", ()), found["label"]][0])


# ------------------------------------------------------------------------------------------------ the graph

FORMAT = "ruleout-graph/2"
DEEPEST, MOST_FAULTS, MOST_TRIES, MOST_COMBINATIONS, LONGEST_PATH = 200, 2000, 10_000, 100_000, 2000
LONGEST_TEXT, GREATEST, ROUNDING = 10_000, 1e12, 1e-6


class ShapeError(Exception):
    """Where data is not of the shape wanted."""


def is_text(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= LONGEST_TEXT


def is_label(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= 100 * LONGEST_TEXT


def is_flag(value: Any) -> bool:
    return isinstance(value, bool)


def is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= GREATEST


def is_amount(value: Any) -> bool:
    return is_number(value) and value >= 0


def is_chance(value: Any) -> bool:
    return is_amount(value) and value <= 1


def is_tries(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_TRIES


def is_index(value: Any, items: Sequence[Any]) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < len(items)


def one_of(*words: str) -> Callable[[Any], bool]:
    return lambda value: value in words


def index_in(items: Sequence[Any]) -> Callable[[Any], bool]:
    return lambda value: is_index(value, items)


def match_shape(value: Any, shape: Any, path: str) -> None:
    """A shape is a predicate (which may answer with a further shape), a list with the shape of its items, or fields, with `?` where one may be missing."""
    if callable(shape):
        try:
            more = shape(value)
        except (TypeError, KeyError, IndexError, AttributeError, ValueError):
            more = False
        if not more:
            raise ShapeError(path)
        if isinstance(more, dict):
            match_shape(value, more, path)
    elif isinstance(shape, list):
        if not isinstance(value, list):
            raise ShapeError(path)
        for i, item in enumerate(value):
            match_shape(item, shape[0], f"{path}[{i}]")
    else:
        if not isinstance(value, dict):
            raise ShapeError(path)
        for key, wants in shape.items():
            name = key.rstrip("?")
            if name in value or name == key:
                match_shape(value.get(name), wants, f"{path}.{name}")


def check_graph(graph: Any) -> dict[str, Any]:
    """Format, lists, every index, every number, distributions, limits; nodes without a cycle."""
    fmt = graph.get("format") if isinstance(graph, dict) else None
    if fmt != FORMAT:
        what = f"`{fmt[:40]}`" if isinstance(fmt, str) else "no format"
        raise RunError("graph", f"This runner reads `{FORMAT}`, and the graph has {what}: compile it again.")
    try:
        match_shape(graph, lists_shape(), "graph")
        match_shape(graph, indexes_shape(graph), "graph")
        match_shape(graph["model"], model_shape(graph), "graph.model")
        check_lengths(graph)
        check_names(graph)
        check_nodes(graph)
    except ShapeError as error:
        raise RunError("graph", f"`{error}` is missing or wrong: compile the ruleset again.") from None
    return dict(graph)


def is_list(value: Any) -> bool:
    return isinstance(value, list)


def lists_shape() -> dict[str, Any]:
    cell = {"label": is_label, "values?": [is_text], "from?": is_number, "to?": is_number}
    return {
        "ruleset": {key: is_text for key in ("name", "title", "version", "source", "compiler")},
        "money": is_text,
        **{key: is_amount for key in ("bench", "waiting", "comeback", "handover")},
        **{key: is_chance for key in ("trust", "second", "unlisted")},
        "complaint": {"name": is_text, "text": is_text},
        "places": [
            {"name": is_text, "label": is_text, "kind": one_of("part", "setup"), "price?": is_amount, "spare?": is_flag}
        ],
        "faults": lambda faults: len(faults) <= MOST_FAULTS,
        "readings": [{"name": is_text, "question": is_text, "told": is_flag, "unit?": is_text, "cells": [cell]}],
        "tests": [
            {
                **{"name": is_text, "instruction": is_text, "minutes": is_amount, "waits?": is_amount},
                **{"kind": one_of("reads", "swaps", "redoes", "removes", "told"), "cost": is_amount},
                **{"needs": [is_text], "cautions": [is_text], "power?": one_of("on", "off")},
            }
        ],
        "rules": [{"name?": is_text, "because?": is_text, "line": is_amount}],
        "proofs": is_list,
        "nodes": is_list,
        "proof": {"exact": is_flag, "lower": is_amount},
        "expected": {"total": is_amount},
        "model": {"tests": is_list, "rules": is_list},
    }


def indexes_shape(graph: Mapping[str, Any]) -> dict[str, Any]:
    place, test = index_in(graph["places"]), index_in(graph["tests"])

    def has_cells(reading: Mapping[str, Any]) -> bool:
        return len(reading["cells"]) > 0 and all(is_cell(reading, cell) for cell in reading["cells"])

    return {
        "second": lambda second: second + graph["unlisted"] <= 1 + ROUNDING,
        "places": [{"of?": place, "behind?": [place]}],
        "faults": [{"name": is_text, "label": is_text, "place": place, "odds": is_amount, "remedy?": is_text}],
        "readings": [has_cells],
        "tests": [{"after?": [test], "afterAny?": [test]}],
        "proofs": [
            {
                **{"text": is_text, "times": is_amount, "minutes": is_amount, "places?": [place]},
                "expects?": lambda each: are_cells(graph, each["reading"], each["cells"]),
            }
        ],
        "start": index_in(graph["nodes"]),
    }


def is_cell(reading: Mapping[str, Any], cell: Mapping[str, Any]) -> bool:
    if "by" not in reading:
        return len(cell["values"]) >= 1
    ends = is_number(reading["from"]) and is_number(reading["to"]) and is_amount(reading["by"])
    return ends and reading["by"] > 0 and is_text(reading["unit"]) and cell["from"] <= cell["to"]


def are_cells(graph: Mapping[str, Any], reading: Any, cells: Any) -> bool:
    return is_index(reading, graph["readings"]) and all(
        is_index(cell, graph["readings"][reading]["cells"]) for cell in cells
    )


def is_condition(graph: Mapping[str, Any], value: Any, depth: int = 0) -> bool:
    if not isinstance(value, list) or depth > DEEPEST:
        return False
    kind, *items = value
    if kind == "in":
        return are_cells(graph, items[0], items[1])
    counts = len(items) == 1 if kind == "not" else kind in ("and", "or") and len(items) > 0
    return counts and all(is_condition(graph, item, depth + 1) for item in items)


def model_shape(graph: Mapping[str, Any]) -> dict[str, Any]:
    place, fault = index_in(graph["places"]), index_in(graph["faults"])

    def is_spread(chances: Any, reading: Any) -> bool:
        return (
            is_index(reading, graph["readings"])
            and isinstance(chances, list)
            and all(map(is_chance, chances))
            and len(chances) == len(graph["readings"][reading]["cells"])
            and abs(sum(chances) - 1) <= ROUNDING
        )

    def spreads(chances: Any) -> bool:
        return all(is_spread(each, reading) for reading, each in enumerate(chances))

    def is_redone(pair: Any) -> bool:
        return place(pair[0]) and is_chance(pair[1])

    def condition(value: Any) -> bool:
        return is_condition(graph, value)

    test = index_in(graph["tests"])
    work: dict[str, Any] = {
        **{"minutes": is_amount, "cost": is_amount, "waits": is_amount, "test?": test},
        **{"after?": [test], "afterAny?": [test], "onlyIf?": condition},
    }

    def is_work(value: Any) -> Any:
        return value is None or work

    verb = one_of("rule out", "leaves only")
    return {
        "complaint": {"minutes": is_amount, "tries": is_tries},
        **{"base": spreads, "healthy": spreads, "trust": [is_chance], "recurs": [is_chance]},
        "shows": [[lambda pair: is_spread(pair[1], pair[0])]],
        **{"eased": [[is_redone]], "reach": [[is_redone]], "replace": [is_work], "fix": [is_work]},
        "tests": [
            {
                **{"reads?": [index_in(graph["readings"])], "parts?": [place], "redoes?": [is_redone]},
                **{"tries?": is_tries, "onlyIf?": condition},
            }
        ],
        "rules": [{"when": condition, "verb": verb, "of": [fault], "chance": is_chance}],
        "nevers": [condition],
    }


def check_lengths(graph: Mapping[str, Any]) -> None:
    model, places = graph["model"], graph["places"]
    lengths = {
        **dict.fromkeys(("base", "healthy", "trust"), "readings"),
        **dict.fromkeys(("recurs", "shows", "eased", "fix"), "faults"),
        **{"reach": "places", "replace": "places", "tests": "tests", "rules": "rules"},
    }
    for key, of in lengths.items():
        if len(model[key]) != len(graph[of]):
            raise ShapeError(f"graph.model.{key}")
    for i, each in enumerate(places):
        if each["kind"] == "part" and not model["replace"][i]:
            raise ShapeError(f"graph.model.replace[{i}]")
    named: set[int] = set()
    for when in [*(rule["when"] for rule in model["rules"]), *model["nevers"]]:
        named |= readings_in(when)
    for t, test in enumerate(model["tests"]):
        check_test(graph, t, test, named)


def check_test(graph: Mapping[str, Any], t: int, test: Mapping[str, Any], named: set[int]) -> None:
    kind = graph["tests"][t]["kind"]
    reads, parts, redoes = test.get("reads", []), test.get("parts", []), test.get("redoes", [])
    if kind in ("reads", "told"):
        whole = len(reads) > 0 and len(set(reads)) == len(reads)
    else:
        whole = not reads and bool(redoes if kind == "redoes" else parts)
    are_parts = all(graph["places"][part]["kind"] == "part" for part in parts)
    if not whole or not are_parts or (kind == "redoes" and parts):
        raise ShapeError(f"graph.model.tests[{t}]")
    if math.prod(len(graph["readings"][r]["cells"]) if r in named else 1 for r in reads) > MOST_COMBINATIONS:
        raise ShapeError(f"graph.model.tests[{t}].reads")


def check_names(graph: Mapping[str, Any]) -> None:
    for key in ("places", "faults", "readings", "tests"):
        names: set[str] = set()
        for i, each in enumerate(graph[key]):
            if each["name"] in names:
                raise ShapeError(f"graph.{key}[{i}].name")
            names.add(each["name"])


def check_nodes(graph: Mapping[str, Any]) -> None:
    shapes = node_shapes(graph)
    for n, node in enumerate(graph["nodes"]):
        path = f"graph.nodes[{n}]"
        shape = shapes.get(str(node.get("do"))) if isinstance(node, dict) else None
        if shape is None:
            raise ShapeError(f"{path}.do")
        match_shape(node, shape, path)
        for e, edge in enumerate(node.get("edges", ())):
            if not is_outcome(graph, node, edge.get("on")):
                raise ShapeError(f"{path}.edges[{e}].on")
    check_acyclic(graph["nodes"])


def node_shapes(graph: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    fault = index_in(graph["faults"])
    edge: dict[str, Any] = {
        **{"to?": index_in(graph["nodes"]), "chance": is_chance, "leaveIn?": lambda value: value is True},
        **{"rulesOut": [fault], "because": [index_in(graph["rules"])]},
    }
    steps: dict[str, Any] = {"cost": is_amount, "costToGo": is_amount, "edges": [edge]}

    def part(value: Any) -> bool:
        return is_index(value, graph["places"]) and graph["places"][value]["kind"] == "part"

    candidate: dict[str, Any] = {"fault?": fault, "present": is_chance, "active": is_chance}
    return {
        "test": {**steps, "test": index_in(graph["tests"])},
        **{do: {**steps, "part": part} for do in ("takeOut", "putBack", "keep", "replace")},
        "fix": {**steps, "fault": lambda value: fault(value) and graph["model"]["fix"][value] is not None},
        "look": steps,
        "close": {**steps, "proofs": [index_in(graph["proofs"])]},
        "handover": {"candidates": [candidate]},
        "advise": {"costToGo": is_amount},
    }


def is_outcome(graph: Mapping[str, Any], node: Node, on: Any) -> bool:
    reads = graph["model"]["tests"][node["test"]].get("reads", []) if node["do"] == "test" else []
    if not reads:
        return isinstance(on, str) and on in WORDS.get(node["do"], ("gone", "stays"))
    return isinstance(on, list) and len(on) == len(reads) and all(
        is_index(cell, graph["readings"][reading]["cells"]) for reading, cell in zip(reads, on)
    )


def check_acyclic(nodes: Sequence[Node]) -> None:
    def targets(node: Node) -> list[int]:
        return [edge["to"] for edge in node.get("edges", ()) if "to" in edge]

    leading, steps = [0] * len(nodes), [0] * len(nodes)
    for node in nodes:
        for to in targets(node):
            leading[to] += 1
    free = [n for n, count in enumerate(leading) if count == 0]
    while free:
        n = free.pop()
        for to in targets(nodes[n]):
            steps[to] = max(steps[to], steps[n] + 1)
            leading[to] -= 1
            if leading[to] == 0:
                free.append(to)
    for n, count in enumerate(leading):
        if count > 0 or steps[n] > LONGEST_PATH:
            raise ShapeError(f"graph.nodes[{n}]")


# ------------------------------------------------------------------------------------------------ conditions

CellOf = Callable[[int], Optional[int]]


def holds(when: Sequence[Any], cell_of: CellOf) -> Optional[bool]:
    """Kleene's three values on partial evidence; None is unknown."""
    if when[0] == "in":
        cell = cell_of(when[1])
        return None if cell is None else cell in when[2]
    values = [holds(item, cell_of) for item in when[1:]]
    if when[0] == "not":
        return None if values[0] is None else not values[0]
    decides = when[0] == "or"
    return decides if decides in values else None if None in values else not decides


def readings_in(when: Sequence[Any]) -> set[int]:
    return {when[1]} if when[0] == "in" else set().union(*(readings_in(item) for item in when[1:]))


# ------------------------------------------------------------------------------------------------ the machine

Redone = dict[int, float]


@dataclass(frozen=True)
class Law:
    """A rule, or a `never` (no `rule`), which leaves nothing where it is true."""

    when: Sequence[Any]
    readings: frozenset[int]
    told: bool
    rule: Optional[int]
    leaves_only: bool
    of: frozenset[int]
    chance: float


@dataclass(frozen=True)
class Test:
    kind: str
    name: str
    reads: tuple[int, ...]
    parts: tuple[int, ...]
    redoes: Redone
    tries: int
    minutes: float
    waits: float
    cost: float
    after: tuple[int, ...]
    after_any: tuple[int, ...]
    only_if: Optional[Sequence[Any]]
    # Whether another test waits for this one, or another test or a proof for what it reads.
    awaited: bool


class Machine:
    """The graph, with all that it says of a thing in one place."""

    def __init__(self, graph: dict[str, Any]) -> None:
        self.graph, self.model = graph, graph["model"]
        self.places, self.faults = graph["places"], graph["faults"]
        self.readings, self.proofs, self.nodes = graph["readings"], graph["proofs"], graph["nodes"]
        self.place_of: list[int] = [fault["place"] for fault in self.faults]
        self.shows = [{r: chances for r, chances in pairs} for pairs in self.model["shows"]]
        self.eased: list[Redone] = [dict(pairs) for pairs in self.model["eased"]]
        self.reach: list[Redone] = [dict(pairs) for pairs in self.model["reach"]]
        works = [work for work in (*self.model["replace"], *self.model["fix"]) if work]
        gates = [*graph["tests"], *self.model["tests"], *works]
        before = {t for each in gates for t in (*each.get("after", ()), *each.get("afterAny", ()))}
        wanted = {proof["expects"]["reading"] for proof in self.proofs if "expects" in proof}
        wanted.update(*(readings_in(each["onlyIf"]) for each in gates if each.get("onlyIf")))
        self.tests = [
            self.test(t, each, t in before or not wanted.isdisjoint(each.get("reads", ())))
            for t, each in enumerate(self.model["tests"])
        ]
        rules = enumerate(self.model["rules"])
        self.laws = [self.law(r["when"], i, r["verb"] == "leaves only", r["of"], r["chance"]) for i, r in rules]
        self.laws += [self.law(when, None, False, (), 1) for when in self.model["nevers"]]
        self.laws_of = [[law for law in self.laws if r in law.readings] for r in range(len(self.readings))]

    def test(self, t: int, each: Mapping[str, Any], awaited: bool) -> Test:
        about = self.graph["tests"][t]
        return Test(
            about["kind"], about["name"], tuple(each.get("reads", ())), tuple(each.get("parts", ())),
            dict(each.get("redoes", ())), each.get("tries", 1), about["minutes"], about.get("waits", 0),
            about["cost"], tuple(about.get("after", ())), tuple(about.get("afterAny", ())), each.get("onlyIf"),
            awaited,
        )  # fmt: skip

    def law(
        self, when: Sequence[Any], rule: Optional[int], leaves_only: bool, of: Iterable[int], chance: float
    ) -> Law:
        names = frozenset(readings_in(when))
        told = all(self.readings[r]["told"] for r in names)
        return Law(when, names, told, rule, leaves_only, frozenset(of), chance)

    def work(self, do: str, index: int) -> Optional[Mapping[str, Any]]:
        """What a repair takes, where there is such a repair."""
        work: Optional[Mapping[str, Any]] = self.model[do][index] if do in ("replace", "fix") else None
        return work

    def cautions(self, do: str, index: int) -> tuple[str, ...]:
        """What can hurt: of a test its own, of other work on a place those of all tests that work on it."""
        tests: Sequence[Mapping[str, Any]] = self.graph["tests"]
        if do == "test":
            return tuple(dict.fromkeys(tests[index]["cautions"]))
        if do not in ("takeOut", "putBack", "replace", "fix"):
            return ()
        place = self.place_of[index] if do == "fix" else index
        working = (tests[t] for t, test in enumerate(self.tests) if place in test.parts or place in test.redoes)
        return tuple(dict.fromkeys(caution for test in working for caution in test["cautions"]))

    def needs(self, do: str, index: int) -> tuple[str, ...]:
        """The tools of a test; of a repair that takes a test's work those of that test."""
        test = index if do == "test" else (self.work(do, index) or {}).get("test")
        return () if test is None else tuple(self.graph["tests"][test]["needs"])

    def price(self, part: int) -> float:
        return float(self.places[part].get("price", 0))


# ------------------------------------------------------------------------------------------------ belief


class Taken(NamedTuple):
    """A reading once taken: by which action, the cell, and the parts that were fitted then."""

    time: int
    cell: int
    fitted: frozenset[int]


class Hypothesis(NamedTuple):
    """A state and when each of its faults was cured. One fault is `a`; something not listed has -1 for both."""

    a: int
    b: int
    cured_a: float
    cured_b: float
    weight: float
    acted: tuple[int, ...] = ()


@dataclass(frozen=True)
class Job:
    """What everybody at the bench knows of a job after some actions."""

    taken: tuple[tuple[Taken, ...], ...]
    time: int = 0
    fitted: dict[int, int] = field(default_factory=dict)
    left_in: frozenset[int] = frozenset()
    done: frozenset[int] = frozenset()
    fresh: frozenset[tuple[int, ...]] = frozenset()
    repairs: frozenset[tuple[str, int]] = frozenset()
    touched: frozenset[int] = frozenset()
    redone: tuple[int, ...] = ()
    gone: Optional[bool] = None
    changed: bool = False
    may_look: bool = False
    ended: Optional[str] = None

    @cached_property
    def parts(self) -> frozenset[int]:
        return frozenset(self.fitted)

    def last(self, reading: int) -> Optional[Taken]:
        taken = self.taken[reading]
        return taken[-1] if taken else None

    def cell(self, reading: int) -> Optional[int]:
        last = self.last(reading)
        return None if last is None else last.cell


class Belief(NamedTuple):
    job: Job
    hypotheses: list[Hypothesis]


def start_belief(m: Machine, only: Optional[int] = None) -> Belief:
    graph = m.graph
    odds: list[float] = [fault["odds"] for fault in m.faults]
    second: float = graph["second"] if len(odds) > 1 else 0
    total = sum(odds)
    pairs = sum(odds[i] * sum(odds[i + 1 :]) for i in range(len(odds)))
    states = [(a, -1, (1 - second - graph["unlisted"]) * w / total) for a, w in enumerate(odds)]
    if second > 0 and pairs > 0:
        states += [
            (a, b, second * odds[a] * odds[b] / pairs) for a in range(len(odds)) for b in range(a + 1, len(odds))
        ]
    states.append((-1, -1, graph["unlisted"]))
    kept = [each for each in states if each[2] > 0 and (only is None or only in each[:2])]
    return Belief(
        Job(taken=((),) * len(m.readings)), [Hypothesis(a, b, NEVER, NEVER, weight) for a, b, weight in kept]
    )


def active_at(m: Machine, h: Hypothesis, time: int, out: frozenset[int]) -> int:
    """The faults that are active, as bits: 1 for `a`, 2 for `b`."""
    a = h.a >= 0 and h.cured_a >= time and m.place_of[h.a] not in out
    b = h.b >= 0 and h.cured_b >= time and m.place_of[h.b] not in out
    return (1 if a else 0) | (2 if b else 0)


def uncured(h: Hypothesis) -> list[int]:
    """Its faults that no action has cured."""
    return [fault for fault, cured_at in ((h.a, h.cured_a), (h.b, h.cured_b)) if fault >= 0 and cured_at == NEVER]


def active_now(m: Machine, h: Hypothesis, job: Job) -> int:
    return active_at(m, h, job.time, job.parts)


def is_active(m: Machine, h: Hypothesis, job: Job) -> bool:
    return h.a < 0 or active_now(m, h, job) != 0


# ------------------------------------------------------------------------------------------------ likelihood


def cell_chance(m: Machine, job: Job, h: Hypothesis, reading: int, cell: int) -> float:
    """A reading that was taken with the same of its speaking faults active gives what it gave then."""
    speaking = (1 if h.a >= 0 and reading in m.shows[h.a] else 0) | (2 if h.b >= 0 and reading in m.shows[h.b] else 0)
    told = m.readings[reading]["told"]
    now = speaking if told else speaking & active_now(m, h, job)
    for time, found, fitted in reversed(job.taken[reading]):
        then = speaking if told else speaking & active_at(m, h, time, fitted)
        if then == now:
            return 1 if found == cell else 0
    base: float = m.model["base"][reading][cell]
    usual: float = m.model["healthy"][reading][cell]
    if h.a < 0:
        shown = (usual + base) / 2
    elif now == 0:
        shown = usual
    elif now == 3:
        shown = (m.shows[h.a][reading][cell] + m.shows[h.b][reading][cell]) / 2
    else:
        shown = m.shows[h.a if now == 1 else h.b][reading][cell]
    sure: float = m.model["trust"][reading]
    return sure * shown + (1 - sure) * base


def miss_chance(m: Machine, h: Hypothesis, active: int) -> float:
    """The chance that a try of the complaint doesn't show it."""
    if h.a < 0:
        return 0
    recurs = m.model["recurs"]
    a: float = 1 - recurs[h.a] if active & 1 else 1
    b: float = 1 - recurs[h.b] if active & 2 else 1
    return a * b


def counting_proofs(m: Machine, job: Job) -> list[int]:
    return [p for p, proof in enumerate(m.proofs) if not proof.get("places") or job.touched & set(proof["places"])]


class Run(NamedTuple):
    """A proof run: minutes, tries of the complaint, and the cells that it expects of readings, each read once."""

    minutes: float
    times: int
    expects: dict[int, list[int]]


def run_of(m: Machine, proofs: Iterable[int]) -> Run:
    times, minutes = 0, 0.0
    expects: dict[int, list[int]] = {}
    for proof in (m.proofs[p] for p in proofs):
        times += proof["times"]
        minutes += proof["times"] * proof["minutes"]
        if "expects" in proof:
            reading, cells = proof["expects"]["reading"], proof["expects"]["cells"]
            expects[reading] = [cell for cell in expects.get(reading, dict.fromkeys(cells)) if cell in cells]
    return Run(minutes, times, expects)


def hold_chance(m: Machine, job: Job, h: Hypothesis, run: Run) -> float:
    """The chance that a proof run holds."""
    chance = miss_chance(m, h, active_now(m, h, job)) ** run.times
    for reading, cells in run.expects.items():
        chance *= sum(cell_chance(m, job, h, reading, cell) for cell in cells)
    return chance


# ------------------------------------------------------------------------------------------------ actions


class Action(NamedTuple):
    """`do` as in the graph, or `read` and `handOver`; `of`: index of the test, reading, part or fault."""

    do: str
    of: int = -1
    leave_in: bool = False

    @property
    def key(self) -> tuple[str, int]:
        return self.do, self.of

    @property
    def repair(self) -> Optional[tuple[str, int]]:
        return self.key if self.do in ("fix", "keep", "replace") else None


WORDS = {"close": ("holds", "fails"), "takeOut": ("done",), "keep": ("done",), "handOver": ("done",)}


@dataclass(frozen=True)
class Effect:
    """What an action does to the machine, before anything is found."""

    out: frozenset[int]
    reads: tuple[int, ...] = ()
    redoes: Redone = field(default_factory=dict)
    redoes_after: Redone = field(default_factory=dict)
    cures_part: int = -1
    cures: int = -1
    tries: int = 0
    works: tuple[int, ...] = ()
    minutes: float = 0
    waits: float = 0
    cost: float = 0


def effect_of(m: Machine, job: Job, action: Action) -> Effect:
    do, index, _ = action
    idle = Effect(job.parts)
    tries = m.model["complaint"]["tries"]
    if do == "test":
        return test_effect(m, job, idle, m.tests[index])
    if do == "read":
        return replace(idle, reads=(index,))
    if do == "putBack":
        t = m.tests[job.fitted[index]]
        back = replace(idle, redoes=t.redoes, tries=t.tries, minutes=t.minutes, waits=t.waits, cost=t.cost)
        return replace(back, out=job.parts - {index}, works=(index,))
    if do == "keep":
        return replace(idle, cures_part=index, cost=m.price(index))
    if do == "replace":
        work = paid(m, idle, m.model["replace"][index], m.price(index))
        return replace(work, redoes=m.reach[index], cures_part=index, tries=tries, works=(index,))
    if do == "fix":
        place = m.place_of[index]
        work = paid(m, idle, m.model["fix"][index], 0)
        return replace(work, redoes=m.reach[place], cures=index, tries=tries, works=(place,))
    if do == "look":
        return replace(idle, tries=tries)
    if do == "close":
        minutes = run_of(m, counting_proofs(m, job)).minutes
        return replace(idle, minutes=minutes, cost=minutes * m.graph["bench"] / 60)
    return idle


def test_effect(m: Machine, job: Job, idle: Effect, test: Test) -> Effect:
    work = replace(idle, minutes=test.minutes, waits=test.waits, cost=test.cost)
    if test.kind == "swaps":
        out = job.parts | frozenset(test.parts)
        return replace(work, redoes=test.redoes, tries=test.tries, works=test.parts, out=out)
    if test.kind == "removes":
        seats = {p for p, place in enumerate(m.places) if place.get("of", -1) in test.parts}
        out = job.parts | frozenset(test.parts) | seats
        return replace(work, redoes_after=test.redoes, tries=test.tries, works=test.parts, out=out)
    if test.kind == "redoes":
        return replace(work, redoes=test.redoes, tries=test.tries)
    return replace(work, reads=test.reads)


def paid(m: Machine, idle: Effect, work: Mapping[str, float], price: float) -> Effect:
    cost = price + work["cost"] + work["waits"] * m.graph["waiting"] / 60
    return replace(idle, minutes=work["minutes"], waits=work["waits"], cost=cost)


def cure_chance(m: Machine, redoes: Redone, fault: int) -> float:
    place, fails = m.place_of[fault], 1.0
    for setup, chance in redoes.items():
        fails *= 1 - (chance if setup == place else m.eased[fault].get(setup, 0))
    return 1 - fails


def fresh_key(m: Machine, job: Job, test: int) -> tuple[int, ...]:
    """How a test that is done counts as fresh: a swap by the parts that were fitted before it."""
    return (test, *sorted(job.fitted)) if m.tests[test].kind == "swaps" else (test,)


def job_after(m: Machine, job: Job, action: Action, effect: Effect, found: Found) -> Job:
    redone = (*effect.redoes, *effect.redoes_after)
    repair = action.repair
    following = replace(
        job,
        time=job.time + 1,
        touched=job.touched | set(effect.works) | set(redone),
        redone=tuple(dict.fromkeys((*job.redone, *redone))),
        repairs=job.repairs if repair is None else job.repairs | {repair},
        fresh=job.fresh if repair is None else frozenset(),
        **fitted_after(m, job, action, found),
        **look_after(m, action, effect, found),
    )
    if action.do == "test":
        fresh = following.fresh | {fresh_key(m, job, action.of)}
        following = replace(following, done=job.done | {action.of}, fresh=fresh)
    if not isinstance(found, str):
        return findings_after(m, following, job, effect.reads, found, action)
    if found == "holds":
        return replace(following, ended="closed")
    return replace(following, ended="handed over") if action.do == "handOver" else following


def fitted_after(m: Machine, job: Job, action: Action, found: Found) -> dict[str, Any]:
    if action.do in ("takeOut", "putBack", "keep"):
        fitted = {part: test for part, test in job.fitted.items() if part != action.of}
        return {"fitted": fitted, "left_in": job.left_in - {action.of}}
    if action.do != "test" or m.tests[action.of].kind != "swaps":
        return {}
    if found == "stays" and not action.leave_in:
        return {}
    parts = m.tests[action.of].parts
    fitted = {**job.fitted, **{part: action.of for part in parts}}
    return {"fitted": fitted, **({"left_in": job.left_in | set(parts)} if found == "stays" else {})}


def look_after(m: Machine, action: Action, effect: Effect, found: Found) -> dict[str, Any]:
    if action.do == "close":
        return {"gone": False} if found == "fails" else {}
    if action.do == "look":
        return {"gone": found == "gone", "changed": False, "may_look": False}
    if action.do == "takeOut":
        return {"changed": True, "may_look": True}
    if effect.tries == 0:
        return {}
    changed = action.do == "test" and m.tests[action.of].kind == "removes"
    return {"gone": found == "gone", "changed": changed, "may_look": True}


def findings_after(
    m: Machine, following: Job, job: Job, reads: Sequence[int], cells: Cells, action: Action
) -> Job:
    taken = list(following.taken)
    for reading, cell in zip(reads, cells):
        taken[reading] = (*taken[reading], Taken(job.time, cell, job.parts))
    following = replace(following, taken=tuple(taken))
    if action.do != "read":
        return following
    done = {t for t, each in enumerate(m.tests) if action.of in each.reads and all(taken[r] for r in each.reads)}
    return replace(following, done=following.done | done, fresh=following.fresh | {(test,) for test in done})


def act_of(m: Machine, action: Action) -> dict[str, Any]:
    if action.do in ("look", "close", "handOver"):
        return {action.do: True}
    if action.do == "test":
        return {"test": m.tests[action.of].name}
    if action.do == "read":
        return {"reading": m.readings[action.of]["name"]}
    return {action.do: (m.faults if action.do == "fix" else m.places)[action.of]["name"]}


NO_ACT = (
    'An act names a test, a reading, a part or a fault, like {"reading": "rail"}, or says look, close or handOver.'
)


def action_of(m: Machine, act: Any) -> Action:
    if not isinstance(act, Mapping):
        raise RunError("name", NO_ACT)
    for word in ("look", "close", "handOver"):
        if act.get(word):
            return Action(word)
    lists: dict[str, Sequence[Mapping[str, Any]]] = {
        **{"test": m.graph["tests"], "reading": m.readings, "fix": m.faults},
        **{kind: m.places for kind in ("takeOut", "putBack", "keep", "replace")},
    }
    for kind, items in lists.items():
        if kind not in act:
            continue
        index = next((i for i, each in enumerate(items) if each["name"] == act[kind]), -1)
        if index < 0:
            raise RunError("name", f"There is no {kind} `{brief(str(act[kind]))}` in this ruleset.")
        return read_action(m, index) if kind == "reading" else Action(kind, index)
    raise RunError("name", NO_ACT)


def read_action(m: Machine, reading: int) -> Action:
    """A told question is asked by its own test, however it was found out."""
    if m.readings[reading]["told"]:
        for t, test in enumerate(m.tests):
            if test.kind == "told" and test.reads[0] == reading:
                return Action("test", t)
    return Action("read", reading)


def why_impossible(m: Machine, job: Job, action: Action) -> Optional[str]:
    do, index, _ = action

    def inside(part: int) -> str:
        return f"The known-good `{m.places[part]['name']}` is in the machine."

    if do == "test":
        test = m.tests[index]
        if test.kind == "told" and index in job.done:
            return f"`{test.name}` has been answered: take the answer back first."
        return next((inside(part) for part in test.parts if part in job.fitted), None)
    if do in ("takeOut", "putBack", "keep"):
        return None if index in job.fitted else f"No known-good `{m.places[index]['name']}` is in the machine."
    if do == "replace":
        if m.places[index]["kind"] != "part":
            return f"`{m.places[index]['name']}` isn't a part."
        return inside(index) if index in job.fitted else None
    if do == "fix":
        if not m.model["fix"][index]:
            return f"The ruleset has no fix for `{m.faults[index]['name']}`."
        return inside(m.place_of[index]) if m.place_of[index] in job.fitted else None
    if do == "close" and job.fitted:
        return f"The known-good `{m.places[next(iter(job.fitted))]['name']}` is in the machine."
    return None


def reads_of(m: Machine, action: Action) -> tuple[int, ...]:
    if action.do == "read":
        return (action.of,)
    return m.tests[action.of].reads if action.do == "test" else ()


# ------------------------------------------------------------------------------------------------ outcomes


class Outcome(NamedTuple):
    """`tries`: expected number of tries of its look, given this outcome."""

    found: Found
    chance: float
    belief: Belief
    tries: float


@dataclass
class Way:
    """One way that an action can turn out."""

    found: Found
    job: Job
    laws: list[Law]
    hypotheses: list[Hypothesis] = field(default_factory=list)
    weight: float = 0
    tries: float = 0


class Branch(NamedTuple):
    way: Way
    h: Hypothesis
    chance: float
    tries: float


LEAST_LEFT, MOST_LISTED = 1e-12, 5000


def outcomes(m: Machine, belief: Belief, action: Action) -> list[Outcome]:
    """All that can come of an action, in the order of the cells; what has no chance is left out."""
    effect = effect_of(m, belief.job, action)
    if math.prod(len(m.readings[r]["cells"]) for r in effect.reads) > MOST_LISTED:
        return []
    return finished(spread(m, belief, action, effect, {}))


def after(m: Machine, belief: Belief, action: Action, found: Found) -> Belief:
    """The belief after an action and what was found; without hypotheses where no state fits."""
    effect = effect_of(m, belief.job, action)
    # What no law names needs no other cell than the one found.
    given = {} if isinstance(found, str) else {r: c for r, c in zip(effect.reads, found) if not m.laws_of[r]}
    for outcome in finished(spread(m, belief, action, effect, given)):
        if outcome.found == found:
            return outcome.belief
    return Belief(job_after(m, belief.job, action, effect, found), [])


def known_laws(job: Job, laws: Iterable[Law]) -> list[Law]:
    return [law for law in laws if holds(law.when, job.cell)]


def spread(m: Machine, belief: Belief, action: Action, effect: Effect, given: Mapping[int, int]) -> list[Way]:
    job = belief.job
    laws = laws_at_stake(m, effect, action)
    ways = []
    for found in founds_of(m, effect, action, given):
        following = job_after(m, job, action, effect, found)
        ways.append(Way(found, following, known_laws(following, laws)))
    branches_of = brancher(m, job, action, effect, ways, given)
    for h in belief.hypotheses:
        fits = math.prod(cell_chance(m, job, h, reading, cell) for reading, cell in given.items())
        if fits > 0:
            share(m, fits, branches_of(h))
    return ways


def share(m: Machine, fits: float, branches: Sequence[Branch]) -> None:
    """Puts what rules and nevers leave of a hypothesis, divided by its sum, on the ways that it can take."""
    total = 0.0
    kept: list[tuple[Way, Hypothesis, float, float]] = []
    for way, h, chance, tries in branches:
        if chance == 0:
            continue
        left, acted = left_by(m, way.job, h, way.laws) if way.laws else (1.0, h.acted)
        total += chance * left
        kept.append((way, h._replace(acted=acted), chance * left, tries))
    if total < LEAST_LEFT:
        return
    for way, h, weight, tries in kept:
        part = h.weight * fits * weight / total
        if part != 0:
            way.hypotheses.append(h._replace(weight=part))
            way.weight += part
            way.tries += part * tries


def finished(ways: Sequence[Way]) -> list[Outcome]:
    total = sum(way.weight for way in ways)
    return [
        Outcome(
            way.found,
            way.weight / total,
            Belief(way.job, [h._replace(weight=h.weight / way.weight) for h in way.hypotheses]),
            way.tries / way.weight,
        )
        for way in ways
        if way.weight > 0
    ]


def laws_at_stake(m: Machine, effect: Effect, action: Action) -> list[Law]:
    if action.do in ("close", "handOver"):
        return []
    if not effect.reads:
        return m.laws
    return list({id(law): law for r in effect.reads for law in m.laws_of[r]}.values())


def founds_of(m: Machine, effect: Effect, action: Action, given: Mapping[int, int]) -> list[Found]:
    if effect.reads:
        founds: list[Cells] = [()]
        for r in effect.reads:
            cells = [given[r]] if r in given else range(len(m.readings[r]["cells"]))
            founds = [(*found, cell) for found in founds for cell in cells]
        return list(founds)
    if action.do == "close":
        return ["holds", "fails"]
    return ["gone", "stays"] if effect.tries > 0 else ["done"]


def brancher(
    m: Machine, job: Job, action: Action, effect: Effect, ways: list[Way], given: Mapping[int, int]
) -> Callable[[Hypothesis], list[Branch]]:
    if effect.reads:
        open_reads = [(i, r) for i, r in enumerate(effect.reads) if r not in given]

        def read(h: Hypothesis) -> list[Branch]:
            chances = [
                [cell_chance(m, job, h, r, cell) for cell in range(len(m.readings[r]["cells"]))] for _, r in open_reads
            ]
            return [
                Branch(way, h, math.prod(chances[k][int(way.found[i])] for k, (i, _) in enumerate(open_reads)), 0)
                for way in ways
            ]

        return read
    if action.do == "close":
        run = run_of(m, counting_proofs(m, job))

        def prove(h: Hypothesis) -> list[Branch]:
            passes = hold_chance(m, job, h, run)
            return [Branch(way, h, passes if way.found == "holds" else 1 - passes, 0) for way in ways]

        return prove
    if effect.tries == 0:
        return lambda h: [Branch(ways[0], then, p, 0) for then, p in cured(m, job, h, effect, effect.redoes)]
    return lambda h: list(look_branches(m, job, h, effect, ways))


def look_branches(m: Machine, job: Job, h: Hypothesis, effect: Effect, ways: list[Way]) -> Iterator[Branch]:
    n = effect.tries
    for before, chance in cured(m, job, h, effect, effect.redoes):
        miss = miss_chance(m, before, active_at(m, before, job.time + 1, effect.out))
        gone = miss**n
        made = sum(miss**k for k in range(n))
        seen_at = (made - n * gone) / (1 - gone) if gone < 1 else 0
        for then, p in cured(m, job, before, Effect(effect.out), effect.redoes_after):
            for way in ways:
                is_gone = way.found == "gone"
                yield Branch(way, then, chance * p * (gone if is_gone else 1 - gone), n if is_gone else seen_at)


def cured(m: Machine, job: Job, h: Hypothesis, effect: Effect, redoes: Redone) -> list[tuple[Hypothesis, float]]:
    """What a hypothesis becomes by cures, each uncured fault having its own chance."""

    def chance_of(fault: int, cured_at: float) -> float:
        if fault < 0 or cured_at < NEVER:
            return 0
        if fault == effect.cures or m.place_of[fault] == effect.cures_part:
            return 1
        return cure_chance(m, redoes, fault)

    a, b = chance_of(h.a, h.cured_a), chance_of(h.b, h.cured_b)
    if a == 0 and b == 0:
        return [(h, 1)]
    time = job.time
    ways = [
        (h, (1 - a) * (1 - b)),
        (h._replace(cured_a=time), a * (1 - b)),
        (h._replace(cured_b=time), (1 - a) * b),
        (h._replace(cured_a=time, cured_b=time), a * b),
    ]
    return [(then, chance) for then, chance in ways if chance > 0]


def left_by(m: Machine, job: Job, h: Hypothesis, laws: Iterable[Law]) -> tuple[float, tuple[int, ...]]:
    acted, left = h.acted, 1.0
    for law in laws:
        if law.rule is not None and law.rule in acted or not strikes(m, job, h, law):
            continue
        left *= 1 - law.chance
        if law.rule is not None and law.chance > 0:
            acted = (*acted, law.rule)
        if left == 0:
            break
    return left, acted


def strikes(m: Machine, job: Job, h: Hypothesis, law: Law) -> bool:
    """Whether a law takes something from a hypothesis now."""
    active = active_now(m, h, job)
    counted = (1 if h.a >= 0 else 0) | (2 if h.b >= 0 else 0) if law.told else active
    if law.rule is not None:
        if counted == 0 and h.a >= 0:
            return False
        named = bool(counted & 1 and h.a in law.of) or bool(counted & 2 and h.b in law.of)
        if named == law.leaves_only:
            return False

    def standing(reading: int) -> Optional[int]:
        last = job.last(reading)
        if last is None:
            return None
        stands = m.readings[reading]["told"] or active_at(m, h, last.time, last.fitted) == active
        return last.cell if stands else None

    return holds(law.when, standing) is True


# ------------------------------------------------------------------------------------------------ what may be done

CLOSE_ROUNDING = 1e-9


def available_actions(m: Machine, belief: Belief) -> list[Action]:
    job = belief.job
    if job.ended:
        return []
    actions = [Action("test", t) for t in range(len(m.tests)) if may_test(m, job, t)]
    for part, place in enumerate(m.places):
        if place["kind"] != "part":
            continue
        if part in job.left_in:
            actions.append(Action("takeOut", part))
        if part in job.fitted:
            actions += [Action("putBack", part), Action("keep", part)]
        else:
            actions.append(Action("replace", part))
    for fault, place in enumerate(m.place_of):
        if m.model["fix"][fault] and place not in job.fitted:
            actions.append(Action("fix", fault))
    if job.may_look:
        actions.append(Action("look"))
    if may_close(m, belief):
        actions.append(Action("close"))
    return [action for action in actions if action.repair not in job.repairs and is_ready(job, *gate_of(m, action))]


def may_test(m: Machine, job: Job, t: int) -> bool:
    test = m.tests[t]
    spent = t in job.done if test.kind == "told" else fresh_key(m, job, t) in job.fresh
    return (
        not spent
        and not any(part in job.fitted for part in test.parts)
    )


Gate = tuple[Sequence[int], Sequence[int], Optional[Sequence[Any]]]


def gate_of(m: Machine, action: Action) -> Gate:
    """What must be done or known before: tests that must all have been done, those of which one must, a condition."""
    if action.do == "test":
        test = m.tests[action.of]
        return test.after, test.after_any, test.only_if
    work = m.work(action.do, action.of) or {}
    return work.get("after", ()), work.get("afterAny", ()), work.get("onlyIf")


def is_ready(job: Job, after: Sequence[int], after_any: Sequence[int], only_if: Optional[Sequence[Any]]) -> bool:
    return (
        all(each in job.done for each in after)
        and (not after_any or any(each in job.done for each in after_any))
        and (only_if is None or holds(only_if, job.cell) is True)
    )


def may_close(m: Machine, belief: Belief) -> bool:
    job = belief.job
    if job.fitted or not job.gone or job.changed:
        return False
    run = run_of(m, counting_proofs(m, job))
    total = whole = 0.0
    for h in belief.hypotheses:
        weight = h.weight * hold_chance(m, job, h, run)
        total += weight
        if not is_active(m, h, job):
            whole += weight
    return total > 0 and whole / total >= m.graph["trust"] - CLOSE_ROUNDING


# ------------------------------------------------------------------------------------------------ advice


class Estimate(NamedTuple):
    """Expected from here to the end: money, money for parts in it, minutes of work, chance to hand over."""

    cost: float = 0
    parts: float = 0
    minutes: float = 0
    handed_over: float = 0


def plus(a: Estimate, b: Estimate, part: float = 1) -> Estimate:
    return Estimate(*(x + part * y for x, y in zip(a, b)))


def cheaper(a: Estimate, b: Estimate) -> Estimate:
    return b if b.cost < a.cost else a


def given_up(m: Machine) -> Estimate:
    return Estimate(cost=m.graph["handover"], handed_over=1)


@dataclass(eq=False)
class Repair:
    key: tuple[str, int]
    work: Estimate
    proofs: list[int]
    only_if: Optional[Sequence[Any]]


class FaultRepairs(NamedTuple):
    """What a fault can be repaired by, the cheapest first, while a known-good part is in its place and else."""

    fitted: list[Repair]
    others: list[Repair]


def priced_repairs(m: Machine, job: Job, unable: frozenset[tuple[str, int]]) -> list[FaultRepairs]:
    known: dict[tuple[str, int], Repair] = {}

    def priced(action: Action) -> list[Repair]:
        if action.key in unable:
            return []
        if action.key not in known:
            known[action.key] = repair_of(m, job, action)
        return [known[action.key]]

    repairs = []
    for fault, place in enumerate(m.place_of):
        others = priced(Action("fix", fault)) if m.model["fix"][fault] else []
        if m.places[place]["kind"] != "part":
            repairs.append(FaultRepairs([], others))
            continue
        others = sorted(others + priced(Action("replace", place)), key=lambda each: each.work.cost)
        repairs.append(FaultRepairs(priced(Action("keep", place)), others))
    return repairs


def repair_of(m: Machine, job: Job, action: Action) -> Repair:
    effect = effect_of(m, job, action)
    touched = {*effect.works, *effect.redoes}
    proofs = [p for p, proof in enumerate(m.proofs) if touched & set(proof.get("places", ()))]
    _, _, only_if = gate_of(m, action)
    return Repair(action.key, cost_of(m, action, effect, min(effect.tries, 1)), proofs, only_if)


def cost_of(m: Machine, action: Action, effect: Effect, tries: float = 0) -> Estimate:
    """What an action takes, with so many tries of its look."""
    look = tries * m.model["complaint"]["minutes"]
    bought = m.price(action.of) if action.do in ("keep", "replace") else 0
    return Estimate(effect.cost + look * m.graph["bench"] / 60, bought, effect.minutes + look)


def estimate_from(m: Machine, belief: Belief, priced: Sequence[FaultRepairs]) -> Estimate:
    """What a job costs that only repairs, the likeliest for its price first, and closes or hands over where cheaper."""
    job = belief.job
    repairs: list[Optional[Repair]] = []
    for fault, (fitted, others) in enumerate(priced):
        here = fitted if m.place_of[fault] in job.fitted else others
        repairs.append(next((each for each in here if each.key not in job.repairs and may_open(job, each)), None))
    gone = job.gone is True and not job.changed
    return cheaper(given_up(m), closing(m, belief, repairs) if gone else repairing(m, belief, repairs))


def may_open(job: Job, repair: Repair) -> bool:
    return repair.only_if is None or holds(repair.only_if, job.cell) is not False


def needs(h: Hypothesis, repairs: Sequence[Optional[Repair]]) -> Optional[list[Repair]]:
    if h.a < 0:
        return None
    needed = [repairs[fault] for fault in uncured(h)]
    return None if None in needed else [repair for repair in needed if repair is not None]


class Share(NamedTuple):
    """What a hypothesis takes to be done with."""

    h: Hypothesis
    # Repairs that make the machine whole; None where none does.
    needed: Optional[list[Repair]]
    # Chance that the proof run holds before that, and what is expected of a machine that is closed like this.
    holds: float
    missed: Estimate


def ranked(shares: Sequence[Share]) -> tuple[list[Repair], list[list[Share]]]:
    """The repairs, the likeliest for its price first, and the shares by the number of them that is enough."""
    mass: dict[int, float] = {}
    made: dict[int, Repair] = {}
    for share in shares:
        for repair in share.needed or ():
            made[id(repair)] = repair
            mass[id(repair)] = mass.get(id(repair), 0) + share.h.weight * share.holds
    order = sorted_by(list(made.values()), lambda x, y: mass[id(y)] * x.work.cost - mass[id(x)] * y.work.cost)
    rank = {id(repair): k + 1 for k, repair in enumerate(order)}
    enough: list[list[Share]] = [[] for _ in range(len(order) + 1)]
    for share in shares:
        if share.needed is not None:
            enough[max((rank[id(each)] for each in share.needed), default=0)].append(share)
    return order, enough


def repairing(m: Machine, belief: Belief, repairs: Sequence[Optional[Repair]]) -> Estimate:
    job = belief.job
    order, enough = ranked([Share(h, needs(h, repairs), 1, Estimate()) for h in belief.hypotheses])
    proofs = counting_proofs(m, job)
    left = 1.0
    so_far, best = Estimate(), given_up(m)
    for k, shares in enumerate(enough):
        if k > 0:
            so_far = plus(so_far, order[k - 1].work, left)
            # With a repair come the proofs that count for its sake.
            proofs = proofs + [p for p in order[k - 1].proofs if p not in proofs]
        run = run_of(m, proofs)
        mass = fails = 0.0
        for share in shares:
            mass += share.h.weight
            fails += share.h.weight * (1 - mended_chance(m, job, share.h, run))
        if mass > 0:
            so_far = plus(so_far, cheaper(given_up(m), plus(work_of(m, run), given_up(m), fails / mass)), mass)
        left -= mass
        best = cheaper(best, plus(so_far, given_up(m), max(0, left)))
    return best


def mended_chance(m: Machine, job: Job, h: Hypothesis, run: Run) -> float:
    """The chance that the proof run holds once all is repaired."""
    if not run.expects:
        return 1
    last = job.time - 1
    return hold_chance(m, job, h._replace(cured_a=min(h.cured_a, last), cured_b=min(h.cured_b, last)), run)


def work_of(m: Machine, run: Run) -> Estimate:
    return Estimate(cost=run.minutes * m.graph["bench"] / 60, minutes=run.minutes)


def sorted_by(items: list[Repair], less: Callable[[Repair, Repair], float]) -> list[Repair]:
    """In the order of a comparison, equal ones as they stood."""
    def compare(x: Repair, y: Repair) -> int:
        difference = less(x, y)
        return -1 if difference < 0 else 1 if difference > 0 else 0

    return sorted(items, key=cmp_to_key(compare))


def closing(m: Machine, belief: Belief, repairs: Sequence[Optional[Repair]]) -> Estimate:
    job = belief.job
    run = run_of(m, counting_proofs(m, job))
    work = work_of(m, run)

    def share_of(h: Hypothesis) -> Share:
        needed = needs(h, repairs) if is_active(m, h, job) else []
        passes = hold_chance(m, job, h, run)
        found = given_up(m)
        if needed is not None:
            mending = work
            for each in needed:
                mending = plus(mending, each.work)
            found = cheaper(found, mending)
        return Share(h, needed, passes, plus(Estimate(cost=m.graph["comeback"] * passes), found, 1 - passes))

    so_far = work
    for part in job.fitted:
        so_far = plus(so_far, settled(m, belief, part))
    whole = hidden = 0.0
    shares = [share_of(h) for h in belief.hypotheses]
    for share in shares:
        so_far = plus(so_far, share.missed, share.h.weight)
        hidden += share.h.weight * share.holds
    best = given_up(m)
    order, enough = ranked(shares)
    for k, enough_now in enumerate(enough):
        if k > 0:
            so_far = plus(so_far, order[k - 1].work)
        for share in enough_now:
            weight, mended = share.h.weight, mended_chance(m, job, share.h, run)
            whole += weight * mended
            hidden -= weight * share.holds
            so_far = plus(plus(so_far, share.missed, -weight), given_up(m), weight * (1 - mended))
        if whole > 0 and whole >= (whole + hidden) * m.graph["trust"] - CLOSE_ROUNDING:
            best = cheaper(best, so_far)
    return best


def settled(m: Machine, belief: Belief, part: int) -> Estimate:
    """A known-good part that is in: bought, or put back and a new one bought only if the complaint is there again."""
    bad = sum((h.weight for h in belief.hypotheses if any(m.place_of[fault] == part for fault in uncured(h))), 0.0)

    def costs(do: str) -> Estimate:
        action = Action(do, part)
        return cost_of(m, action, effect_of(m, belief.job, action))

    return cheaper(costs("keep"), plus(costs("putBack"), costs("replace"), bad))


EFFORT, MOST_WEIGHED, OVERHEAD, BREADTH, LEAST_CHANCE, DEEPEST = 6e4, 40, 20, 4, 0.05, 4


@dataclass(eq=False)
class Option:
    action: Action
    cost: Estimate
    outcomes: list[Outcome]
    promise: float

    @property
    def is_reading(self) -> bool:
        return self.action.do == "look" or not isinstance(self.outcomes[0].found, str)


class View(NamedTuple):
    """What is worth looking into at a belief, the most promising first, and what isn't."""

    readings: list[Option]
    changes: list[Option]
    dull: set[tuple[str, int]]


class Advice(NamedTuple):
    action: Optional[Action]
    outlook: Estimate


class Advisor:
    """What to do next, decided from the model alone: a look ahead, deeper and deeper as long as the effort lasts."""

    def __init__(self, m: Machine, belief: Belief, unable: frozenset[tuple[str, int]]) -> None:
        self.m, self.unable = m, unable
        self.views: dict[int, tuple[Belief, View]] = {}
        # Whether it is sure enough to close is asked of all hypotheses.
        self.open = available_actions(m, belief)
        self.left = EFFORT
        best = Advice(None, given_up(m))
        if belief.hypotheses:
            self.repairs = priced_repairs(m, belief.job, unable)
            weighed = likeliest(belief)
            for depth in range(1, DEEPEST + 1):
                if self.left <= 0:
                    break
                found = self.expected(weighed, depth, depth)
                # What was cut short can't be held against the rest.
                if depth == 1 or self.left > 0:
                    best = found
        self.action, self.outlook = best

    def expected(self, belief: Belief, changes: int, readings: int, parent: Optional[View] = None) -> Advice:
        """The best with so many changes of the machine and so many readings before the rest is estimated."""
        guess = self.guess(belief)
        if changes == 0 or belief.job.ended or (self.left < 0 and parent is not None):
            return Advice(None, guess)
        view = self.view(belief, parent)
        best = Advice(None, given_up(self.m))

        def considered(option: Option, changes: int, readings: int, late: float = 0) -> Advice:
            value = option.cost
            for _, chance, then, _ in option.outcomes:
                is_rare = late > 0 and chance < LEAST_CHANCE
                rest = self.expected(then, 0 if is_rare else changes, readings, view).outlook
                value = plus(value, rest._replace(cost=rest.cost + late) if is_rare else rest, chance)
            return Advice(option.action, value) if value.cost < best.outlook.cost else best

        for option in view.changes:
            best = considered(option, changes - 1, readings)
        # By so much the estimate is too low, as far as can be seen from here.
        late = best.outlook.cost - guess.cost
        if readings > 0:
            for option in view.readings:
                best = considered(option, changes, readings - 1, late)
        return best

    def view(self, belief: Belief, parent: Optional[View]) -> View:
        known = self.views.get(id(belief))
        if known:
            return known[1]
        options = sorted(self.options(belief, parent), key=lambda each: each.promise)
        readings = [each for each in options if each.is_reading][:BREADTH]
        changes = [each for each in options if not each.is_reading][:BREADTH]
        dull = set(parent.dull) if parent else set()
        dull.update(each.action.key for each in options)
        dull.difference_update(each.action.key for each in readings + changes)
        view = View(readings, changes, dull)
        # With the belief, so that no other gets its identity.
        self.views[id(belief)] = (belief, view)
        return view

    def guess(self, belief: Belief) -> Estimate:
        if not belief.job.ended:
            return estimate_from(self.m, belief, self.repairs)
        active = sum(h.weight for h in belief.hypotheses if is_active(self.m, h, belief.job))
        return Estimate(cost=active * self.m.graph["comeback"])

    def options(self, belief: Belief, parent: Optional[View]) -> list[Option]:
        m = self.m
        options = []
        for action in self.actions(belief, self.open if parent is None else available_actions(m, belief)):
            # What was dull before is so here too.
            if action.key in self.unable or (parent and action.key in parent.dull):
                continue
            found = outcomes(m, belief, action)
            self.left -= (len(belief.hypotheses) + OVERHEAD) * (len(found) + 1)
            if not found or is_idle(m, belief, action, found):
                continue
            cost = cost_of(m, action, effect_of(m, belief.job, action), tries_of(found))
            promise = cost.cost
            for _, chance, then, _ in found:
                promise += chance * self.guess(then).cost
            options.append(Option(action, cost, found, promise))
        return options

    def actions(self, belief: Belief, available: Sequence[Action]) -> Iterator[Action]:
        both = any(h.b >= 0 for h in belief.hypotheses)
        for action in available:
            yield action
            # After a swap the known-good parts may stay in too.
            if both and action.do == "test" and self.m.tests[action.of].kind == "swaps":
                yield action._replace(leave_in=True)


def is_idle(m: Machine, belief: Belief, action: Action, found: Sequence[Outcome]) -> bool:
    """Whether an action can only come out in one way that leaves all as it was."""

    def all_of(b: Belief) -> tuple[Any, ...]:
        cures = [(h.cured_a, h.cured_b, active_now(m, h, b.job)) for h in b.hypotheses]
        return (b.job.gone, b.job.changed, cures)

    return (
        len(found) == 1
        and action.do in ("test", "look", "replace", "fix")
        and not (action.do == "test" and m.tests[action.of].awaited and action.of not in belief.job.done)
        and all_of(belief) == all_of(found[0].belief)
    )


def likeliest(belief: Belief) -> Belief:
    few = sorted(belief.hypotheses, key=lambda h: -h.weight)[:MOST_WEIGHED]
    total = sum(h.weight for h in few)
    return Belief(belief.job, [h._replace(weight=h.weight / total) for h in few])


def tries_of(found: Sequence[Outcome]) -> float:
    """Tries of a look that are to be expected, by all its outcomes."""
    return sum(each.chance * each.tries for each in found)


# ------------------------------------------------------------------------------------------------ the course of a log


class Out(NamedTuple):
    """What ruled a fault out: the step of the log, `rule`, `never`, `reading`, `look` or `proof`, and the words."""

    step: int
    by: str
    text: str
    rule: Optional[int] = None


@dataclass(frozen=True)
class Course:
    belief: Belief
    unable: frozenset[tuple[str, int]] = frozenset()
    out: Mapping[int, Out] = field(default_factory=dict)
    #: Chances of two faults and of something not listed, before the first step and after each.
    marks: tuple[tuple[float, float], ...] = ()


def mark_of(belief: Belief) -> tuple[float, float]:
    unlisted = sum(h.weight for h in belief.hypotheses if h.a < 0)
    return sum(h.weight for h in belief.hypotheses if h.b >= 0), unlisted


def start_course(m: Machine, only: Optional[int] = None) -> Course:
    belief = start_belief(m, only)
    return Course(belief, marks=(mark_of(belief),))


def course_after(m: Machine, course: Course, entry: Entry) -> Course:
    step = len(course.marks) - 1
    if "cannot" in entry:
        unable = course.unable | {action_of(m, entry["cannot"]).key}
        return replace(course, unable=unable, marks=(*course.marks, mark_of(course.belief)))
    if "cameBack" in entry:
        belief = next_job(m, course.belief)
        return replace(course, belief=belief, unable=frozenset(), marks=(*course.marks, mark_of(belief)))
    action, before = action_in(m, entry), course.belief
    belief = after(m, before, action, found_in(entry))
    out = dict(course.out)
    was, left = present(m, before), present(m, belief)
    for fault, chance in enumerate(was):
        if chance > 0 and left[fault] == 0:
            out[fault] = reason_out(m, before, action, entry, fault)._replace(step=step)
    return Course(belief, course.unable - {action.key}, out, (*course.marks, mark_of(belief)))


def action_in(m: Machine, entry: Entry) -> Action:
    action = action_of(m, entry["act"])
    return action._replace(leave_in=True) if action.do == "test" and entry.get("leftIn") else action


def found_in(entry: Entry) -> Found:
    found = entry["found"]
    return found if isinstance(found, str) else tuple(found)


def present(m: Machine, belief: Belief) -> list[float]:
    """Chances by fault that it was in the machine as it came in."""
    chances = [0.0] * len(m.faults)
    for h in belief.hypotheses:
        for fault in (h.a, h.b):
            if fault >= 0:
                chances[fault] += h.weight
    return chances


def next_job(m: Machine, belief: Belief) -> Belief:
    """The machine came back: known-good parts are out, and something is active after all."""
    told = frozenset(t for t in belief.job.done if m.tests[t].kind == "told")
    job = Job(taken=belief.job.taken, time=belief.job.time, done=told)
    active = [h for h in belief.hypotheses if is_active(m, h, job)]
    total = sum(h.weight for h in active)
    return Belief(job, [h._replace(weight=h.weight / total) for h in active])


def course_of(m: Machine, log: Iterable[Entry], only: Optional[int] = None) -> Course:
    course = start_course(m, only)
    for entry in log:
        course = course_after(m, course, entry)
    return course


def reason_out(m: Machine, before: Belief, action: Action, entry: Entry, fault: int) -> Out:
    """Why a fault has lost its last chance by this finding."""
    found = found_in(entry)
    with_it = [h for h in before.hypotheses if fault in (h.a, h.b)]
    h = max(with_it, key=lambda each: each.weight)
    law = acting_law(m, before, action, found, h)
    if isinstance(found, str):
        if law:
            return law_reason(m, law)
        proof = action.do == "close"
        what = ("hold" if found == "holds" else "fail") if proof else ("be gone" if found == "gone" else "stay")
        who = "the proof run" if proof else "the complaint"
        return Out(-1, "proof" if proof else "look", f"{who} would not {what}")
    reads = effect_of(m, before.job, action).reads
    never = next((i for i, r in enumerate(reads) if cell_chance(m, before.job, h, r, found[i]) == 0), -1)
    if never < 0 and law:
        return law_reason(m, law)
    said = entry.get("said", ())
    shown = [
        f"`{m.readings[r]['name']}` {said[i] if i < len(said) else ''}"
        for i, r in enumerate(reads)
        if never in (-1, i)
    ]
    return Out(-1, "reading", f"it never shows {' and '.join(shown)}".rstrip())


def acting_law(m: Machine, before: Belief, action: Action, found: Found, h: Hypothesis) -> Optional[Law]:
    job = job_after(m, before.job, action, effect_of(m, before.job, action), found)
    for law in known_laws(job, m.laws):
        if law.chance == 1 and law.rule not in h.acted and strikes(m, job, h, law):
            return law
    return None


def law_reason(m: Machine, law: Law) -> Out:
    if law.rule is None:
        return Out(-1, "never", "findings that cannot be")
    rule = m.graph["rules"][law.rule]
    text = rule.get("because", rule.get("name", "rule"))
    return Out(-1, "rule", f"{text} (line {rule['line']})", law.rule)


# ------------------------------------------------------------------------------------------------ on the graph


def is_step(m: Machine, node: Node, action: Action) -> bool:
    """Whether an action is what the node does; a reading found without a test stands for a test of just this one."""
    if node["do"] == "test":
        if action.do == "read":
            return m.tests[node["test"]].reads == (action.of,)
        return action.do == "test" and action.of == node["test"]
    return bool(action.do == node["do"]) and action.of == node.get("part", node.get("fault", -1))


def leaves_in(node: Node) -> bool:
    return any(edge.get("leaveIn") for edge in node["edges"])


def action_at(node: Node) -> Action:
    index = node.get("test", node.get("part", node.get("fault", -1)))
    return Action(node["do"], index, node["do"] == "test" and leaves_in(node))


def node_reached(m: Machine, log: Sequence[Entry]) -> Optional[Node]:
    """The node that a log leads to, or None where it isn't one of the graph's paths."""
    left: list[tuple[int, Action, Found, bool]] = []
    changes = 0
    for entry in log:
        if "cameBack" in entry:
            return None
        if "cannot" in entry:
            continue
        found = found_in(entry)
        left.append((changes, action_in(m, entry), found, bool(entry.get("leftIn"))))
        changes += isinstance(found, str)
    node: Optional[Node] = m.nodes[m.graph["start"]]
    changes = 0
    while node is not None and left:
        if node["do"] in ("handover", "advise"):
            return None
        told = node["do"] == "test" and m.tests[node["test"]].kind == "told"
        at = next((i for i, each in enumerate(left) if (told or each[0] == changes) and is_step(m, node, each[1])), -1)
        if at < 0:
            return None
        _, _, found, left_in = left.pop(at)
        changes += isinstance(found, str)
        node = next_node(m, node, found, left_in)
    return node


def next_node(m: Machine, node: Node, found: Found, left_in: bool) -> Optional[Node]:
    for edge in node["edges"]:
        on = edge["on"] if isinstance(edge["on"], str) else tuple(edge["on"])
        if on == found and (on != "stays" or edge.get("leaveIn", False) == left_in):
            return m.nodes[edge["to"]] if "to" in edge else None
    return None


def planned_from(m: Machine, start: Node, job: Job) -> Estimate:
    """What the plan expects from a node to the end of the job."""
    known: dict[Any, Estimate] = {}

    def from_node(node: Node, there: Job) -> Estimate:
        if node["do"] == "handover":
            return given_up(m)
        if node["do"] == "advise":
            return Estimate(cost=node["costToGo"])
        key = (id(node), tuple(there.fitted.items()))
        if key not in known:
            known[key] = from_step(node, there)
        return known[key]

    def from_step(node: Node, there: Job) -> Estimate:
        action = action_at(node)
        effect = effect_of(m, there, action)
        value = cost_of(m, action, effect)
        for edge in node["edges"]:
            if "to" in edge:
                found: Found = edge["on"] if isinstance(edge["on"], str) else tuple(edge["on"])
                then = from_node(m.nodes[edge["to"]], job_after(m, there, action, effect, found))
                value = plus(value, then, edge["chance"])
        bench = m.graph["bench"]
        look = 0 if action.do == "close" or bench == 0 else max(0, node["costToGo"] - value.cost) * 60 / bench
        return value._replace(cost=node["costToGo"], minutes=value.minutes + look)

    return from_node(start, job)


# ------------------------------------------------------------------------------------------------ sessions


@dataclass(frozen=True)
class Suspect:
    """A fault (None: something not listed), the chances that it came in and that it is active, what ruled it out."""

    fault: Optional[int]
    info: Optional[Mapping[str, Any]]
    present: float
    active: float
    out: Optional[Out]


@dataclass(frozen=True)
class Step:
    """The step to do. `do`: as in the graph, `handover` or `end`; `by`: `graph` or `model`."""

    do: str
    by: str
    act: Optional[dict[str, Any]] = None
    info: Optional[Mapping[str, Any]] = None
    place: Optional[Mapping[str, Any]] = None
    cautions: tuple[str, ...] = ()
    #: Tools.
    needs: tuple[str, ...] = ()
    reads: tuple[Mapping[str, Any], ...] = ()
    disturbs: tuple[Mapping[str, Any], ...] = ()
    parts: tuple[Mapping[str, Any], ...] = ()
    proof_runs: tuple[Mapping[str, Any], ...] = ()
    minutes: float = 0
    waits: float = 0
    cost: float = 0
    look_cost: float = 0
    tries: int = 0
    leave_in: bool = False
    #: What can be found, and its chance.
    outcomes: tuple[tuple[Found, float], ...] = ()
    #: Of `handover`: whether any state fits, and else the steps of which any one could be the mistake.
    fits: bool = True
    at_odds: tuple[int, ...] = ()
    #: Of `end`: whether the machine passed its proof run.
    closed: bool = False


@dataclass(frozen=True)
class Outlook:
    cost: float
    parts: float
    minutes: float
    handed_over: float
    by: str


@dataclass(frozen=True)
class Standing:
    """What is in the machine now that was not, what was redone, and the chance that nothing is active."""

    fitted: tuple[Mapping[str, Any], ...]
    redone: tuple[Mapping[str, Any], ...]
    gone: Optional[bool]
    changed: bool
    whole: float


class Session:
    """A job at the bench after some findings."""

    def __init__(self, m: Machine, log: tuple[Entry, ...], course: Optional[Course] = None) -> None:
        self.machine, self.log = m, log
        self._course = course_of(m, log) if course is None else course

    # -- what to do

    @cached_property
    def _node(self) -> Optional[Node]:
        """The node of the graph to go on from; None where the model decides."""
        belief = self._course.belief
        if belief.job.ended or not belief.hypotheses:
            return None
        node = node_reached(self.machine, self.log)
        if node is None or node["do"] == "advise":
            return None
        if node["do"] == "handover":
            return node
        action = action_at(node)
        able = action.key not in self._course.unable and not why_impossible(self.machine, belief.job, action)
        return node if able else None

    @cached_property
    def _advice(self) -> Advisor:
        return Advisor(self.machine, self._course.belief, self._course.unable)

    @cached_property
    def next(self) -> Step:
        """The step to do: of the graph where the log is one of its paths, else by the model."""
        belief = self._course.belief
        if belief.job.ended:
            return Step("end", "model", closed=belief.job.ended == "closed")
        if not belief.hypotheses:
            return Step("handover", "model", fits=False, at_odds=self._at_odds())
        by = "graph" if self._node else "model"
        if self._node is None:
            action = self._advice.action
        else:
            action = action_at(self._node) if "edges" in self._node else None
        return Step("handover", by) if action is None else self._step(action, by)

    @property
    def steps(self) -> list[Step]:
        """All that may be done now."""
        actions = available_actions(self.machine, self._course.belief)
        return [self._step(action, "model") for action in actions if action.key not in self._course.unable]

    def _step(self, action: Action, by: str) -> Step:
        m, belief = self.machine, self._course.belief
        effect, found = effect_of(m, belief.job, action), outcomes(m, belief, action)
        cost = cost_of(m, action, effect, tries_of(found))
        test = m.tests[action.of] if action.do == "test" else None
        place: Optional[int] = action.of if action.do in ("takeOut", "putBack", "keep", "replace") else None
        place = m.place_of[action.of] if action.do == "fix" else place
        info = m.graph["tests"][action.of] if test else None
        redone = [setup for setup in (*effect.redoes, *effect.redoes_after) if setup != place]
        proofs = counting_proofs(m, belief.job) if action.do == "close" else []
        return Step(
            action.do,
            by,
            act_of(m, action),
            info,
            None if place is None else m.places[place],
            cautions=m.cautions(action.do, action.of),
            needs=m.needs(action.do, action.of),
            reads=tuple(m.readings[r] for r in effect.reads),
            disturbs=tuple(m.places[setup] for setup in redone),
            parts=tuple(m.places[part] for part in test.parts) if test else (),
            proof_runs=tuple(m.proofs[p] for p in proofs),
            minutes=cost.minutes,
            waits=effect.waits,
            cost=effect.cost,
            look_cost=cost.cost - effect.cost,
            tries=effect.tries,
            leave_in=action.leave_in,
            outcomes=tuple((each.found, each.chance) for each in found),
        )

    def _at_odds(self) -> tuple[int, ...]:
        m = self.machine
        return tuple(
            step
            for step, entry in enumerate(self.log)
            if "act" in entry and course_of(m, (self.log[s] for s in steps_left(m, self.log, {step}))).belief.hypotheses
        )

    # -- what is to be thought

    @cached_property
    def candidates(self) -> list[Suspect]:
        """All faults and something not listed, likeliest first."""
        m, (belief, out) = self.machine, (self._course.belief, self._course.out)
        here, active = present(m, belief), [0.0] * len(m.faults)
        unlisted = 0.0
        for h in belief.hypotheses:
            now = active_now(m, h, belief.job)
            if h.a < 0:
                unlisted += h.weight
            if now & 1:
                active[h.a] += h.weight
            if now & 2:
                active[h.b] += h.weight
        all_of_them = [
            Suspect(fault, info, here[fault], active[fault], out.get(fault)) for fault, info in enumerate(m.faults)
        ]
        all_of_them.append(Suspect(None, None, unlisted, unlisted, None))
        return sorted(all_of_them, key=lambda each: -each.present)

    @property
    def hypotheses(self) -> list[tuple[tuple[int, ...], tuple[int, ...], float]]:
        """Which faults are present, which of them are cured, and the chance of that; likeliest first."""
        chances: dict[tuple[tuple[int, ...], tuple[int, ...]], float] = {}
        for h in self._course.belief.hypotheses:
            states = [(fault, at) for fault, at in ((h.a, h.cured_a), (h.b, h.cured_b)) if fault >= 0]
            key = tuple(fault for fault, _ in states), tuple(fault for fault, at in states if at < NEVER)
            chances[key] = chances.get(key, 0) + h.weight
        return sorted(((*key, chance) for key, chance in chances.items()), key=lambda each: -each[2])

    @property
    def pairs(self) -> list[tuple[tuple[int, ...], float]]:
        """Pairs of faults that can be present together, likeliest first."""
        chances: dict[tuple[int, ...], float] = {}
        for faults, _, chance in self.hypotheses:
            if len(faults) > 1:
                chances[faults] = chances.get(faults, 0) + chance
        return sorted(chances.items(), key=lambda each: -each[1])

    @property
    def suspicions(self) -> list[tuple[str, float, tuple[int, ...]]]:
        """That two faults, or something not listed, have become likely, and the steps that speak for it."""

        def odds(p: float) -> float:
            return p / max(1 - p, 1e-12)

        found = []
        for of, chances in zip(("two faults", "not listed"), zip(*self._course.marks)):
            if chances[-1] < 0.3 or chances[-1] < 2 * chances[0]:
                continue
            factors = [odds(now) / max(odds(was), 1e-12) for was, now in zip(chances, chances[1:])]
            steps = sorted((s for s, factor in enumerate(factors) if factor > 1.5), key=lambda s: -factors[s])
            found.append((of, chances[-1], tuple(steps)))
        return found

    @property
    def outlook(self) -> Outlook:
        """Expected from here to the end of the job."""
        if self._course.belief.job.ended:
            return Outlook(0, 0, 0, 0, "model")
        if self._node is None:
            return Outlook(*self._advice.outlook, "model")
        return Outlook(*planned_from(self.machine, self._node, self._course.belief.job), "graph")

    @property
    def standing(self) -> Standing:
        m, (job, hypotheses) = self.machine, self._course.belief
        return Standing(
            tuple(m.places[part] for part in job.fitted),
            tuple(m.places[setup] for setup in job.redone),
            job.gone,
            job.changed,
            sum(h.weight for h in hypotheses if not is_active(m, h, job)),
        )

    def why(self, fault: str) -> tuple[list[Out], list[int]]:
        """What ruled a fault out, one elimination after the other, and the steps that would bring it back."""
        m = self.machine
        index = next((i for i, each in enumerate(m.faults) if each["name"] == fault), -1)
        if index < 0:
            raise RunError("name", f"There is no fault `{fault}` in this ruleset.")
        if index not in self._course.out:
            return [], []

        def lost_without(ignored: set[int]) -> Optional[Out]:
            steps = steps_left(m, self.log, ignored)
            course = course_of(m, (self.log[s] for s in steps), index)
            lost = None if course.belief.hypotheses else course.out.get(index)
            return lost and lost._replace(step=steps[lost.step])

        out: list[Out] = []
        ignored: set[int] = set()
        lost = lost_without(ignored)
        while lost:
            out.append(lost)
            ignored.add(lost.step)
            lost = lost_without(ignored)
        return out, [step for step in range(len(self.log)) if not lost_without({step})]

    # -- what was done

    def answer(
        self,
        found: Any,
        minutes: Optional[float] = None,
        left_in: Optional[bool] = None,
        taken: Optional[TakenNumbers] = None,
    ) -> Session:
        """What was found in the step at hand."""
        step = self.next
        if step.do == "end":
            raise RunError("ended", "The job has ended.")
        if step.act is None:
            return self.find({"handOver": True}, found, minutes, left_in, taken)
        return self.find(step.act, found, minutes, step.leave_in if left_in is None else left_in, taken)

    def find(
        self,
        act: Act,
        found: Any,
        minutes: Optional[float] = None,
        left_in: Optional[bool] = None,
        taken: Optional[TakenNumbers] = None,
    ) -> Session:
        """What was done and found in any other way. Neither `after` nor `only if` stand in its way.

        `taken`: by reading the numbers that it was worked out from, for the record; `work_out` gives the value.
        """
        m, job = self.machine, self._course.belief.job
        if job.ended:
            raise RunError("ended", "The job has ended.")
        action = action_of(m, act)
        impossible = why_impossible(m, job, action)
        if impossible:
            raise RunError("name", impossible)
        named = act_of(m, action)
        beside: dict[str, Any] = {} if minutes is None else {"minutes": minutes}
        if taken:
            beside["taken"] = taken
        reads = reads_of(m, action)
        if reads:
            read = read_answer([m.readings[r] for r in reads], found)
            cells, said = [cell for cell, _ in read], [value for _, value in read]
            return self._add({"act": named, "found": cells, "said": said, **beside})
        words = WORDS.get(action.do, ("gone", "stays"))
        if not isinstance(found, str) or found not in words:
            raise RunError("answer", f"After {name_of(named)} the answer is {' or '.join(f'`{w}`' for w in words)}.")
        swap = action.do == "test" and m.tests[action.of].kind == "swaps"
        if left_in is None and swap:
            node = self._node
            left_in = bool(node and "edges" in node and is_step(m, node, action) and leaves_in(node))
        return self._add({"act": named, "found": found, **beside, **({"leftIn": True} if swap and left_in else {})})

    def cannot(self, what: Union[str, Act]) -> Session:
        """The test of that name, or any other action, cannot be done here."""
        act = {"test": what} if isinstance(what, str) else dict(what)
        action_of(self.machine, act)
        return self._add({"cannot": act})

    def came_back(self) -> Session:
        """The machine came back after the job had ended: begins another job of it."""
        if not self._course.belief.job.ended:
            raise RunError("name", "The job has not ended yet.")
        return self._add({"cameBack": True})

    def undo(self, step: int) -> Session:
        """Takes back one step of the log and keeps the rest, but for what could not have been done without it."""
        if not is_index(step, self.log):
            raise RunError("name", f"There is no step {step}.")
        left = steps_left(self.machine, self.log, {step})
        return Session(self.machine, tuple(self.log[s] for s in left))

    def _add(self, entry: Entry) -> Session:
        return Session(self.machine, (*self.log, entry), course_after(self.machine, self._course, entry))

    def record(
        self,
        id: str,
        date: Optional[str] = None,
        faults: Optional[Sequence[str]] = None,
        confirmed: Optional[str] = None,
        came_back: Optional[bool] = None,
    ) -> Record:
        """The job as a recorded case; of a machine that came back the last job alone."""
        m = self.machine
        told: dict[str, str] = {}
        steps: list[dict[str, Any]] = []
        for entry in self.log:
            if "cameBack" in entry:
                told, steps = {}, []
            if "act" not in entry:
                continue
            action, found = action_of(m, entry["act"]), entry["found"]
            said = {m.readings[r]["name"]: v for r, v in zip(reads_of(m, action), entry.get("said", ()))}
            if action.do == "test" and m.tests[action.of].kind == "told":
                told.update(said)
                continue
            step: dict[str, Any] = {**entry["act"], "found": found if isinstance(found, str) else said}
            step.update({key: entry[key] for key in ("minutes", "taken") if key in entry})
            if entry.get("leftIn") and found == "stays":
                step["leftIn"] = True
            steps.append(step)
        head = {"id": id, **({} if date is None else {"date": date})}
        closing = {"faults": faults, "confirmed": confirmed, "came_back": came_back}
        last = {key: value for key, value in closing.items() if value is not None}
        return {**head, "complaint": m.graph["complaint"]["name"], "told": told, "steps": steps, **last}


def name_of(act: Act) -> str:
    kind, name = next(iter(act.items()))
    return f"`{name}`" if kind == "test" else f"`{kind}`" if name is True else f"`{kind} {name}`"


def steps_left(m: Machine, log: Sequence[Entry], ignored: set[int]) -> list[int]:
    """The steps that are left when some are taken back: without what can't have been done then."""
    job = Job(taken=((),) * len(m.readings))
    left = []
    for step, entry in enumerate(log):
        if step in ignored:
            continue
        if "act" in entry:
            action = action_in(m, entry)
            if why_impossible(m, job, action):
                continue
            job = job_after(m, job, action, effect_of(m, job, action), found_in(entry))
        left.append(step)
    return left


def record_text(record: Any) -> str:
    """A record as one line of JSON, byte for byte as the other runners write it."""
    if isinstance(record, Mapping):
        return "{" + ",".join(f"{record_text(str(key))}:{record_text(value)}" for key, value in record.items()) + "}"
    if isinstance(record, (list, tuple)):
        return "[" + ",".join(record_text(each) for each in record) + "]"
    if isinstance(record, (int, float)) and not isinstance(record, bool):
        return number_text(record)
    return json.dumps(record, ensure_ascii=False)


def open_graph(graph: Any) -> Session:
    """The session of a job on which nothing has been found yet. Raises RunError where the graph can't be run."""
    return Session(Machine(check_graph(graph)), ())


#: Fields of a graph that are shown and decide nothing, and those on the way to them.
SHOWN = frozenset(
    "ruleset complaint places faults readings tests rules proofs takes cells pictures"
    " title text label remedy question instruction needs cautions because".split()
)


def in_language(graph: Mapping[str, Any], language: str) -> dict[str, Any]:
    """The graph with its texts in a language that it has; what isn't translated stays as it is, and all that decides."""
    for texts in graph.get("languages", []):
        if texts["language"] == language:
            shown: dict[str, Any] = shown_in(graph, texts)
            shown.pop("seal", None)
            shown["ruleset"] = {**shown["ruleset"], "language": language}
            return shown
    return dict(graph)


def shown_in(value: Any, texts: Any) -> Any:
    if isinstance(value, str):
        return texts if isinstance(texts, str) else value
    if isinstance(value, list) and isinstance(texts, list):
        return [shown_in(each, texts[i]) if i < len(texts) else each for i, each in enumerate(value)]
    if isinstance(value, dict) and isinstance(texts, dict):
        return {
            name: shown_in(each, texts[name]) if name in SHOWN and name in texts else each
            for name, each in value.items()
        }
    return value


def reopen(graph: Any, *past: Any) -> Session:
    """Goes on from what was kept of a job: its log, or its record; another log or record is another job."""
    session = open_graph(graph)
    for i, each in enumerate(past):
        if i > 0:
            session = returned(session)
        session = replayed(session, each) if isinstance(each, (list, tuple)) else after_record(session, each)
    last = past[-1] if past else None
    return returned(session) if isinstance(last, Mapping) and last.get("came_back") else session


def returned(session: Session) -> Session:
    """A record may end without the proof run."""
    if session.log and "cameBack" in session.log[-1]:
        return session
    return Session(session.machine, (*session.log, {"cameBack": True}))


def replayed(session: Session, log: Iterable[Entry]) -> Session:
    m = session.machine
    for entry in log:
        if "cameBack" in entry:
            session = returned(session)
        elif "cannot" in entry:
            session = session.cannot(entry["cannot"])
        else:
            found: Any = entry["found"]
            if "said" in entry:
                reads = reads_of(m, action_of(m, entry["act"]))
                found = {m.readings[r]["name"]: v for r, v in zip(reads, entry["said"])}
            beside = entry.get("minutes"), entry.get("leftIn", False), entry.get("taken")
            session = session.find(entry["act"], found, *beside)
    return session


def after_record(session: Session, record: Any) -> Session:
    if not isinstance(record, Mapping) or not isinstance(record.get("steps"), list):
        raise RunError("answer", "A job is reopened from its log or its record.")
    for test, found in (record.get("told") or {}).items():
        session = session.find({"test": test}, found)
    for step in record["steps"]:
        beside = step.get("minutes"), step.get("leftIn") or None, step.get("taken")
        act = {key: value for key, value in step.items() if key not in ("found", "minutes", "leftIn", "taken")}
        found = step.get("found")
        if not act and isinstance(found, Mapping):
            for reading, value in found.items():
                session = session.find({"reading": reading}, value, *beside)
        else:
            session = session.find(act, found, *beside)
    return session


#: The compiled graph that this file carries.
GRAPH: dict[str, Any] = json.loads("RULEOUT_GRAPH")


def start(language: Optional[str] = None) -> Session:
    """A job of the graph in this file, in which nothing has been found yet."""
    return open_graph(GRAPH if language is None else in_language(GRAPH, language))
