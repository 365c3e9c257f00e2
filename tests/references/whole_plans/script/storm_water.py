"""Makes ../storm_water.csv: plans of tests/plans/engines in the storm-water engine EPA SWMM 5 by its own dynamic wave.

Basins are storage units, crests transverse weirs of the same coefficient, lips of skimmers weirs of Francis's, gravity and
siphoning pipes circular conduits under pressure with Darcy-Weisbach losses, the pump with its line a pump of type 3 whose
curve of flow against lift is worked from the plan's pump curve less the losses of the line. Basins whose overflow is a sharp
lip have an outlet with a rating table.

    python storm_water.py [PLAN ...]
"""

import pathlib
import sys
import tempfile

import numpy as np
import pyswmm
import swmm.toolkit
from pyswmm import Nodes, Simulation

import laws
from follow import Line
from generate import running
from plan import Plan, given, si

DAY = 24
HIGH = 20.0  # walls of every node reach so far above its floor, m
DATUM = 10.0  # the engine's inverts are kept above zero
CASES = {
    "day": ["running", "power-off", "check-valve-leaks", "storm", "make-up-stuck"],
    "communicating": ["running", "power-off", "storm"],
    "cascade": ["running", "power-off", "check-valve-leaks", "storm", "make-up-stuck"],
    "branched": ["running", "power-off", "check-valve-leaks", "storm"],
    "chain": ["running", "power-off", "storm"],
    "overflow": ["running", "storm", "make-up-stuck"],
}
HEADER = """\
# topic: whole plans in a public storm-water engine
# origin: EPA SWMM 5 (dynamic wave) run by script/storm_water.py; start levels as in integrated.csv
# plans: tests/plans/engines/<plan>.jsonc
# tolerance: 2 % of how far the basin's level comes from still in the case, at least 1 mm; 2 % of volumes
# note: the engine has inertia and fills its pipes first; its gravity is 32.2 ft/s2, its viscosity 1.1e-5 ft2/s
# column: what | highest, lowest, end in m of the basin; lost by rim or overflow in m3 over the day
# column: still | still level of the basin, m
# column: value | m or m3"""


def table(name, kind, pairs):
    lines = [f"{name} {kind if i == 0 else ''} {x:.9g} {y:.9g}" for i, (x, y) in enumerate(pairs)]
    return "\n".join(lines) + "\n"


class Model:
    """One case of a plan as an input file."""

    def __init__(self, plan, start, case):
        self.plan, self.start, self.case = plan, start, case
        self.s = {k: [] for k in ("STORAGE", "JUNCTIONS", "OUTFALLS", "CONDUITS", "PUMPS", "WEIRS", "OUTLETS", "ORIFICES", "XSECTIONS", "LOSSES", "CURVES", "INFLOWS", "TIMESERIES")}
        self.lost = []
        for basin in plan.basins.values():
            self.basin(basin)
        for name, raw in plan.falls.items():
            assert raw["edge"] == "broad stone"
            self.weir(f"fall_{name}", raw["from"], raw["to"], si(raw["crest"]), si(raw["width"]), laws.BROAD)
        for name, raw in plan.drains.items():
            self.drain(name, raw)
        for id in plan.lines:
            self.line(Line(plan, id))
        self.inflows()

    def bottom(self, id):
        return self.plan.basins[id].floor + DATUM

    def basin(self, basin):
        id, floor = basin.id, basin.floor
        zs = np.linspace(floor, basin.top, 60)
        pairs = [(z - floor, basin.area(z)) for z in zs] + [(HIGH, basin.area(basin.top))]
        self.s["CURVES"].append(table(f"area_{id}", "STORAGE", pairs))
        self.s["STORAGE"].append(f"{id} {floor + DATUM:.6f} {HIGH} {self.start[id] - floor:.9f} TABULAR area_{id} 0 0")
        self.weir(f"rim_{id}", id, self.outfall(f"ground_{id}"), basin.rim, basin.rim_length, laws.BROAD)
        self.lost.append((f"ground_{id}", "lost by rim", id))
        raw = self.plan.raw["basins"][id].get("overflow")
        if given(raw) and "bore" in raw:
            # A wall mouth with 6 m of smooth pipe at 1 in 50 that runs out free: a circular conduit whose inlet is that of a
            # culvert with a square edge in a headwall (code 1 of HDS-5), n 0.009.
            level, bore = si(raw["level"]), si(raw["bore"])
            self.s["OUTFALLS"].append(f"outfall_{id} {level - 0.12 + DATUM:.6f} FREE NO")
            self.s["CONDUITS"].append(f"overflow_{id} {id} outfall_{id} 6.0 0.009 {level - floor:.6f} 0 0 0")
            self.s["XSECTIONS"].append(f"overflow_{id} CIRCULAR {bore} 0 0 0 1 1")
            self.lost.append((f"outfall_{id}", "lost by overflow", id))
        elif given(raw):
            out, level = self.outfall(f"outfall_{id}"), si(raw["level"])
            rating = self.overflow_rating(raw)
            self.s["CURVES"].append(table(f"rating_{id}", "RATING", rating))
            self.s["OUTLETS"].append(f"overflow_{id} {id} {out} {level - floor:.9f} TABULAR/DEPTH rating_{id} NO")
            self.lost.append((out, "lost by overflow", id))

    def overflow_rating(self, raw):
        heads = np.concatenate([np.linspace(0, 0.06, 121), np.linspace(0.07, 1.0, 60)])
        width = si(raw["width"])
        return [(h, laws.sharp(width, h) * 1000) for h in heads]

    def outfall(self, name):
        self.s["OUTFALLS"].append(f"{name} 0 FREE NO")
        return name

    def weir(self, name, a, b, crest, width, coefficient):
        offset = crest - self.plan.basins[a].floor
        self.s["WEIRS"].append(f"{name} {a} {b} TRANSVERSE {offset:.9f} {coefficient} NO 0 0 YES")
        self.s["XSECTIONS"].append(f"{name} RECT_OPEN {HIGH - offset - 0.1:.6f} {width} 0 0")

    def conduit(self, name, a, b, pipe, k, level_a, level_b, begins=0.0):
        """A pipe that stays full, under Darcy-Weisbach; its ends at the floor of what they lie in or a level."""
        off_a, off_b = level_a + DATUM - self.bottom_of(a), level_b + DATUM - self.bottom_of(b)
        self.s["CONDUITS"].append(f"{name} {a} {b} {pipe.length} 0.009 {off_a:.6f} {off_b:.6f} {begins * 1000:.6f} 0")
        self.s["XSECTIONS"].append(f"{name} FORCE_MAIN {pipe.bore} {pipe.rough * 1000:.6f} 0 0 1")
        self.s["LOSSES"].append(f"{name} 0 0 {k} NO 0")

    def bottom_of(self, node):
        return self.bottom(node) if node in self.plan.basins else self.junctions[node]

    def drain(self, name, raw):
        pipe = self.plan.pipe(raw["run"], 1.5)
        mouth, a, b = raw["mouth"], raw["from"], raw["to"]
        if mouth["form"] == "bottom drain":
            low = max(self.plan.basins[a].floor, self.plan.basins[b].floor)
            begins = pipe.flow(self.start[a] - self.start[b], self.plan.nu)
            self.conduit(f"drain_{name}", a, b, pipe, pipe.k, low, low, begins)
            return
        # The lip: the level over it is so much lower than the pipe could pass that it alone governs.
        self.weir(f"drain_{name}", a, b, si(mouth["level"]), si(mouth["width"]), laws.FRANCIS)

    def line(self, line):
        a = line.source
        pumped = self.case not in ("power-off", "check-valve-leaks")
        if pumped:
            self.pumped(line)
        elif self.case == "check-valve-leaks":
            self.siphon(line)

    def pumped(self, line):
        """A pump to every end, by what the end gets against the lift of the line, the share of a branch as at the start."""
        plan, a = self.plan, line.source
        for end in line.ends:
            b = line.raw["runs"][end]["to"]
            here = line.end_level(end, self.start)
            pairs = []
            for lift in np.linspace(0.02, line.curve.shut_off - 0.02, 80):
                levels = dict(self.start)
                levels[a] = here - lift
                try:
                    q = line.pumped(levels)[end]
                except ValueError:
                    continue
                pairs.append((lift, q * 1000))
            lifts = [p for p in pairs if p[1] > 0]
            free = line.raw["runs"][end]["discharge"]["form"] == "free"
            if free:
                # It works against its mouth whatever the water does: the curve is put up by what the mouth stands clear.
                lifts = [(x - (here - self.start[b]), y) for x, y in lifts]
            self.s["CURVES"].append(table(f"pump_{line.id}_{end}", "PUMP3", lifts))
            self.s["PUMPS"].append(f"pump_{line.id}_{end} {a} {b} pump_{line.id}_{end} ON 0 0")

    junctions = {}

    def siphon(self, line):
        """The standing line as conduits, its end low enough never to draw air before the levels meet."""
        a, floor = line.source, self.plan.basins[line.source].floor
        if line.ends == ["feed"]:
            pipe = line.runs["feed"]
            b = line.raw["runs"]["feed"]["to"]
            self.conduit("siphon", b, a, pipe, pipe.k, line.mouth("feed"), floor)
            return
        # The joint lies at the floor of the sump.
        self.junctions = {"joint": floor + DATUM}
        self.s["JUNCTIONS"].append(f"joint {floor + DATUM:.6f} {HIGH} {self.start[a] - floor:.6f} 0 0")
        (first,) = line.after[None]
        self.conduit("main", "joint", a, line.runs[first], line.runs[first].k, floor, floor)
        for end in line.ends:
            b, pipe = line.raw["runs"][end]["to"], line.runs[end]
            self.conduit(f"siphon_{end}", b, "joint", pipe, pipe.k, line.mouth(end), floor)

    def inflows(self):
        plan, site = self.plan, self.plan.raw.get("site", {})
        per_node = {}
        if self.case == "storm":
            depth, hours = si(site["design_storm"]["depth"]), si(site["design_storm"]["duration"]) / 3600
            for id, b in plan.basins.items():
                if b.rain:
                    q = depth / (hours * 3600) * b.area(b.top) * 1000
                    self.s["TIMESERIES"].append(f"rain_{id} 0:00 {q:.9g}\nrain_{id} {hours:.4f} {q:.9g}\nrain_{id} {hours + 1e-4:.4f} 0\nrain_{id} 48 0")
                    self.s["INFLOWS"].append(f"{id} FLOW rain_{id} FLOW 1.0 1.0")
        raw = plan.raw["water"].get("make_up")
        if self.case == "make-up-stuck" and given(raw):
            self.s["INFLOWS"].append(f'{raw["basin"]} FLOW "" FLOW 1.0 1.0 {si(raw["flow"]) * 1000:.9g}')

    def text(self):
        options = """[OPTIONS]
FLOW_UNITS LPS
FLOW_ROUTING DYNWAVE
LINK_OFFSETS DEPTH
FORCE_MAIN_EQUATION D-W
INERTIAL_DAMPING NONE
NORMAL_FLOW_LIMITED BOTH
VARIABLE_STEP 0.5
ROUTING_STEP {step}
LENGTHENING_STEP 0
MIN_SURFAREA 0.0005
HEAD_TOLERANCE 0.000001
MAX_TRIALS 40
SURCHARGE_METHOD EXTRAN
MIN_SLOPE 0
START_DATE 01/01/2026
START_TIME 00:00:00
REPORT_START_DATE 01/01/2026
REPORT_START_TIME 00:00:00
END_DATE {end}
REPORT_STEP 00:01:00
ALLOW_PONDING NO
SKIP_STEADY_STATE NO
THREADS 1
"""
        # A siphon is done within hours, and wants short steps.
        end = "01/01/2026\nEND_TIME 06:00:00" if self.case == "check-valve-leaks" else "01/02/2026\nEND_TIME 00:00:00"
        return options.replace("{end}", end).replace("{step}", "0.2" if self.case == "check-valve-leaks" else "0.5") + "".join(f"\n[{k}]\n" + "\n".join(v) + "\n" for k, v in self.s.items() if v)


def run(plan, start, case, keep=None):
    model = Model(plan, start, case)
    folder = pathlib.Path(keep or tempfile.mkdtemp())
    file = folder / f"{case}.inp"
    file.write_text(model.text())
    ids = list(plan.basins)
    low, high, end = {}, {}, {}
    with Simulation(str(file)) as sim:
        nodes = Nodes(sim)
        sim.step_advance(5)
        for id in ids:
            low[id] = high[id] = start[id]
        for _ in sim:
            for id in ids:
                z = nodes[id].depth + plan.basins[id].floor
                low[id], high[id], end[id] = min(low[id], z), max(high[id], z), z
        lost = {name: nodes[name].cumulative_inflow for name, *_ in model.lost}
        error = sim.flow_routing_error
    assert abs(error) < 0.01, f"continuity of {plan.name} {case}: {error} %"
    for id in ids:
        yield case, "highest", id, high[id]
        yield case, "lowest", id, low[id]
        yield case, "end", id, end[id]
    for name, what, id in model.lost:
        if lost[name] > 1e-4:
            yield case, what, id, lost[name]


def main():
    names = sys.argv[1:] or list(CASES)
    print(HEADER)
    version = swmm.toolkit.solver.swmm_version_info() if hasattr(swmm.toolkit, "solver") else ""
    print(f"# versions: pyswmm={pyswmm.__version__} swmm-toolkit={swmm.toolkit.__version__} {version}")
    print("plan,case,what,object,still,value")
    for name in names:
        plan = Plan(name)
        start = running(plan)
        for case in CASES[name]:
            for case, what, id, value in run(plan, start, case):
                print(f"{name},{case},{what},{id},{plan.basins[id].still},{value:.6f}", flush=True)


if __name__ == "__main__":
    main()
