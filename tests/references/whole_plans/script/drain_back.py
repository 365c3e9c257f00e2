"""Makes ../drain_back.csv: what drains back through each branch of branched.jsonc, and how fast, down to mouths at several
levels and through mains of several bores.

    python drain_back.py
"""

import sys

import numpy as np
import scipy

from follow import Follower, Line
from generate import running
from plan import Plan

# Level of the left and of the right mouth, bore of the main, bore of the left branch.
LINES = [
    ("+0.70 m", "+0.55 m", "52 mm", "41 mm"),
    ("+0.50 m", "+0.40 m", "52 mm", "41 mm"),
    ("+0.30 m", "+0.25 m", "52 mm", "41 mm"),
    ("+0.60 m", "+0.10 m", "52 mm", "41 mm"),
    ("+0.50 m", "+0.40 m", "41 mm", "41 mm"),
    ("+0.50 m", "+0.40 m", "81 mm", "41 mm"),
    ("+0.50 m", "+0.40 m", "52 mm", "26 mm"),
]
HEADER = """\
# topic: a line with two branches that drains back through the main they share once the check valve leaks
# origin: script/drain_back.py: heads at the joint by scipy brentq, levels by solve_ivp (Radau), Darcy-Weisbach with
#   Colebrook-White; a branch whose mouth has come clear of the water stands full of air, the other goes on alone
# plans: tests/plans/engines/branched.jsonc with the mouths' levels and the bores set
# tolerance: rtol 1e-8 of solve_ivp
# column: first_left_m3_s, first_right_m3_s | flow at the first instant
# column: left_m3, right_m3, left_s, right_s | water drained and the time until the mouth comes clear"""


def main():
    print(HEADER)
    print(f"# versions: python={sys.version.split()[0]} numpy={np.__version__} scipy={scipy.__version__}")
    print("left_mouth,right_mouth,main_inside,left_inside,first_left_m3_s,first_right_m3_s,left_m3,right_m3,left_s,right_s")
    for left, right, main_bore, left_bore in LINES:
        runs = "/lines/feed/runs"
        changes = {f"{runs}/left/discharge/level": left, f"{runs}/right/discharge/level": right, f"{runs}/main/pipe/inside": main_bore, f"{runs}/left/pipe/inside": left_bore}
        plan = Plan("branched", **changes)
        start = running(plan)
        first = Line(plan, "feed").back(start)
        follower = Follower(plan, pumps=False, leak=True)
        _, _, passed, stops = follower.run(start, 7200)
        when = {where: t for _, where, t in stops}
        print(f'{left},{right},{main_bore},{left_bore},{-first["left"]:.9g},{-first["right"]:.9g},{-passed["line feed left"]:.9g},{-passed["line feed right"]:.9g},{when["feed/left"]:.9g},{when["feed/right"]:.9g}', flush=True)


if __name__ == "__main__":
    main()
