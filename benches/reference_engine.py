#!/usr/bin/env python3
"""Times the reference engine's hydraulic solve, to set beside `cargo bench --no-default-features --bench network`.

Usage:  python3 -m venv VENV && VENV/bin/pip install wntr six
        VENV/bin/python benches/reference_engine.py FOLDER

FOLDER holds the cases as the engine's own input files (.inp); those of tests/references/network were made from
such files. The general-purpose library wntr carries the engine (EPANET 2.2) and calls it in this process. Each case is read once;
two columns are medians over batches of many calls, in microseconds:

- "prepared solve": the hydraulics stay open (ENopenH is not timed); flows are set back to their first guess (ENinitH, so
  that no run profits from the one before) and one steady state is sought (ENrunH). Beside it: `public_case_prepared`.
- "whole solve": the engine's one-call solve (ENsolveH): it opens the hydraulics (space set aside, nodes numbered for the
  elimination), initialises, seeks one steady state, writes it to its scratch file and closes. Beside it: `public_case`,
  which checks and numbers the network each time and writes no file.

Reading the input file is in neither. The last column is what two empty calls cost. Not part of the tests.
"""

import pathlib
import statistics
import sys
import tempfile
import time

from wntr.epanet.toolkit import ENepanet
from wntr.epanet.util import EN

BATCHES = 25
CALLS = 400
# Flows are initialised again; results are not saved to a file.
FRESH_FLOWS = 10


def microseconds(call):
    """Median time of a call over batches."""
    batches = []
    for _ in range(BATCHES):
        start = time.perf_counter()
        for _ in range(CALLS):
            call()
        batches.append((time.perf_counter() - start) / CALLS * 1e6)
    return statistics.median(batches)


def main(folder):
    cases = sorted(pathlib.Path(folder).glob("*.inp"))
    if not cases:
        sys.exit(f"no .inp files in {folder}")
    print(f"{'case':20}{'prepared solve, us':>20}{'whole solve, us':>18}{'two empty calls, us':>21}")
    with tempfile.TemporaryDirectory() as scratch:
        for case in cases:
            engine = ENepanet()
            report, binary = (str(pathlib.Path(scratch) / name) for name in ("case.rpt", "case.bin"))
            engine.ENopen(str(case), report, binary)

            def solve():
                engine.ENinitH(FRESH_FLOWS)
                engine.ENrunH()

            def empty():
                engine.ENgetcount(EN.NODECOUNT)
                engine.ENgetcount(EN.NODECOUNT)

            whole = microseconds(engine.ENsolveH)
            engine.ENopenH()
            prepared = microseconds(solve)
            print(f"{case.stem:20}{prepared:20.2f}{whole:18.2f}{microseconds(empty):21.2f}")
            engine.ENcloseH()
            engine.ENclose()


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main(sys.argv[1])
