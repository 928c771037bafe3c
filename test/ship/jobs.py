"""Plays jobs with a shipped file and holds all that it says against what our runner said: python3 jobs.py FOLDER jobs.json"""
import importlib
import json
import sys

sys.path.insert(0, sys.argv[1])
kiosk = importlib.import_module("kiosk_dark")


def near(got, want, where):
    assert abs(got - want) <= 1e-9 * max(1, abs(want)), (where, got, want)


def step_as(step):
    if step.do in ("end", "handover"):
        return {"do": step.do}
    return {"do": step.do, "act": step.act, "by": step.by, "cautions": list(step.cautions)}


def out_as(out):
    return None if out is None else {"step": out.step, "by": out.by, "text": out.text}


def agrees(job, want, where):
    assert step_as(job.next) == want["next"], (where, step_as(job.next), want["next"])
    for key, got in zip(("cost", "parts", "minutes", "handedOver"), (job.outlook.cost, job.outlook.parts, job.outlook.minutes, job.outlook.handed_over)):
        near(got, want["outlook"][key], (where, key))
    for key in ("minutes", "cost", "look_cost"):
        near(getattr(job.next, key), want["step"][key], (where, key))
    for got, wants in zip(job.candidates, want["candidates"]):
        near(got.present, wants["present"], where)
        near(got.active, wants["active"], where)
    outs = {s.info["name"]: out_as(s.out) for s in job.candidates if s.info}
    assert outs == want["out"], (where, outs, want["out"])
    assert [part["name"] for part in job.standing.fitted] == want["fitted"], where
    near(job.standing.whole, want["whole"], where)
    assert len(job.steps) == want["steps"], where
    assert [[of, list(steps)] for of, _, steps in job.suspicions] == want["suspicions"], where


with open(sys.argv[2], encoding="utf-8") as text:
    jobs = json.load(text)
for j, each in enumerate(jobs):
    job = kiosk.start() if each["graph"] is None else kiosk.open_graph(each["graph"])
    for s, (do, want) in enumerate(each["steps"]):
        if do is not None:
            job = job.cannot(do["cannot"]) if "cannot" in do else job.find(do["act"], do["found"], do.get("minutes"), do.get("leftIn"))
        agrees(job, want, (j, s))
    record = kiosk.record_text(job.record(f"K-{j}", date="2026-03-09", faults=each["faults"], confirmed="proof"))
    assert record == each["record"], (j, record, each["record"])
    again = kiosk.reopen(job.machine.graph, json.loads(record))
    assert kiosk.record_text(again.record(f"K-{j}", date="2026-03-09", faults=each["faults"], confirmed="proof")) == record
    for name, why in each["why"].items():
        out, back = job.why(name)
        assert [[out_as(o) for o in out], back] == why, (j, name, out, back, why)
print(f"{len(jobs)} jobs: all agree")
