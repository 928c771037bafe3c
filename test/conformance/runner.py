#!/usr/bin/env python3
"""A runner of ruleout-graph/2 in Python, standard library only: the worked example of the page beside it.

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


# ---------------------------------------------------------------- conditions

def holds(when, cell):
    """Kleene's three values; `cell` gives the cell of a reading or None; None is unknown."""
    if when[0] == "in":
        found = cell(when[1])
        return None if found is None else found in when[2]
    values = [holds(item, cell) for item in when[1:]]
    if when[0] == "not":
        return None if values[0] is None else not values[0]
    decides = when[0] == "or"
    return decides if decides in values else None if None in values else not decides


def readings_of(when):
    return {when[1]} if when[0] == "in" else set().union(*(readings_of(item) for item in when[1:]))


# ---------------------------------------------------------------- belief

NEVER = math.inf  # the time of a cure that has not been


class Hypothesis:
    """A state, for each of its faults the time of its cure, and the rules that have taken something from it."""

    def __init__(self, faults, cured, weight, acted=frozenset()):
        self.faults, self.cured, self.weight, self.acted = faults, cured, weight, acted

    def but(self, **changes):
        new = Hypothesis(self.faults, self.cured, self.weight, self.acted)
        new.__dict__.update(changes)
        return new


class Job:
    """What everybody at the bench knows."""

    def __init__(self):
        self.time, self.taken, self.fitted = 0, {}, {}  # reading -> [(time, cell, fitted)], part -> test that fitted it
        self.asked, self.touched, self.ended = set(), set(), False  # told questions, places worked on, proof run held

    def copy(self):
        new = Job()
        new.__dict__.update(self.__dict__, taken=dict(self.taken), fitted=dict(self.fitted),
                            asked=set(self.asked), touched=set(self.touched))
        return new


class Machine:
    """The meaning of a graph: what each action does to the hypotheses."""

    def __init__(self, graph):
        self.graph, self.model = graph, graph["model"]
        self.shows = [{r: chances for r, chances in pairs} for pairs in self.model["shows"]]
        told = lambda when: all(graph["readings"][r]["told"] for r in readings_of(when))
        self.laws = [(i, rule["when"], told(rule["when"]), rule["verb"] == "leaves only", set(rule["of"]), rule["chance"])
                     for i, rule in enumerate(self.model["rules"])]
        self.laws += [(None, when, told(when), False, set(), 1) for when in self.model["nevers"]]

    def place(self, fault):
        return self.graph["faults"][fault]["place"]

    def start(self):
        g, odds = self.graph, [fault["odds"] for fault in self.graph["faults"]]
        second = g["second"] if len(odds) > 1 else 0
        one = (1 - second - g["unlisted"]) / sum(odds)
        pairs = [(i, j) for i in range(len(odds)) for j in range(i + 1, len(odds))]
        both = sum(odds[i] * odds[j] for i, j in pairs)
        states = [((f,), one * w) for f, w in enumerate(odds)]
        states += [((i, j), second * odds[i] * odds[j] / both) for i, j in pairs if second]
        states += [((), g["unlisted"])]
        return [Hypothesis(faults, (NEVER,) * len(faults), w) for faults, w in states if w > 0]

    def active(self, h, time, out):
        """The faults that are not cured before `time` and whose place is not in `out`."""
        return tuple(f for f, cured in zip(h.faults, h.cured) if cured >= time and self.place(f) not in out)

    def wrong(self, h, job):
        return not h.faults or bool(self.active(h, job.time, job.fitted))

    # ---- readings

    def chances(self, h, job, reading):
        """The distribution of a reading that is taken now."""
        told = self.graph["readings"][reading]["told"]
        speaking = lambda active: [f for f in (h.faults if told else active) if reading in self.shows[f]]
        now, cells = speaking(self.active(h, job.time, job.fitted)), len(self.graph["readings"][reading]["cells"])
        for time, cell, fitted in reversed(job.taken.get(reading, ())):
            if speaking(self.active(h, time, fitted)) == now:
                return [float(c == cell) for c in range(cells)]
        healthy, base = self.model["healthy"][reading], self.model["base"][reading]
        of = [healthy, base] if not h.faults else [self.shows[f][reading] for f in now] or [healthy]
        sure = self.model["trust"][reading]
        return [sure * sum(d[c] for d in of) / len(of) + (1 - sure) * base[c] for c in range(cells)]

    def missed(self, h, active):
        """The chance that one try does not show the complaint."""
        return math.prod(1 - self.model["recurs"][f] for f in active) if h.faults else 0

    def proof_holds(self, h, job):
        proofs = [p for p in self.graph["proofs"] if not p.get("places") or job.touched & set(p["places"])]
        wanted = {}
        for proof in (p["expects"] for p in proofs if "expects" in p):
            reading, cells = proof["reading"], set(proof["cells"])
            wanted[reading] = wanted.get(reading, cells) & cells
        chance = self.missed(h, self.active(h, job.time, job.fitted)) ** sum(p["times"] for p in proofs)
        for reading, cells in wanted.items():
            chance *= sum(self.chances(h, job, reading)[c] for c in cells)
        return chance

    # ---- rules and nevers

    def left(self, h, job):
        """What rules and nevers leave of a hypothesis after an action, and the rules that have acted by then."""
        active, share, acted = self.active(h, job.time, job.fitted), 1, h.acted

        def standing(reading):
            if not job.taken.get(reading):
                return None
            time, cell, fitted = job.taken[reading][-1]
            stands = self.graph["readings"][reading]["told"] or self.active(h, time, fitted) == active
            return cell if stands else None

        for rule, when, told, leaves_only, of, chance in self.laws:
            counted = set(h.faults if told else active)
            if rule is not None:
                nothing = h.faults and not counted
                if rule in acted or nothing or bool(counted & of) == leaves_only:
                    continue
            if holds(when, standing):
                share *= 1 - chance
                acted = acted | {rule} if chance else acted
        return share, acted

    # ---- actions

    def effect(self, job, act):
        """Readings; setups redone before and after the look; surely cured; places out during the look; tries; works."""
        kind, i = act
        tests, model = self.graph["tests"], self.model
        none = dict(reads=[], redoes=[], after=[], cures=lambda f: False, out=set(job.fitted), tries=0, works=[])
        if kind in ("test", "putBack"):
            meaning = model["tests"][i if kind == "test" else job.fitted[i]]
            looks = dict(none, redoes=meaning.get("redoes", []), tries=meaning.get("tries", 0))
            parts = set(meaning.get("parts", ()))
            if kind == "putBack":
                return dict(looks, out=set(job.fitted) - {i}, works=[i])
            if tests[i]["kind"] == "swaps":
                return dict(looks, out=set(job.fitted) | parts, works=parts)
            if tests[i]["kind"] == "removes":
                seats = {p for p, place in enumerate(self.graph["places"]) if place.get("of") in parts}
                return dict(looks, redoes=[], after=looks["redoes"], out=looks["out"] | parts | seats, works=parts)
            return looks if looks["tries"] else dict(none, reads=meaning["reads"])
        if kind == "reading":
            return dict(none, reads=[i])
        if kind == "keep":
            return dict(none, cures=lambda f: self.place(f) == i)
        look = dict(none, tries=model["complaint"]["tries"])
        if kind == "replace":
            return dict(look, cures=lambda f: self.place(f) == i, redoes=model["reach"][i], works=[i])
        if kind == "fix":
            place = self.place(i)
            return dict(look, cures=lambda f: f == i, redoes=model["reach"][place], works=[place])
        return look if kind == "look" else none

    def cured(self, h, job, redoes, surely):
        """What a hypothesis becomes by cures, with the chance of each."""
        ways = [((), 1)]
        for fault, cured in zip(h.faults, h.cured):
            chance = 0
            if cured == NEVER:
                eased = dict(map(tuple, self.model["eased"][fault]))
                each = [c if setup == self.place(fault) else eased.get(setup, 0) for setup, c in redoes]
                chance = 1 if surely(fault) else 1 - math.prod(1 - c for c in each)
            ways = [(times + (time,), p * q) for times, p in ways for time, q in ((cured, 1 - chance), (job.time, chance)) if q]
        return [(h.but(cured=times), p) for times, p in ways]

    def branches(self, h, job, act, effect):
        """All that can come of an action in a hypothesis: what is found, the hypothesis, the chance."""
        if effect["reads"]:
            found = [((), 1)]
            for reading in effect["reads"]:
                chances = self.chances(h, job, reading)
                found = [(cells + (c,), p * q) for cells, p in found for c, q in enumerate(chances) if q]
            return [(cells, h, p) for cells, p in found]
        if act[0] == "close":
            chance = self.proof_holds(h, job)
            return [("holds", h, chance), ("fails", h, 1 - chance)]
        before = self.cured(h, job, effect["redoes"], effect["cures"])
        if not effect["tries"]:
            return [("done", h, p) for h, p in before]
        found = []
        for now, p in before:
            gone = self.missed(now, self.active(now, job.time + 1, effect["out"])) ** effect["tries"]
            for then, q in self.cured(now, job, effect["after"], lambda f: False):
                found += [("gone", then, p * q * gone), ("stays", then, p * q * (1 - gone))]
        return found

    def job_after(self, job, act, effect, found, left_in):
        (kind, i), new = act, job.copy()
        new.time += 1
        new.touched |= {*effect["works"], *(setup for setup, _ in [*effect["redoes"], *effect["after"]])}
        for reading, cell in zip(effect["reads"], found):
            new.taken[reading] = [*new.taken.get(reading, ()), (job.time, cell, set(job.fitted))]
        if kind in ("takeOut", "putBack", "keep"):
            del new.fitted[i]
        if kind == "test" and self.graph["tests"][i]["kind"] == "told":
            new.asked.add(i)
        if kind == "test" and self.graph["tests"][i]["kind"] == "swaps" and (found == "gone" or left_in):
            new.fitted.update((part, i) for part in effect["works"])
        new.ended = found == "holds" or kind == "handOver"
        return new

    def after(self, hypotheses, job, act, found, left_in):
        effect = self.effect(job, act)
        jobs, weights = {}, []
        for h in hypotheses:
            kept = []
            for way, then, chance in self.branches(h, job, act, effect):
                if way not in jobs:
                    jobs[way] = self.job_after(job, act, effect, way, left_in)
                share, acted = self.left(then, jobs[way])
                kept.append((way, then.but(acted=acted), chance * share))
            total = sum(chance for _, _, chance in kept)
            if total >= 1e-12:
                weights += [then.but(weight=h.weight * c / total) for way, then, c in kept if way == found and c]
        total = sum(h.weight for h in weights)
        return [h.but(weight=h.weight / total) for h in weights], self.job_after(job, act, effect, found, left_in)


# ---------------------------------------------------------------- session

NAMES = {"test": "tests", "reading": "readings", "fix": "faults"}


class Session:
    def __init__(self, graph, log=()):
        if graph.get("format") != "ruleout-graph/2":
            raise RunError("This runner reads `ruleout-graph/2`: compile the ruleset again.")
        self.machine, self.graph, self.log, self.unable = Machine(graph), graph, list(log), set()
        self.hypotheses, self.job = self.machine.start(), Job()
        for entry in self.log:
            if "cannot" in entry:
                self.unable.add(entry["cannot"])
            elif "came_back" in entry:
                self.come_back()
            else:
                self.unable.discard(entry["act"])
                step = self.machine.after(self.hypotheses, self.job, entry["act"], entry["found"], entry["left_in"])
                self.hypotheses, self.job = step

    def come_back(self):
        """Another job of the same machine: the good parts are out, and something is active after all."""
        self.job = self.job.copy()
        self.job.fitted, self.job.touched, self.job.ended = {}, set(), False
        wrong = [h for h in self.hypotheses if self.machine.wrong(h, self.job)]
        total, self.unable = sum(h.weight for h in wrong), set()
        self.hypotheses = [h.but(weight=h.weight / total) for h in wrong]

    def act(self, act):
        (kind, name), = act.items()
        if kind in ("look", "close", "handOver"):
            return kind, None
        for i, each in enumerate(self.graph[NAMES.get(kind, "places")]):
            if each["name"] == name:
                return kind, i
        raise RunError(f"There is no {kind} `{name}`.")

    def impossible(self, act):
        kind, i = act
        fitted, model = self.job.fitted, self.graph["model"]
        if kind == "test":
            return i in self.job.asked or any(part in fitted for part in model["tests"][i].get("parts", ()))
        if kind in ("takeOut", "putBack", "keep"):
            return i not in fitted
        if kind == "replace":
            return i in fitted or self.graph["places"][i]["kind"] != "part"
        if kind == "fix":
            return model["fix"][i] is None or self.machine.place(i) in fitted
        return kind == "close" and bool(fitted)

    def find(self, act, found, left_in=None):
        act = self.act(act)
        if self.job.ended or self.impossible(act):
            raise RunError("That cannot be done now.")
        reads = self.machine.effect(self.job, act)["reads"]
        if reads:
            of = [self.graph["readings"][r] for r in reads]
            values = found if isinstance(found, dict) else {of[0]["name"]: found}
            if set(values) != {r["name"] for r in of}:
                raise RunError("One value for each reading is wanted.")
            found = tuple(cell_of(r, values[r["name"]]) for r in of)
        elif found not in {"close": ("holds", "fails"), "takeOut": ("done",), "keep": ("done",),
                           "handOver": ("done",)}.get(act[0], ("gone", "stays")):
            raise RunError(f"`{found}` is no answer to that.")
        if left_in is None:
            node = self.node()
            left_in = node is not None and self.is_step(node, act) and any(e.get("leaveIn") for e in node["edges"])
        return Session(self.graph, [*self.log, {"act": act, "found": found, "left_in": left_in}])

    def cannot(self, act):
        return Session(self.graph, [*self.log, {"cannot": self.act(act)}])

    def came_back(self):
        return Session(self.graph, [*self.log, {"came_back": True}])

    def undo(self, step):
        """Takes back a step, counted without those that cannot be done, and what could not be without it."""
        steps = [i for i, entry in enumerate(self.log) if "cannot" not in entry]
        if not 0 <= step < len(steps):
            raise RunError("There is no such step.")
        session = Session(self.graph)
        for i, entry in enumerate(self.log):
            if i != steps[step] and not ("act" in entry and session.impossible(entry["act"])):
                session = Session(self.graph, [*session.log, entry])
        return session

    def is_step(self, node, act):
        """Whether an action is what a node does."""
        kind, i = act
        if node["do"] == "test":
            reads = self.graph["model"]["tests"][node["test"]].get("reads")
            return act == ("test", node["test"]) or kind == "reading" and reads == [i]
        return kind == node["do"] and i == node.get("part", node.get("fault"))

    def node(self):
        """The node that the findings lead to, if they are just those of one path of the graph."""
        nodes, left, changes = self.graph["nodes"], [], 0
        for entry in self.log:
            if "came_back" in entry:
                return None
            if "act" in entry:
                left.append((changes, entry))
                changes += isinstance(entry["found"], str)
        node, changes = nodes[self.graph["start"]], 0
        while left:
            if node is None or "edges" not in node:
                return None
            told = node["do"] == "test" and self.graph["tests"][node["test"]]["kind"] == "told"
            fits = [item for item in left if (told or item[0] == changes) and self.is_step(node, item[1]["act"])]
            if not fits:
                return None
            left.remove(fits[0])
            entry, found = fits[0][1], fits[0][1]["found"]
            changes += isinstance(found, str)
            same = lambda on: on == found if isinstance(on, str) else tuple(on) == found
            edges = [e for e in node["edges"] if same(e["on"]) and (found != "stays" or e.get("leaveIn", False) == entry["left_in"])]
            node = nodes[edges[0]["to"]] if edges and "to" in edges[0] else None
        return node

    def next(self):
        """What to do by the names of the ruleset, or None: here this runner leaves the choice to the technician."""
        if self.job.ended:
            return {"end": True}
        node = self.node()
        if not self.hypotheses or node and node["do"] == "handover":
            return {"handOver": True}
        if node is None or node["do"] == "advise":
            return None
        kind = node["do"]
        i = node.get("test", node.get("part", node.get("fault")))
        act = (kind, None if kind in ("look", "close") else i)
        if act in self.unable or self.impossible(act):
            return None
        return {kind: True if act[1] is None else self.graph[NAMES.get(kind, "places")][i]["name"]}

    def chances(self):
        names, chances = self.graph["faults"], {}
        for h in self.hypotheses:
            cured = tuple(names[f]["name"] for f, time in zip(h.faults, h.cured) if time < NEVER)
            key = tuple(names[f]["name"] for f in h.faults), cured
            chances[key] = chances.get(key, 0) + h.weight
        return chances

    def active(self):
        chances = {}
        for h in self.hypotheses:
            for f in self.machine.active(h, self.job.time, self.job.fitted):
                name = self.graph["faults"][f]["name"]
                chances[name] = chances.get(name, 0) + h.weight
        return chances


# ---------------------------------------------------------------- checks

def near(got, want):
    for key in got.keys() | want.keys():
        assert abs(got.get(key, 0) - want.get(key, 0)) < 1e-9, (key, got.get(key, 0), want.get(key, 0))


def agrees(session, want):
    near(session.chances(), {(tuple(h["faults"]), tuple(h["cured"])): h["chance"] for h in want["hypotheses"]})
    near(session.active(), want["active"])
    if "next" in want:
        assert session.next() == want["next"], (session.next(), want["next"])


def after(session, do):
    if "cannot" in do:
        return session.cannot(do["cannot"])
    if "undo" in do:
        return session.undo(do["undo"])
    return session.came_back() if "cameBack" in do else session.find(do["act"], do["found"], do.get("leftIn"))


def check(files):
    walks = 0
    for file in files:
        with open(file, encoding="utf-8") as text:
            vectors = json.load(text)
        for walk in vectors["walks"]:
            session = Session(vectors["graph"])
            agrees(session, walk["start"])
            for step in walk["steps"]:
                try:
                    session = after(session, step["do"])
                    assert step["expect"] != "refused", f"{step['do']} was taken"
                except RunError:
                    assert step["expect"] == "refused", f"{step['do']} was refused"
                else:
                    agrees(session, step["expect"])
            walks += 1
    print(f"{walks} walks over {len(files)} graphs: all agree")


if __name__ == "__main__":
    check(sys.argv[1:])
