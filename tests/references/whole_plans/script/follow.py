"""A plan's water followed in time by scipy's solve_ivp (Radau): quasi-steady flows between levels, every line solved as a
network at every instant."""

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import laws
from laws import Pipe, drowned
from plan import given, si

EDGES = {"broad stone": laws.broad, "thin lip": laws.sharp}


class Line:
    """A pumped line: runs as a tree from the pump to its ends; each node's head found by brentq."""

    def __init__(self, plan, id):
        raw = plan.lines[id]
        self.plan, self.id, self.raw = plan, id, raw
        self.pump = raw["from"]
        self.curve = plan.curve(self.pump)
        self.source = plan.pumps[self.pump]["basin"]
        self.runs, self.after = {}, {}
        for name, run in raw["runs"].items():
            k = 1.0 if "to" in run else 0.0  # one velocity head where it ends in a basin
            if "after" not in run and given(raw.get("check_valve")):
                k += {"spring": 2.5}[raw["check_valve"]["kind"]]  # in-line spring check, common practice
            self.runs[name] = plan.pipe(run, k)
            self.after.setdefault(run.get("after"), []).append(name)
        self.ends = [name for name, run in raw["runs"].items() if "to" in run]
        self.aired = {name for name in self.ends if raw["runs"][name]["discharge"]["form"] == "free"}

    def mouth(self, name):
        return si(self.raw["runs"][name]["discharge"]["level"])

    def end_level(self, name, levels):
        """What an end works against: the water over it, or its mouth where that lies clear of the water."""
        return max(levels[self.raw["runs"][name]["to"]], self.mouth(name))

    def passed(self, name, head, levels, flows, forward):
        """Flow into a run from a joint of this head (its ends' flows are noted); above zero away from the pump."""
        pipe, after = self.runs[name], self.after.get(name)
        if not forward and not self.under(name, True):
            flows.update(dict.fromkeys(self.under(name), 0.0))
            return 0.0
        if not after:
            q = pipe.flow(head - self.end_level(name, levels), self.plan.nu)
            q = max(q, 0.0) if forward else q
            flows[name] = q
            return q

        def missing(joint):
            out = sum(self.passed(n, joint, levels, flows, forward) for n in after)
            return pipe.flow(head - joint, self.plan.nu) - out

        ends = [self.end_level(n, levels) for n in self.under(name, not forward)]
        low, high = min(ends + [head]) - 1e-6, max(ends + [head]) + 1e-6
        joint = brentq(missing, low, high, xtol=1e-14, rtol=1e-13)
        return sum(self.passed(n, joint, levels, flows, forward) for n in after)

    def under(self, name, without_air=False):
        """The ends beyond a run; where asked, only those that have no air in them."""
        after = self.after.get(name)
        ends = [name] if not after else [e for n in after for e in self.under(n)]
        return [e for e in ends if e not in self.aired] if without_air else ends

    def pumped(self, levels):
        """Flow of each end while the pump runs."""
        flows, (first,) = {}, self.after[None]
        z = levels[self.source]
        lowest = min(self.end_level(e, levels) for e in self.ends)
        if z + self.curve.shut_off <= lowest:
            return dict.fromkeys(self.ends, 0.0)

        single = first in self.ends

        def missing(q):
            if single:
                return z + self.curve.head(q) - self.runs[first].loss(q, self.plan.nu) - lowest
            return self.passed(first, z + self.curve.head(q), levels, flows, True) - q

        if missing(self.curve.most) > 0:
            raise ValueError(f"{self.id}: beyond the pump's curve")
        q = brentq(missing, 0, self.curve.most, xtol=1e-14, rtol=1e-12)
        if single:
            return {first: q}
        self.passed(first, z + self.curve.head(q), levels, flows, True)
        return {e: flows[e] for e in self.ends}

    def back(self, levels):
        """Flow of each end, below zero, with the pump standing open: the shared runs carry what all ends give."""
        flows, (first,) = {}, self.after[None]
        self.passed(first, levels[self.source], levels, flows, False)
        return {e: flows[e] for e in self.ends}


class Follower:
    """A plan under a scenario."""

    def __init__(self, plan, *, pumps=True, leak=False, storm=False, stuck=False, make_up=True, overflows=True, crests=1.0):
        self.plan, self.leak, self.crests, self.overflows = plan, leak, crests, overflows
        self.ids = list(plan.basins)
        self.lines = [Line(plan, id) for id in plan.lines]
        self.running = {line.id: pumps for line in self.lines}
        self.siphoning = {line.id: leak and not pumps for line in self.lines}
        self.until = 0.0
        self.stops = []
        self.rain = {}
        site = plan.raw.get("site", {})
        if storm:
            depth, self.until = si(site["design_storm"]["depth"]), si(site["design_storm"]["duration"])
            self.rain = {id: depth / self.until * b.area(b.top) for id, b in plan.basins.items() if b.rain}
        raw = plan.raw["water"].get("make_up")
        self.make_up = None
        if given(raw) and (make_up or stuck):
            self.make_up = (raw["basin"], si(raw["flow"]), si(raw["level"]), stuck)

    def overflow(self, id, z):
        raw = self.plan.raw["basins"][id].get("overflow")
        if not given(raw) or not self.overflows:
            return 0.0
        level = si(raw["level"])
        if "bore" not in raw:
            return laws.sharp(si(raw["width"]), z - level)
        return piped_overflow(raw, z, self.plan.nu)

    def drain(self, raw, levels):
        mouth, run = raw["mouth"], raw["run"]
        pipe = self.plan.pipe(run, 1.5)  # sharp entrance 0.5, exit 1
        up, down = levels[raw["from"]], levels[raw["to"]]
        if "discharge" in run and run["discharge"]["form"] == "free":
            down = max(down, si(run["discharge"]["level"]))
        lip = si(mouth["level"])
        if mouth["form"] == "bottom drain":
            return pipe.flow(up - down, self.plan.nu)
        if down > up:
            return pipe.flow(max(up, lip) - down, self.plan.nu) if down > lip else 0.0
        if up <= lip:
            return 0.0
        width = si(mouth["width"]) if mouth["form"] == "skimmer" else math.pi * pipe.bore
        over = laws.FRANCIS * width * (up - lip) ** 1.5
        least = min(over, pipe.flow(up - down, self.plan.nu))
        if mouth["form"] == "standpipe":
            least = min(least, laws.ORIFICE * pipe.area * math.sqrt(2 * laws.G * (up - lip)))
        return least

    def ways(self, t, levels):
        """Flow of every way at an instant: name, from, to, m3/s; none is the outside."""
        out = []
        for id, basin in self.plan.basins.items():
            z = levels[id]
            out.append((f"rim {id}", id, None, laws.broad(basin.rim_length, z - basin.rim)))
            out.append((f"overflow {id}", id, None, self.overflow(id, z)))
            if id in self.rain and t < self.until:
                out.append((f"rain {id}", None, id, self.rain[id]))
        for name, raw in self.plan.falls.items():
            crest, width = si(raw["crest"]), si(raw["width"]) * self.crests
            q = drowned(EDGES[raw["edge"]], width, levels[raw["from"]] - crest, levels[raw["to"]] - crest)
            out.append((f"fall {name}", raw["from"], raw["to"], q))
        for name, raw in self.plan.drains.items():
            out.append((f"drain {name}", raw["from"], raw["to"], self.drain(raw, levels)))
        for line in self.lines:
            if self.running[line.id]:
                flows = line.pumped(levels)
            elif self.siphoning[line.id]:
                flows = line.back(levels)
            else:
                continue
            for end, q in flows.items():
                out.append((f"line {line.id} {end}", line.source, line.raw["runs"][end]["to"], q))
        if self.make_up:
            id, q, level, stuck = self.make_up
            # A float opens over its last millimetre, so that the level it keeps is steady.
            share = 1.0 if stuck else min(1.0, max(0.0, (level - levels[id]) / 1e-3))
            out.append(("make-up", None, id, q * share))
        return out

    def run(self, start, until, at=()):
        """From levels to a time; returns times, levels, volumes passed by way, and when what stopped."""
        names = [w[0] for w in self.ways(0.0, start)]
        y = np.array([start[i] for i in self.ids] + [0.0] * len(names))
        n = len(self.ids)
        breaks = sorted({until} | ({self.until} if 0 < self.until < until else set()))
        times, levels, t = [0.0], [y[:n].copy()], 0.0

        def rate(t, y):
            z = dict(zip(self.ids, y[:n]))
            passed = {w[0]: w for w in self.ways(t, z)}
            net = dict.fromkeys(self.ids, 0.0)
            for _, a, b, q in passed.values():
                if a is not None:
                    net[a] -= q
                if b is not None:
                    net[b] += q
            dz = [net[i] / self.plan.basins[i].area(z[i]) for i in self.ids]
            return np.array(dz + [passed[w][3] if w in passed else 0.0 for w in names])

        def slopes(t, y):
            """Central differences by the levels; nothing hangs on what has passed."""
            out = np.zeros((len(y), len(y)))
            for i in range(n):
                up, down = y.copy(), y.copy()
                up[i] += 1e-7
                down[i] -= 1e-7
                out[:, i] = (rate(t, up) - rate(t, down)) / 2e-7
            return out

        steps = list(at)
        for end in breaks:
            while t < end - 1e-9:
                events, whats = self.events(n)
                upto = [s for s in steps if t < s <= end]
                sol = solve_ivp(rate, (t, end - 1e-7 if end == self.until else end), y, method="Radau", jac=slopes, rtol=1e-8, atol=1e-9, events=events, dense_output=True)
                last = sol.t[-1]
                for s in upto:
                    if s <= last:
                        times.append(s)
                        levels.append(sol.sol(s)[:n])
                        steps.remove(s)
                fine = np.linspace(t, last, 2000)
                for s in fine:
                    times.append(s)
                    levels.append(sol.sol(s)[:n])
                t, y = last, sol.y[:, -1]
                if sol.status == 1:
                    for k, found in enumerate(sol.t_events):
                        if len(found):
                            self.happen(whats[k], t)
                else:
                    t = end
        order = np.argsort(times, kind="stable")
        passed = dict(zip(names, y[n:]))
        return np.array(times)[order], np.array(levels)[order], passed, self.stops

    def events(self, n):
        """What can shut a way for good, as events of solve_ivp."""
        events, whats = [], []

        def add(f, what):
            f.terminal, f.direction = True, -1
            events.append(f)
            whats.append(what)

        for line in self.lines:
            if self.running[line.id]:
                source = self.ids.index(line.source)
                pump = self.plan.pumps[line.pump]
                stop = max(si(pump[k]) for k in ("low_level_cut_off", "intake") if given(pump.get(k)))
                add(lambda t, y, i=source, z=stop: y[i] - z, ("cut-off", line.id))
            elif self.siphoning[line.id]:
                inlet = line.raw.get("air_inlet")
                open_ends = [e for e in line.ends if e not in line.aired]
                upper = [self.ids.index(line.raw["runs"][e]["to"]) for e in open_ends]
                if not upper:
                    continue
                for e, u in zip(open_ends, upper):
                    add(lambda t, y, u=u, z=line.mouth(e): y[u] - z, ("mouth", line.id, e))
                if given(inlet):
                    z = si(inlet["level"])
                    add(lambda t, y, u=upper, z=z: max(y[i] for i in u) - z, ("air inlet", line.id))
        return events, whats

    def happen(self, what, t):
        kind, id, *end = what
        (line,) = [line for line in self.lines if line.id == id]
        if kind == "cut-off":
            self.stops.append((kind, line.pump, t))
            self.running[id] = False
            return
        # With air in one branch the others go on, and have the shared runs to themselves.
        stopped = end or [e for e in line.ends if e not in line.aired]
        self.stops.extend((kind, f"{id}/{e}", t) for e in stopped)
        line.aired.update(stopped)
        self.siphoning[id] = any(e not in line.aired for e in line.ends)


def piped_overflow(raw, z, nu):
    """A wall mouth with 6 m of pipe at 1 in 50 behind it: what the mouth takes, or the full pipe where that passes less."""
    level, bore = si(raw["level"]), si(raw["bore"])
    if z <= level:
        return 0.0
    pipe = Pipe(bore, 6.0, 1.5e-6, 1.5)
    outlet = level - 0.12 + bore / 2
    return min(pipe.flow(max(z - outlet, 0.0), nu), laws.inlet_flow(bore, z - level, 0.02))
