"""Makes ../communicating.csv: the time in which pond and well of communicating.jsonc come to one level once the pump stops.

    python communicating.py
"""

import sys

import numpy as np
import scipy
from scipy.integrate import quad

import laws
from generate import running
from plan import Plan

PIPES = [("68 mm", "4 m", 1.5), ("103 mm", "12 m", 3.0), ("81 mm", "30 m", 0.5), ("68 mm", "1 mm", 4.0)]
HEADER = """\
# topic: two basins that come to one level through a full pipe
# origin: script/communicating.py: scipy quad of dh/(Q(h)*(1/A1 + 1/A2)), Q by Darcy-Weisbach with Colebrook-White
# plans: tests/plans/engines/communicating.jsonc with the pipe's bore, length and K set
# tolerance: 1e-8 of quad
# note: from the difference of level while the pump runs until both stand within a millimetre of the end
# column: t_closed_s | closed form of an opening without friction, 2*A*(sqrt(h1) - sqrt(h2))/(a*sqrt(2*g/K)), where the pipe has
#   next to no length
# column: h_start_m | difference of level while the pump runs"""


def main():
    print(HEADER)
    print(f"# versions: python={sys.version.split()[0]} numpy={np.__version__} scipy={scipy.__version__}")
    print("inside,length,extra_k,h_start_m,h_end_m,t_s,t_closed_s")
    for inside, length, k in PIPES:
        run = "/drains/pipe/run"
        plan = Plan("communicating", **{f"{run}/pipe/inside": inside, f"{run}/length": length, f"{run}/extra_k": k})
        start = running(plan)
        area = {id: b.area(b.still) for id, b in plan.basins.items()}
        both = 1 / (1 / area["pond"] + 1 / area["well"])
        pipe = plan.pipe(plan.drains["pipe"]["run"], 1.5)
        h = start["pond"] - start["well"]
        # The smaller basin moves the farther: by its share of the difference.
        end = 1e-3 / (both / min(area.values()))
        time, _ = quad(lambda x: both / pipe.flow(x, plan.nu), end, h, epsrel=1e-9)
        closed = laws.opening_time(area["pond"], area["well"], pipe.area / pipe.k**0.5, h, end)
        closed = f"{closed:.9g}" if pipe.length < 0.01 else ""
        print(f"{inside},{length},{k},{h:.9g},{end:.9g},{time:.9g},{closed}")


if __name__ == "__main__":
    main()
