"""Makes ../integrated.csv: every plan below under every case, by follow.py. Takes minutes.

    python generate.py [PLAN ...]
"""

import sys

import numpy as np
import scipy

from follow import Follower
from plan import Plan

CASES = {
    "running": {},
    "power-off": {"pumps": False},
    "check-valve-leaks": {"pumps": False, "leak": True},
    "storm": {"storm": True},
    "make-up-stuck": {"stuck": True},
}
DAY = 86400.0
AT = [60, 300, 900, 1800, 3600, 7200, 14400, 43200, 86400]
PLANS = ["day", "communicating", "cascade", "branched", "chain", "overflow"]
TRACE = 1e-6
HEADER = """\
# topic: whole plans followed for a day from even running, under several cases
# origin: computed by script/generate.py (laws.py, plan.py, follow.py beside it): quasi-steady flows between levels,
#   Darcy-Weisbach with Colebrook-White, weirs after Kindsvater-Carter, Francis and critical flow, Villemonte where drowned,
#   each line solved as a network at every instant, make-up by a float, overflows passing water in every case
# plans: tests/plans/engines/<plan>.jsonc
# tolerance: rtol 1e-8 of scipy solve_ivp (Radau)
# column: what | highest, lowest, level (at at_s) in m of the basin; lost by rim or overflow, siphoned in m3 over the day;
#   mouth, air inlet, cut-off: when that stopped a line's end or a pump, s
# column: object | basin, line/run or pump
# column: at_s | instant, s
# column: value | m, m3 or s"""


def running(plan):
    """Levels with the pumps running evenly, from still."""
    follower = Follower(plan)
    start = {id: b.still for id, b in plan.basins.items()}
    if not follower.lines:
        return start
    _, levels, _, stops = follower.run(start, 2 * DAY)
    assert not stops, stops
    return dict(zip(follower.ids, levels[-1]))


def rows(name):
    plan = Plan(name)
    start = running(plan)
    for case, supposes in CASES.items():
        if case == "storm" and "design_storm" not in plan.raw.get("site", {}):
            continue
        if case == "make-up-stuck" and plan.raw["water"].get("make_up") in (None, "none"):
            continue
        if case in ("power-off", "check-valve-leaks") and not plan.lines:
            continue
        follower = Follower(plan, **supposes)
        times, levels, passed, stops = follower.run(start, DAY, AT)
        for i, id in enumerate(follower.ids):
            z = levels[:, i]
            high, low = int(np.argmax(z)), int(np.argmin(z))
            yield name, case, "highest", id, times[high], z[high]
            yield name, case, "lowest", id, times[low], z[low]
            for t in AT:
                yield name, case, "level", id, t, z[int(np.argmin(abs(times - t)))]
        for way, q in passed.items():
            kind, _, where = way.partition(" ")
            if kind in ("rim", "overflow") and q > TRACE:
                yield name, case, f"lost by {kind}", where, DAY, q
            if kind == "line" and case == "check-valve-leaks":
                yield name, case, "siphoned", where.replace(" ", "/"), DAY, -q
        for kind, id, t in stops:
            yield name, case, kind, id, t, t


def main():
    names = sys.argv[1:] or PLANS
    print(HEADER)
    print(f"# versions: python={sys.version.split()[0]} numpy={np.__version__} scipy={scipy.__version__}")
    print("plan,case,what,object,at_s,value")
    for name in names:
        for plan, case, what, where, at, value in rows(name):
            print(f"{plan},{case},{what},{where},{at:.1f},{value:.9g}", flush=True)


if __name__ == "__main__":
    main()
