"""Textbook laws of moving water, SI units, written from the sources named beside each.

Nothing here is read from or fitted to the program that is held to the results.
"""

import math

from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G = 9.80665
FRANCIS = 1.84  # sharp crest, m^0.5/s: Francis (1883), 3.33 ft^0.5/s
BROAD = 1.705  # critical flow over a level crest, (2/3)^1.5 * sqrt(g)
ORIFICE = 0.61  # sharp-edged opening


def viscosity(celsius):
    """Kinematic viscosity of water at 0.1 MPa, m2/s: IAPWS SR6-08(2011)."""
    t = celsius + 273.15
    a = [1.93763157e-2, 6.74458446e3, -2.22521604e5, 1.00231247e8, -1.63552118e9, 8.32299658e9]
    b = [5.78545292e-3, -1.53195665e-2, 3.11337859e-2, -4.23546241e-2, 3.38713507e-2, -1.19946761e-2]
    x, y = 10 / (593 - t), 10 / (t - 232)
    v = a[0] + sum(c * x**n for c, n in zip(a[1:], (4, 5, 7, 8, 9)))
    v += sum(c * y**n for c, n in zip(b, range(1, 7)))
    density = 1 / (461.51805 * 10 / 1e5 * v)
    s = t / 300
    dynamic = 1e-6 * (280.68 * s**-1.9 + 511.45 * s**-7.7 + 61.131 * s**-19.6 + 0.45903 * s**-40)
    return dynamic / density


def friction(re, rough):
    """Darcy's factor: 64/Re to 2000, Colebrook-White (1939) from 4000, linear in Re between (no agreed value there)."""
    if re < 1e-9:
        return 0.0
    if re <= 2000:
        return 64 / re
    if re < 4000:
        low, high = 64 / 2000, friction(4000, rough)
        return low + (high - low) * (re - 2000) / 2000
    x = -2 * math.log10(rough / 3.7 + 5.74 / re**0.9)
    for _ in range(30):
        arg = rough / 3.7 + 2.51 * x / re
        f = x + 2 * math.log10(arg)
        step = f / (1 + 2 / math.log(10) * 2.51 / re / arg)
        x -= step
        if abs(step) < 1e-15 * x:
            break
    return 1 / x**2


class Pipe:
    """A round pipe: bore, length, roughness of its wall, sum of its loss coefficients."""

    def __init__(self, bore, length, rough, k):
        self.bore, self.length, self.rough, self.k = bore, length, rough, k
        self.area = math.pi * bore**2 / 4
        self.volume = self.area * length

    def loss(self, q, nu):
        """Head lost, m, of the sign of the flow: Darcy-Weisbach."""
        v = abs(q) / self.area
        f = friction(v * self.bore / nu, self.rough / self.bore)
        return math.copysign((f * self.length / self.bore + self.k) * v * v / (2 * G), q)

    def flow(self, head, nu):
        """Flow under a head, m3/s, of the sign of the head."""
        h = abs(head)
        if h < 1e-14:
            return 0.0
        # The factor hangs so little on the flow that putting it back in closes in fast; brentq where it does not.
        q, rel = self.area * math.sqrt(2 * G * h / (self.k + 0.02 * self.length / self.bore)), self.rough / self.bore
        for _ in range(60):
            before = q
            f = friction(q / self.area * self.bore / nu, rel)
            q = self.area * math.sqrt(2 * G * h / (self.k + f * self.length / self.bore))
            if abs(q - before) <= 1e-14 * q:
                return math.copysign(q, head)
        resistance = max(self.k + 0.005 * self.length / self.bore, 1e-6)
        most = 1.5 * self.area * math.sqrt(2 * G * h / resistance) + 1e-9
        if self.loss(most, nu) < h:
            most *= 10
        q = brentq(lambda q: self.loss(q, nu) - h, 0, most, xtol=1e-16, rtol=1e-13)
        return math.copysign(q, head)


def broad(width, head):
    """Broad crest: Q = 1.705 b h^1.5."""
    return BROAD * width * max(head, 0.0) ** 1.5


def sharp(width, head):
    """Sharp crest in open water: Kindsvater and Carter (1957), c1 and c2 of the USBR Water Measurement Manual for b/B of
    0.2 and less, k_b 2.4 mm, k_h 1 mm. Below 30 mm, where it was not measured, k_h shrinks with the head."""
    if head <= 0:
        return 0.0
    kh = 0.001 * min(1.0, head / 0.03)
    ce = 3.152 / (2 / 3 * math.sqrt(2 * 32.174))
    return ce * 2 / 3 * math.sqrt(2 * G) * (width + 0.0024) * (head + kh) ** 1.5


def drowned(law, width, up, down, n=1.5):
    """A crest with water on both sides: Villemonte (1947); runs back where the water below stands higher."""
    if up < down:
        return -drowned(law, width, down, up, n)
    free = law(width, up)
    if down <= 0 or free == 0:
        return free
    return free * max(0.0, 1 - (down / up) ** n) ** 0.385


def inlet_head(bore, q, slope):
    """Head over the lowest point of a square-edged round mouth in a wall at a flow, inlet control, m: FHWA, Hydraulic Design of
    Highway Culverts (HDS-5), form 1 with K 0.0098, M 2, c 0.0398, Y 0.67; linear between its two forms."""
    area = math.pi * bore**2 / 4
    rate = q / (area * math.sqrt(bore)) / math.sqrt(0.3048)  # ft^0.5/s

    def section(angle):
        part = bore**2 / 8 * (angle - math.sin(angle))
        return bore / 2 * (1 - math.cos(angle / 2)), part, bore * math.sin(angle / 2)

    def shallow(rate):
        q = rate * math.sqrt(0.3048) * area * math.sqrt(bore)

        def off(angle):
            _, part, top = section(angle)
            return part**3 / top - q * q / G

        y, part, top = section(brentq(off, 1e-3, 2 * math.pi - 1e-6, xtol=1e-14))
        return (y + part / (2 * top)) / bore + 0.0098 * rate**2 - 0.5 * slope

    def deep(rate):
        return 0.0398 * rate**2 + 0.67 - 0.5 * slope

    if rate <= 3.5:
        return bore * shallow(rate)
    if rate >= 4:
        return bore * deep(rate)
    return bore * (shallow(3.5) + (rate - 3.5) / 0.5 * (deep(4.0) - shallow(3.5)))


def inlet_flow(bore, head, slope):
    """The inverse of inlet_head."""
    most = 4 * bore**2.5
    if head <= inlet_head(bore, 1e-7, slope):
        return 0.0
    if head >= inlet_head(bore, most, slope):
        return most
    return brentq(lambda q: inlet_head(bore, q, slope) - head, 1e-7, most, xtol=1e-14)


class PumpCurve:
    """Head against flow through the points, monotone cubic: scipy's PchipInterpolator."""

    def __init__(self, points):
        q, h = zip(*points)
        self.most, self.shut_off, self.least = q[-1], h[0], h[-1]
        self.head_at = PchipInterpolator(q, h)

    def head(self, q):
        return float(self.head_at(q))


def opening_time(area_1, area_2, opening, h_start, h_end):
    """Two upright basins joined by an opening of C*a m2: time for their difference of level to fall, closed form."""
    both = 1 / (1 / area_1 + 1 / area_2)
    return 2 * both * (math.sqrt(h_start) - math.sqrt(h_end)) / (opening * math.sqrt(2 * G))
