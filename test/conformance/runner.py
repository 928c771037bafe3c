#!/usr/bin/env python3
"""A runner of ruleout-graph/1 in Python, standard library only: the worked example of the page beside it.

    python3 runner.py vectors/*.json      checks it against the vectors
"""
import json
import math
import re
import sys
import unicodedata


class RunError(Exception):
    """An answer that cannot be read; the session goes on as it was."""


# ---------------------------------------------------------------- answers

PREFIXES = {"": 1, "p": 1e-12, "n": 1e-9, "u": 1e-6, "\u03bc": 1e-6, "m": 1e-3, "c": 0.01, "d": 0.1, "h": 100,
            "k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12, "Ki": 2**10, "Mi": 2**20, "Gi": 2**30, "Ti": 2**40}
# Unit -> base unit, size in it, and what is added so that both scales start at the same place.
UNITS = {u: (u, 1, 0) for u in "V A W ohm F H Hz s K m g N Nm Pa bit bit/s rpm % dB".split()}
UNITS |= {"\u03a9": ("ohm", 1, 0), "min": ("s", 60, 0), "h": ("s", 3600, 0), "bar": ("Pa", 1e5, 0), "B": ("bit", 8, 0),
          "B/s": ("bit/s", 8, 0), "degC": ("K", 1, 273.15), "\u00b0C": ("K", 1, 273.15)}


def unit(symbol):
    text = unicodedata.normalize("NFKC", symbol)
    for prefix, factor in PREFIXES.items():
        if text.startswith(prefix) and text[len(prefix):] in UNITS:
            base, size, zero = UNITS[text[len(prefix):]]
            return base, size * factor, zero
    return None


def convert(value, source, target):
    if source == target:
        return value
    a, b = unit(source), unit(target)
    if a is None or b is None or a[0] != b[0]:
        return None
    return float("%.12g" % ((value * a[1] + a[2] - b[2]) / b[1]))


def cell_of(reading, value):
    """The cell that a value falls into: a listed value, a cell's label, or a number, rounded to the meter's grid."""
    said = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value).strip()
    for i, cell in enumerate(reading["cells"]):
        if said in cell.get("values", ()) or said == cell["label"]:
            return i
    parts = re.fullmatch(r"([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(.*)", said, re.I)
    if parts and "by" in reading:
        number = convert(float(parts[1]), parts[2] or reading["unit"], reading["unit"])
        step = lambda x: math.floor((x - reading["from"]) / reading["by"] + 0.5 + 1e-9)
        if number is not None and reading["from"] <= number <= reading["to"]:
            for i, cell in enumerate(reading["cells"]):
                if step(cell["from"]) <= step(number) <= step(cell["to"]):
                    return i
    raise RunError(f"`{reading['name']}` cannot be `{said}`.")


# ---------------------------------------------------------------- belief

def holds(when, cells):
    """Kleene's three values; None is unknown."""
    if when[0] == "in":
        return None if when[1] not in cells else cells[when[1]] in when[2]
    values = [holds(item, cells) for item in when[1:]]
    if when[0] == "not":
        return None if values[0] is None else not values[0]
    decides = when[0] == "or"
    return decides if decides in values else None if None in values else not decides


class Belief:
    """Weights of all hypotheses, and what decides how the next finding changes them."""

    def __init__(self, graph):
        self.graph = graph
        self.weights = {(f, False): fault["odds"] for f, fault in enumerate(graph["faults"])}  # (fault, cured)
        self.cells, self.used, self.fitted = {}, set(), {}  # reading -> cell, tests, part -> test that fitted it

    def copy(self):
        new = object.__new__(Belief)
        new.graph, new.weights = self.graph, dict(self.weights)
        new.cells, new.used, new.fitted = dict(self.cells), set(self.used), dict(self.fitted)
        return new

    def place(self, fault):
        return self.graph["faults"][fault]["place"]

    def active(self, fault, cured):
        return not cured and self.place(fault) not in self.fitted

    def total(self):
        return sum(self.weights.values())

    def read(self, readings, cells):
        new, model = self.copy(), self.graph["model"]
        for reading, cell in zip(readings, cells):
            told = self.graph["readings"][reading]["told"]
            for (fault, cured) in new.weights:
                own = dict((r, chances) for r, chances in model["shows"][fault]).get(reading)
                chances = own if own and (told or self.active(fault, cured)) else model["healthy"][reading]
                new.weights[fault, cured] *= chances[cell]
            new.cells[reading] = cell
        out = {f for rule in model["rules"] if holds(rule["when"], new.cells) for f in rule["out"]}
        never = any(holds(when, new.cells) for when in model["nevers"])
        for (fault, cured) in new.weights:
            if never or fault in out:
                new.weights[fault, cured] = 0
        return new

    def change(self, test, put_back, found):
        """Swap, redo or put back; then the complaint is looked for."""
        new, meaning = self.copy(), self.graph["model"]["tests"][test]
        part, cures = meaning.get("part"), dict(map(tuple, meaning.get("redoes", ())))
        if put_back:
            new.fitted.pop(part)
        elif part is not None:
            new.fitted[part] = test
        weights = {}
        for (fault, cured), weight in self.weights.items():
            cure = 0 if cured else cures.get(self.place(fault), 0)
            for flag, share in ((cured, 1 - cure), (True, cure)):
                missed = (1 - self.graph["model"]["recurs"][fault]) ** meaning.get("tries", 1)
                gone = missed if new.active(fault, flag) else 1
                seen = weight * share * (gone if found == "gone" else 1 - gone)
                weights[fault, flag] = weights.get((fault, flag), 0) + seen
        new.weights = weights
        if found == "stays" and not put_back:
            new.fitted = dict(self.fitted)
        return new

    def after(self, entry):
        """The belief after a line of the log."""
        if "reading" in entry:
            new = self.read([entry["reading"]], entry["found"])
            for test, meaning in enumerate(self.graph["model"]["tests"]):
                if meaning.get("reads") and all(r in new.cells for r in meaning["reads"]):
                    new.used.add(test)
        elif isinstance(entry["found"], str):
            new = self.change(entry["test"], entry.get("put_back"), entry["found"])
        else:
            new = self.read(self.graph["model"]["tests"][entry["test"]]["reads"], entry["found"])
        if "test" in entry:
            new.used.add(entry["test"])
        total = new.total()
        new.weights = {h: weight / total if total else 0 for h, weight in new.weights.items() if weight}
        return new


# ---------------------------------------------------------------- session

class Session:
    def __init__(self, graph, log=()):
        if graph.get("format") != "ruleout-graph/1":
            raise RunError("This runner reads `ruleout-graph/1`: compile the ruleset again.")
        self.graph, self.log, self.belief, self.unable = graph, list(log), Belief(graph), set()
        for entry in self.log:
            if entry.get("cannot"):
                self.unable.add(entry["test"])
            else:
                self.unable.discard(entry.get("test"))
                self.belief = self.belief.after(entry)

    def reads(self, test):
        return self.graph["model"]["tests"][test].get("reads")

    def find(self, name, found):
        graph, belief = self.graph, self.belief
        named = lambda list_: [i for i, each in enumerate(list_) if each["name"] == name]
        part_of = lambda test: graph["model"]["tests"][test].get("part")
        fitter = [belief.fitted[p] for p in named(graph["places"]) if p in belief.fitted]
        tests = [t for t in named(graph["tests"]) if t not in belief.used and part_of(t) not in belief.fitted]
        readings = [r for r in named(graph["readings"]) if r not in belief.cells]
        if fitter:
            entry, reads = {"test": fitter[0], "put_back": True}, None
        elif tests:
            entry, reads = {"test": tests[0]}, self.reads(tests[0])
        elif readings:
            entry, reads = {"reading": readings[0]}, readings[:1]
        else:
            raise RunError(f"There is nothing to find by `{name}` now.")
        if reads is None:
            if found not in ("gone", "stays"):
                raise RunError("The complaint is `gone` or it `stays`.")
            entry["found"] = found
        else:
            of = [graph["readings"][r] for r in reads]
            values = found if isinstance(found, dict) else {of[0]["name"]: found}
            if set(values) != {r["name"] for r in of}:
                raise RunError("One value for each reading is wanted.")
            entry["found"] = [cell_of(r, values[r["name"]]) for r in of]
        return Session(graph, [*self.log, entry])

    def cannot(self, name):
        for t, test in enumerate(self.graph["tests"]):
            if test["name"] == name:
                return Session(self.graph, [*self.log, {"test": t, "cannot": True}])
        raise RunError(f"`{name}` is no test.")

    def undo(self, step):
        if not 0 <= step < len(self.log):
            raise RunError("There is no such step.")
        gone = self.log[step]
        fitting = None if gone.get("cannot") or gone.get("put_back") else gone.get("test")
        back = lambda entry: entry.get("put_back") and entry["test"] == fitting
        return Session(self.graph, [e for i, e in enumerate(self.log) if i != step and not back(e)])

    def node(self):
        """The node that the findings lead to, if they are just those of one path of the graph."""
        nodes, left, changes = self.graph["nodes"], [], 0
        for entry in self.log:
            if not entry.get("cannot"):
                left.append((changes, entry))
                changes += isinstance(entry["found"], str)
        node, changes = nodes[self.graph["start"]], 0
        while node["do"] == "test":
            test, back = node["test"], bool(node.get("putBack"))
            told, alone = self.graph["tests"][test]["kind"] == "told", len(self.reads(test) or ()) == 1
            for item in left:
                when, entry = item
                same = entry.get("test") == test and bool(entry.get("put_back")) == back
                loose = alone and "test" not in entry and entry.get("reading") == self.reads(test)[0]
                if (told or when == changes) and (same or loose):
                    break
            else:
                break
            left.remove(item)
            changes += isinstance(entry["found"], str)
            edge = [e for e in node["edges"] if e["cells"] == entry["found"]]
            if not edge:
                return None
            node = nodes[edge[0]["to"]]
        return None if left else node

    def next(self):
        """The node to do, or {"do": "model"}: here this runner leaves the choice to the technician."""
        if not self.belief.total():
            return {"do": "handover"}
        node = self.node()
        off = node is None or node["do"] == "advise" or node.get("test") in self.unable
        return {"do": "model"} if off else node

    def chances(self, flag):
        total, names = self.belief.total(), self.graph["faults"]
        return {names[f]["name"]: w / total for (f, cured), w in self.belief.weights.items() if w and cured == flag}

    def chance(self, remedy):
        """Chance that this remedy mends it."""
        mends = lambda f, cured: cured if remedy["kind"] == "done" else not cured and self.belief.place(f) == remedy["place"]
        return sum(w for (f, cured), w in self.belief.weights.items() if mends(f, cured)) / self.belief.total()


# ---------------------------------------------------------------- checks

def agrees(session, want):
    for flag, cured in (("uncured", False), ("cured", True)):
        got = session.chances(cured)
        for name in got.keys() | want[flag].keys():
            assert abs(got.get(name, 0) - want[flag].get(name, 0)) < 1e-9, (flag, name, got.get(name, 0))
    step, to_do = session.next(), want["next"]
    do = "putBack" if step["do"] == "test" and step.get("putBack") else step["do"]
    assert do == to_do["do"], (do, to_do)
    if do == "test":
        assert session.graph["tests"][step["test"]]["name"] == to_do["test"]
    elif do == "putBack":
        part = session.graph["model"]["tests"][step["test"]]["part"]
        assert session.graph["places"][part]["name"] == to_do["part"]
    elif do == "verdict":
        assert step["remedy"] == to_do["remedy"] and abs(session.chance(step["remedy"]) - to_do["chance"]) < 1e-9


def check(files):
    walks = 0
    for file in files:
        with open(file, encoding="utf-8") as text:
            vectors = json.load(text)
        for walk in vectors["walks"]:
            session = Session(vectors["graph"])
            agrees(session, walk["start"])
            for step in walk["steps"]:
                (do, what), *rest = step["do"].items()
                try:
                    session = getattr(session, do)(what, *(value for _, value in rest))
                    assert step["expect"] != "refused", f"{do} {what} was taken"
                except RunError:
                    assert step["expect"] == "refused", f"{do} {what} was refused"
                else:
                    agrees(session, step["expect"])
            walks += 1
    print(f"{walks} walks over {len(files)} graphs: all agree")


if __name__ == "__main__":
    check(sys.argv[1:])
