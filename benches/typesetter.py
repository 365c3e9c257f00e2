#!/usr/bin/env python3
"""Times the whole making of a PDF review against the typesetter's own program on the same template and data.

Usage:  cargo build --release
        cargo bench --bench pdf -- --write FOLDER
        cargo install typst-cli --version VERSION --root TOOLS
        python3 benches/typesetter.py FOLDER TOOLS/bin/typst target/release/bywash

VERSION is that of the crate typst in Cargo.lock; another is refused. FOLDER lies outside the repository: what the typesetter
is given stands there, and both write their PDFs there. The typesetter's program sets the pages with the embedded
faces only, in the same PDF modes. Ours also reads the plan, reviews it, works the cures out and draws. The median of
user and of user and system time over runs is printed, in seconds. Not part of the tests.
"""

import os
import pathlib
import re
import statistics
import subprocess
import sys

RUNS = 5
ROOT = pathlib.Path(__file__).resolve().parent.parent
MODES = "a-3a,ua-1"


def locked_version():
    """The version of the typesetter that this program is built with."""
    lock = (ROOT / "Cargo.lock").read_text()
    return re.search(r'name = "typst"\nversion = "([^"]+)"', lock).group(1)


def seconds(command):
    """User time, and user and system time, of a command: medians."""
    runs = []
    for _ in range(RUNS):
        before = os.times()
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        after = os.times()
        # Ours ends with 1 where something is to be revised.
        if done.returncode not in (0, 1) or "error:" in done.stderr:
            sys.exit(f"{' '.join(map(str, command))}\n{done.stderr}")
        user = after.children_user - before.children_user
        runs.append((user, user + after.children_system - before.children_system))
    return tuple(map(statistics.median, zip(*runs)))


def main(folder, typesetter, ours):
    version = subprocess.run([typesetter, "--version"], capture_output=True, text=True, check=True).stdout.split()[1]
    if version != locked_version():
        sys.exit(f"the typesetter is {version}, ours has {locked_version()}")
    if folder.is_relative_to(ROOT):
        sys.exit("the folder lies in the repository")
    examples = sorted(path.parent for path in folder.glob("*/review.typ"))
    if not examples:
        sys.exit(f"nothing written in {folder}")
    print(f"{'example':22}{'':24}{'user, s':>9}{'all, s':>9}")
    for example in examples:
        pages = [typesetter, "compile", "--root", example, "--ignore-system-fonts", "--pdf-standard", MODES,
                 example / "review.typ", example / "typesetter.pdf"]
        whole = [ours, "review", ROOT / "examples" / f"{example.name}.jsonc", "--pdf", example / "ours.pdf"]
        for name, command in (("typesetter's program", pages), ("ours, review and all", whole)):
            user, both = seconds(command)
            print(f"{example.name:22}{name:24}{user:9.2f}{both:9.2f}")


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit(__doc__)
    main(*(pathlib.Path(argument).resolve() for argument in sys.argv[1:]))
