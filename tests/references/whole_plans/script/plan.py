"""Reads what the laws need from a plan under tests/plans/engines: a small reader of its own."""

import functools
import json
import math
import pathlib
import re

from laws import Pipe, PumpCurve, viscosity

PLANS = pathlib.Path(__file__).resolve().parents[3] / "plans" / "engines"
UNITS = {
    "m": 1, "mm": 1e-3, "m2": 1, "m3": 1, "m3/h": 1 / 3600, "L/s": 1e-3, "L/h": 1e-3 / 3600, "h": 3600, "min": 60, "s": 1,
}
PLASTIC = 1.5e-6  # wall of drawn plastic pipe, m (0.000005 ft in the EPANET 2.2 manual)


@functools.cache
def si(text):
    number, unit = re.fullmatch(r"([+-]?[\d.]+) ?(\S+)", text).groups()
    return float(number) * UNITS[unit]


def given(value):
    return value not in (None, "none", False)


class Basin:
    """Water against level: rectangle with sloping sides, or contours with areas linear between them; above the top the
    walls go up."""

    def __init__(self, id, raw):
        self.id = id
        self.still, self.rim = si(raw["still"]), si(raw["rim"])
        self.rain = raw.get("open_to_rain") is True
        if "contours" in raw:
            self.levels = [si(c["level"]) for c in raw["contours"]]
            self.areas = [si(c["area"]) for c in raw["contours"]]
            self.floor, self.top = self.levels[0], self.levels[-1]
            self.rim_length = 2 * math.sqrt(math.pi * self.areas[-1])
        else:
            shape = raw["shape"]
            self.length, self.width = si(shape["length"]), si(shape["width"])
            run, rise = shape["side_slope"].split(":")
            self.slope = float(run) / float(rise)
            self.floor, self.top, self.levels = si(raw["floor"]), self.rim, None
            self.rim_length = 2 * (self.length + self.width)

    def area(self, z):
        z = min(max(z, self.floor), self.top)
        if self.levels:
            for (a, b), (p, q) in zip(zip(self.levels, self.levels[1:]), zip(self.areas, self.areas[1:])):
                if z <= b:
                    return p + (q - p) * (z - a) / (b - a)
        inset = 2 * self.slope * (self.top - z)
        return (self.length - inset) * (self.width - inset)

    def volume(self, z):
        if z <= self.floor:
            return 0.0
        if z > self.top:
            return self.volume(self.top) + self.area(self.top) * (z - self.top)
        if self.levels:
            total = 0.0
            for a, b in zip(self.levels, self.levels[1:]):
                if z > a:
                    c = min(z, b)
                    total += (c - a) * (self.area(a) + self.area(c)) / 2
            return total
        # The area is a square of the level, for which the prismoidal formula is exact.
        middle = (z + self.floor) / 2
        return (z - self.floor) / 6 * (self.area(z) + 4 * self.area(middle) + self.area(self.floor))

    def level(self, volume):
        low, high = self.floor, self.top + 50
        for _ in range(200):
            z = (low + high) / 2
            low, high = (z, high) if self.volume(z) < volume else (low, z)
        return high


class Plan:
    def __init__(self, name, **changes):
        text = (PLANS / f"{name}.jsonc").read_text()
        raw = json.loads("\n".join(line for line in text.splitlines() if not line.lstrip().startswith("//")))
        for path, value in changes.items():
            at = raw
            *parts, last = path.strip("/").split("/")
            for part in parts:
                at = at[part]
            at[last] = value
        self.name, self.raw = name, raw
        water = raw["water"]
        cold, warm = (float(water[k].split()[0]) for k in ("coldest", "warmest"))
        self.nu = viscosity((cold + warm) / 2)
        self.basins = {id: Basin(id, b) for id, b in raw["basins"].items()}
        self.pumps = raw.get("pumps", {})
        self.lines = raw.get("lines", {})
        self.falls = raw.get("falls", {})
        self.drains = raw.get("drains", {})

    def pipe(self, run, k=0.0):
        """A run with the loss coefficients it gives itself, and what is added."""
        assert not run.get("fittings"), "these plans give losses as K"
        return Pipe(si(run["pipe"]["inside"]), si(run["length"]), PLASTIC, run.get("extra_k", 0.0) + k)

    def curve(self, pump):
        return PumpCurve([(si(q), si(h)) for q, h in self.pumps[pump]["curve"]])
