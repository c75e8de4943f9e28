#!/usr/bin/env python3
"""Draws random planning cases and has a solver of mixed-integer programs find their optima.

    (python3 make.py 100 0; python3 make.py 90 100000; python3 make.py 20 200000; python3 make.py 20 300000) > random.jsonl

The first number says how many cases, the second one is the seed before the first. It needs cbc (Debian: coinor-cbc). Each
line is a case with the least excess over latest ends, then the least makespan, then the least over-wait, all in minutes.
Cases that the solver does not settle in the time below are left out, so a slower machine may pass over a few more. Nothing
here is shared with the planner under test: starts are integer variables, each activity is given to a unit of its resource
by binary variables, and of two activities on the same unit one comes first (big-M).
"""
import json, os, random, re, subprocess, sys, tempfile

TIGHT = 200000  # seeds from here on draw windows that can often not be kept
SECONDS = 5  # for each of the three solves of a case


def draw_kind(rng, steps, operators, resources, tight):
    kind = {"step": [], "wait": [], "hold": []}
    for j in range(steps):
        s = {"id": "s%d" % j, "hands": rng.randint(1, 5), "operators": 1, "uses": []}
        if operators == 2 and rng.random() < 0.12:
            s["operators"] = 2
        kind["step"].append(s)
    for j in range(steps - 1):
        least = rng.choice([0, 0, 1, 2, 4, 6, 8])
        w = {"from": "s%d" % j, "to": "s%d" % (j + 1), "at_least": least, "aim": least + rng.choice([0, 0, 1, 2])}
        if rng.random() < 0.8:
            w["at_most"] = w["aim"] + rng.choice([0, 0, 1, 2, 3, 5, 8])
        kind["wait"].append(w)
    if steps > 3 and rng.random() < 0.2:  # a wait that leaps over a step
        a = rng.randrange(steps - 2)
        kind["wait"].append({"from": "s%d" % a, "to": "s%d" % (a + 2), "at_least": 0, "aim": 12, "at_most": rng.randint(15, 30)})
    if tight:  # one that is likely to be too short for what lies within
        kind["wait"].append({"from": "s0", "to": "s2", "at_least": 0, "aim": 0, "at_most": rng.randint(3, 9)})
    for r in resources:
        if r.startswith("place"):
            a = rng.randrange(steps - 1)
            kind["hold"].append({"resource": r, "from": "s%d" % a, "to": "s%d" % rng.randint(a + 1, steps - 1)})
        else:
            for s in rng.sample(kind["step"], rng.randint(1, 2)):
                s["uses"].append(r)
    return kind


def draw(rng, tight):
    vessels = rng.choice([2, 2, 2, 2, 3, 3, 3, 4, 4, 5, 6])
    steps = rng.randint(3, max(3, min(8, 16 // vessels)))
    operators = rng.choice([1, 1, 1, 2])
    resources = rng.choice([["place1"], ["place1", "tool1"], ["tool1"], ["place1", "place2", "tool1"]])
    case = {"operators": operators, "capacity": {}, "vessel": [], "break": []}
    for r in resources:
        case["capacity"][r] = rng.randint(1, 3) if r.startswith("place") else 1
    kinds = [draw_kind(rng, steps, operators, resources, tight) for _ in range(rng.choice([1, 1, 2]))]
    for v in range(vessels):
        case["vessel"].append({"label": chr(65 + v), **kinds[min(v * len(kinds) // vessels, len(kinds) - 1)]})
    if rng.random() < 0.2:
        a = rng.randint(3, 25)
        case["break"].append({"from": a, "to": a + rng.randint(2, 10)})
    return case


class Model:
    def __init__(self, case):
        self.rows, self.binaries, self.starts = [], [], []
        self.excess, self.over = [], []
        self.end = sum(s["hands"] for v in case["vessel"] for s in v["step"])
        self.end += sum(w["at_least"] for v in case["vessel"] for w in v["wait"])
        self.end += sum(b["to"] for b in case["break"])
        self.acts = {}
        for v, vessel in enumerate(case["vessel"]):
            self.vessel(v, vessel)
        for k, b in enumerate(case["break"]):
            self.row("b%d = %d" % (k, b["from"]))
            self.act("operators", "b%d" % k, "b%d" % k, b["to"] - b["from"], case["operators"])
        for v in range(1, len(case["vessel"])):
            a, b = dict(case["vessel"][v - 1]), dict(case["vessel"][v])
            a.pop("label"), b.pop("label")
            if a == b:
                self.row("s%d_0 - s%d_0 >= 0" % (v, v - 1))
        for resource, acts in sorted(self.acts.items()):
            self.share(resource, acts, case["operators"] if resource == "operators" else case["capacity"][resource])

    def row(self, text):
        self.rows.append(text)

    def act(self, resource, first, last, length, amount):
        self.acts.setdefault(resource, []).append((first, last, length, amount))

    def vessel(self, v, vessel):
        at = {s["id"]: j for j, s in enumerate(vessel["step"])}
        for j, s in enumerate(vessel["step"]):
            x = "s%d_%d" % (v, j)
            self.starts.append(x)
            self.row("C - %s >= %d" % (x, s["hands"]))
            self.act("operators", x, x, s["hands"], s["operators"])
            for r in s["uses"]:
                self.act(r, x, x, s["hands"], 1)
        for k, w in enumerate(vessel["wait"]):
            i, j, name = at[w["from"]], at[w["to"]], "%d_%d" % (v, k)
            d = vessel["step"][i]["hands"]
            lag = "s%d_%d - s%d_%d" % (v, j, v, i)
            self.row("%s >= %d" % (lag, d + w["at_least"]))
            self.row("%s - o%s <= %d" % (lag, name, d + w["aim"]))
            self.over.append("o" + name)
            if "at_most" in w:
                self.row("%s - e%s <= %d" % (lag, name, d + w["at_most"]))
                self.excess.append("e" + name)
        for h in vessel["hold"]:
            i, j = at[h["from"]], at[h["to"]]
            self.act(h["resource"], "s%d_%d" % (v, i), "s%d_%d" % (v, j), vessel["step"][j]["hands"], 1)

    def share(self, resource, acts, places):
        unit = lambda a, u: "u_%s_%d_%d" % (resource, a, u)
        for a, (_, _, _, amount) in enumerate(acts):
            if places > 1:
                self.row(" + ".join(unit(a, u) for u in range(places)) + " = %d" % amount)
                self.binaries += [unit(a, u) for u in range(places)]
        for a in range(len(acts)):
            for b in range(a):
                y, z = "y_%s_%d_%d" % (resource, a, b), "z_%s_%d_%d" % (resource, a, b)
                self.binaries += [y, z]  # y: a ends before b starts; z: b ends before a starts
                if places == 1:
                    self.row("%s + %s >= 1" % (y, z))
                else:
                    for u in range(places):
                        self.row("%s + %s - %s - %s >= -1" % (y, z, unit(a, u), unit(b, u)))
                for (p, q, on) in ((acts[a], acts[b], y), (acts[b], acts[a], z)):
                    big = self.end + p[2]
                    self.row("%s - %s - %d %s >= %d" % (q[0], p[1], big, on, p[2] - big))

    def solve(self, goal, fixed):
        lines = ["Minimize", " obj: " + (" + ".join(goal) or "0 C"), "Subject To"]
        lines += [" r%d: %s" % (k, row) for k, row in enumerate(self.rows + fixed)]
        lines += ["Bounds", " 0 <= C <= %d" % self.end, "General"] + [" " + s for s in self.starts]
        lines += ["Binary"] + [" " + b for b in self.binaries] + ["End", ""]
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "case.lp")
            open(path, "w").write("\n".join(lines))
            out = subprocess.run(["cbc", path, "sec", str(SECONDS), "ratio", "0", "allow", "0", "solve"], capture_output=True, text=True).stdout
        if "Optimal solution found" not in out:
            return None
        return round(float(re.search(r"Objective value:\s+(-?[0-9.e+]+)", out).group(1)))


def solve(case):
    m = Model(case)
    excess = m.solve(m.excess, []) if m.excess else 0
    if excess is None:
        return None
    fixed = [" + ".join(m.excess) + " <= %d" % excess] if m.excess else []
    end = m.solve(["C"], fixed)
    if end is None:
        return None
    over = m.solve(m.over, fixed + ["C <= %d" % end])
    if over is None:
        return None
    return {"excess_min": excess, "makespan_min": end, "overwait_min": over}


def main():
    wanted, found, seed = int(sys.argv[1]), 0, int(sys.argv[2]) if len(sys.argv) > 2 else 0
    while found < wanted:
        seed += 1
        case = draw(random.Random(seed), seed >= TIGHT)
        answer = solve(case)
        if answer is None:
            continue
        found += 1
        print(json.dumps({"seed": seed, **answer, "source": "cbc 2.10.8", "case": case}), flush=True)


main()
