"""Holds a shipped runner against the vectors: python3 vectors.py FOLDER-OF-THE-RUNNER vectors/*.json"""
import importlib
import json
import sys

sys.path.insert(0, sys.argv[1])
runner = importlib.import_module("runner")


def near(got, want):
    for key in got.keys() | want.keys():
        assert abs(got.get(key, 0) - want.get(key, 0)) < 1e-9, (key, got.get(key, 0), want.get(key, 0))


def agrees(job, want):
    names = [fault["name"] for fault in job.machine.faults]
    named = lambda faults: tuple(names[fault] for fault in faults)
    near(
        {(named(faults), named(cured)): chance for faults, cured, chance in job.hypotheses},
        {(tuple(h["faults"]), tuple(h["cured"])): h["chance"] for h in want["hypotheses"]},
    )
    near({s.info["name"]: s.active for s in job.candidates if s.info}, want["active"])
    if "next" in want:
        step = job.next
        got = {"end": True} if step.do == "end" else {"handOver": True} if step.do == "handover" else step.act
        assert got == want["next"], (got, want["next"])


def after(job, do):
    if "cannot" in do:
        return job.cannot(do["cannot"])
    if "undo" in do:
        steps = [i for i, entry in enumerate(job.log) if "cannot" not in entry]
        return job.undo(steps[do["undo"]] if do["undo"] < len(steps) else len(job.log))
    return job.came_back() if "cameBack" in do else job.find(do["act"], do["found"], left_in=do.get("leftIn"))


walks = 0
for file in sys.argv[2:]:
    with open(file, encoding="utf-8") as text:
        vectors = json.load(text)
    for walk in vectors["walks"]:
        job = runner.open_graph(vectors["graph"])
        agrees(job, walk["start"])
        for step in walk["steps"]:
            try:
                job = after(job, step["do"])
                assert step["expect"] != "refused", f"{step['do']} was taken"
            except runner.RunError:
                assert step["expect"] == "refused", f"{step['do']} was refused"
            else:
                agrees(job, step["expect"])
        again = runner.reopen(vectors["graph"], json.loads(runner.record_text(job.log)))
        assert again.log == job.log, "a log that is reopened is the same"
        walks += 1
print(f"{walks} walks over {len(sys.argv) - 2} graphs: all agree")
