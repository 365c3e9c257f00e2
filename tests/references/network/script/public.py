"""Makes ../public_*.json: small public water networks that the package wntr carries, with Darcy-Weisbach losses, at their first
instant, by EPANET 2.2 and by a solve of its own with exact Colebrook-White.

    python public.py
"""

import json
import math
import pathlib
import re
import sys

import numpy as np
import scipy
import wntr

HERE = pathlib.Path(__file__).resolve().parent
LIBRARY = pathlib.Path(wntr.__file__).parent
NETWORKS = {
    "net1": "library/networks/Net1.inp",
    "net2": "library/networks/Net2.inp",
    "net3": "library/networks/Net3.inp",
    "two_loops": "tests/networks_for_testing/Todini_Fig2_solA_CMH.inp",
}
ROUGH = 1e-4  # of every pipe, m
G = 9.80665
NU = 1e-6


def friction_and_slope(re, rel):
    """f*Re^2 and its derivative: 64/Re to 2000, Colebrook-White from 4000, between them the cubic that meets both."""
    if re < 2000:
        return 64 * re, 64.0
    if re < 4000:
        (y0, s0), (y1, s1) = (128000.0, 64.0), friction_and_slope(4000.0, rel)
        t, w = (re - 2000) / 2000, 2000
        h = (2 * t**3 - 3 * t**2 + 1) * y0 + (t**3 - 2 * t**2 + t) * w * s0 + (3 * t**2 - 2 * t**3) * y1 + (t**3 - t**2) * w * s1
        d = ((6 * t**2 - 6 * t) * (y0 - y1) / w) + (3 * t**2 - 4 * t + 1) * s0 + (3 * t**2 - 2 * t) * s1
        return h, d

    def number(re):
        x = 8.0
        for _ in range(50):
            x = -2 * math.log10(rel / 3.7 + 2.51 * x / re)
        return re**2 / x**2

    step = 1e-4 * re
    return number(re), (number(re + step) - number(re - step)) / (2 * step)


def loss(link, q):
    """Head a link takes at a flow, and its derivative."""
    if link["type"] == "pump":
        c = link["curve"]
        q = max(q, 1e-7)
        return -(c["H0_m"] - c["B"] * q ** c["C"]), max(c["B"] * c["C"] * q ** (c["C"] - 1), 1.0)
    d, area = link["diameter_m"], math.pi * link["diameter_m"] ** 2 / 4
    re = abs(q) / area * d / NU
    number, slope = friction_and_slope(re, link["roughness_m"] / d)
    unit = link["length_m"] / d * NU**2 / (2 * G * d * d)
    minor = link["K_minor"] / (2 * G * area**2)
    return math.copysign(unit * number + minor * q * q, q), max(unit * slope * d / (area * NU) + 2 * minor * abs(q), 1e-3)


def solve(nodes, links, begin):
    """Newton on heads and flows together (Todini and Pilati)."""
    free = [n["id"] for n in nodes if n["type"] == "junction"]
    at = {id: i for i, id in enumerate(free)}
    head = {n["id"]: n.get("head_m", 0.0) for n in nodes}
    demand = np.array([n["demand_m3_s"] for n in nodes if n["type"] == "junction"])
    q = np.array([float(begin[l["id"]]) for l in links])
    h = np.full(len(free), np.mean([n["head_m"] for n in nodes if n["type"] != "junction"]))
    for _ in range(200):
        a = np.zeros((len(free), len(free)))
        b = -demand.copy()
        parts = []
        for k, l in enumerate(links):
            f, d = loss(l, q[k])
            parts.append((f, d))
            for end, sign in ((l["from"], -1), (l["to"], 1)):
                if end not in at:
                    continue
                # What the link brings to this end, linear about its flow: q - (f - (ha - hb))/d.
                b[at[end]] += sign * (q[k] - f / d)
                for other, s in ((l["from"], 1), (l["to"], -1)):
                    if other in at:
                        a[at[end], at[other]] -= sign * s / d
                    else:
                        b[at[end]] += sign * s * head[other] / d
        h = np.linalg.solve(a, b)
        value = lambda id: h[at[id]] if id in at else head[id]
        step = np.array([(value(l["from"]) - value(l["to"]) - f) / d for l, (f, d) in zip(links, parts)])
        q = q + step
        if np.max(np.abs(step)) < 1e-14:
            break
    assert np.max(np.abs(step)) < 1e-10, np.max(np.abs(step))
    return q, {id: float(value(id)) for id in head}


def export(name, path):
    wn = wntr.network.WaterNetworkModel(str(LIBRARY / path))
    wn.options.hydraulic.headloss = "D-W"
    wn.options.hydraulic.viscosity = NU / (1.1e-5 * 0.3048**2)  # as a multiple of 1.1e-5 ft2/s
    wn.options.hydraulic.accuracy = 1e-6
    wn.options.time.duration = 0
    for _, pipe in wn.pipes():
        pipe.roughness = ROUGH
    results = wntr.sim.EpanetSimulator(wn).run_sim(file_prefix=f"/tmp/{name}")
    head, flow = results.node["head"].iloc[0], results.link["flowrate"].iloc[0]
    taken, status = results.node["demand"].iloc[0], results.link["status"].iloc[0]
    nodes, links = [], []
    for id, node in wn.nodes():
        if node.node_type == "Junction":
            nodes.append({"id": id, "type": "junction", "demand_m3_s": round(float(taken[id]), 9)})
        else:
            nodes.append({"id": id, "type": "reservoir", "head_m": round(float(head[id]), 6)})
    closed = []
    for id, link in wn.links():
        ends = {"id": id, "from": link.start_node_name, "to": link.end_node_name}
        if status[id] == 0 or abs(flow[id]) < 1e-9:
            closed.append(id)
        elif link.link_type == "Pump":
            h0, b, c = link.get_head_curve_coefficients()
            links.append({**ends, "type": "pump", "curve": {"form": "power", "H0_m": h0, "B": b, "C": c, "most_m3_s": 3 * float(flow[id])}})
        else:
            links.append({**ends, "type": "pipe", "length_m": link.length, "diameter_m": link.diameter, "roughness_m": ROUGH, "K_minor": link.minor_loss, "check_valve": bool(link.check_valve)})
    joined = {l[e] for l in links for e in ("from", "to")}
    nodes = [n for n in nodes if n["id"] in joined]
    q, heads = solve(nodes, links, flow)
    return {
        "case": f"public_{name}",
        "kind": "public network of the package wntr",
        "origin": f"wntr {wntr.__version__}, {path}, its losses changed to Darcy-Weisbach with {ROUGH * 1000} mm on every wall; first instant, tanks as fixed levels, links closed then left out",
        "versions": f"python={sys.version.split()[0]} numpy={np.__version__} scipy={scipy.__version__} wntr={wntr.__version__} EPANET=2.2",
        "left_out_links": closed,
        "conventions": {
            "units": "SI; flows m3/s positive from->to; heads m of water",
            "gravity_m_s2": G,
            "kinematic_viscosity_m2_s": NU,
            "demand": "a fixed flow out of the node; below zero into it",
            "pump_power": "H = H0 - B Q^C",
            "epanet_friction": "64/Re for Re<=2000, Dunlop cubic 2000-4000, Swamee-Jain Re>=4000; g = 32.2 ft/s2",
            "exact_friction": "64/Re below 2000, exact Colebrook from 4000, the cubic that meets both between",
        },
        "nodes": nodes,
        "links": links,
        "results": {
            "exact_colebrook": {"link_flow_m3_s": {l["id"]: round(float(x), 12) for l, x in zip(links, q)}, "node_head_m": {k: round(v, 8) for k, v in heads.items()}},
            "epanet22": {"link_flow_m3_s": {l["id"]: round(float(flow[l["id"]]), 9) for l in links}, "node_head_m": {n["id"]: round(float(head[n["id"]]), 5) for n in nodes}},
        },
    }


def main():
    for name, path in NETWORKS.items():
        case = export(name, path)
        text = json.dumps(case, indent=1)
        # One node, one link, one table of results a line.
        text = re.sub(r"\{\s*\n\s+(\"id\"[^{}]*?)\s*\n\s*\}", lambda m: "{ " + re.sub(r"\s*\n\s*", " ", m.group(1)) + " }", text)
        (HERE.parent / f"public_{name}.json").write_text(text + "\n")
        own, theirs = case["results"]["exact_colebrook"], case["results"]["epanet22"]
        big = max(abs(x) for x in own["link_flow_m3_s"].values())
        worst = max(abs(own["link_flow_m3_s"][k] - v) / big for k, v in theirs["link_flow_m3_s"].items())
        heads = max(abs(own["node_head_m"][k] - v) for k, v in theirs["node_head_m"].items())
        print(name, len(case["nodes"]), len(case["links"]), "left out", case["left_out_links"], f"flows {worst:.2e} of the greatest, heads {heads:.3f} m")


if __name__ == "__main__":
    main()
