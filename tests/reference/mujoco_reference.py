"""The same cases in a second engine, MuJoCo: writes mujoco.json beside this file.

    pip install mujoco==4.0.0 numpy
    python3 tests/reference/mujoco_reference.py

`--speed` prints the 13-layer crib's speed instead, x real time, for the benchmarks.
Nothing else in the project needs Python. Settings are the best that were found: 2 ms steps,
elliptic cone, Newton solver, solref 0.004, solimp 0.99 0.999 0.001, impratio 10.
"""
import json
import math
import pathlib
import platform
import sys
import time

import mujoco
import numpy as np

G = 9.80665
SETTINGS = {"timestep_s": 0.002, "cone": "elliptic", "solref": "0.004 1",
            "solimp": "0.99 0.999 0.001", "impratio": 10, "iterations": 100}


def world(bodies, friction, step=0.002, solref="0.004 1", solimp="0.99 0.999 0.001"):
    return mujoco.MjModel.from_xml_string(
        f'<mujoco><option timestep="{step}" cone="elliptic" iterations="100" impratio="10"/>'
        f'<default><geom friction="{friction} 0.005 0.0001" solref="{solref}" '
        f'solimp="{solimp}" condim="3"/></default>'
        f'<worldbody><geom type="plane" size="50 50 1"/>{bodies}</worldbody></mujoco>')


def box(name, half, at, mass):
    size, pos = (" ".join(f"{v:.9g}" for v in t) for t in (half, at))
    return (f'<body name="{name}" pos="{pos}"><freejoint/>'
            f'<geom type="box" size="{size}" mass="{mass:.9g}"/></body>')


def gravity(model, tilt):
    model.opt.gravity[:] = (G * math.sin(tilt), 0, -G * math.cos(tilt))


def crib(layers, load_kg, t=0.0889, length=0.6096):
    off = length / 2 - 1.5 * t
    kg = t * t * length * 538.0
    parts = []
    for k in range(layers):
        for s in (-1, 1):
            z = (k + 0.5) * t
            if k % 2 == 0:
                parts.append(box(f"t{k}{s}", (length / 2, t / 2, t / 2), (0, s * off, z), kg))
            else:
                parts.append(box(f"t{k}{s}", (t / 2, length / 2, t / 2), (s * off, 0, z), kg))
    parts.append(box("load", (0.3, 0.3, 0.15), (0, 0, layers * t + 0.15), load_kg))
    return world("".join(parts), 0.7), layers * t + 0.15


def crib_stands(layers, tilt):
    model, rest = crib(layers, 400.0)
    data = mujoco.MjData(model)
    load = model.body("load").id
    for i in range(int(8.5 / 0.002)):
        s = min(max((i * 0.002 - 0.5) / 4, 0), 1)
        gravity(model, tilt * s * s * (3 - 2 * s))
        mujoco.mj_step(model, data)
        x, _, z = data.xpos[load]
        if abs(x) > 0.1 or z < rest - 0.05:
            return False
    return True


def bisect(low, high, holds, width):
    while high - low > width:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return (low + high) / 2


def crib_tips(layers):
    return bisect(math.radians(2), math.radians(25), lambda a: crib_stands(layers, a), 0.0005)


def crib_speed(layers):
    model, _ = crib(layers, 400.0)
    gravity(model, 0)
    best = 0.0
    for _ in range(3):
        data = mujoco.MjData(model)
        begun = time.perf_counter()
        for _ in range(2500):
            mujoco.mj_step(model, data)
        best = max(best, 5.0 / (time.perf_counter() - begun))
    return best


def slope(mu, beyond_deg):
    """Gain in speed over 1 s. As stiff as the cribs' contacts a sliding block rattles and is
    off by up to 25 %: here the contacts have MuJoCo's own softness and the step is finer."""
    step = 0.0005
    tilt = math.atan(mu) + math.radians(beyond_deg)
    block = box("block", (0.3, 0.3, 0.1), (0, 0, 0.1), 100)
    model = world(block, mu, step, "0.02 1", "0.9 0.95 0.001")
    data = mujoco.MjData(model)
    gravity(model, tilt)
    speeds = []
    for i in range(3001):
        if i in (1000, 3000):
            speeds.append(float(data.qvel[0]))
        mujoco.mj_step(model, data)
    return speeds[1] - speeds[0]


def hinge(degrees, lever):
    t = math.radians(degrees)
    at = (lever * math.cos(t) + 0.1 * math.sin(t), 0, 1 + lever * math.sin(t) - 0.1 * math.cos(t))
    model = mujoco.MjModel.from_xml_string(
        f'<mujoco><option timestep="0.002" cone="elliptic" gravity="0 0 {-G}"/>'
        f'<default><geom friction="0 0 0" condim="1" solref="0.004 1" solimp="0.99 0.999 0.001"/>'
        f'</default><worldbody><geom type="sphere" size="0.1" pos="{at[0]} 0 {at[2]}"/>'
        f'<body pos="0 0 1" euler="0 {-degrees} 0"><joint type="hinge" axis="0 -1 0" damping="2000"/>'
        f'<geom type="box" size="2 0.8 0.4" pos="2 0 0.4" mass="1300"/></body></worldbody></mujoco>')
    data = mujoco.MjData(model)
    for _ in range(2500):
        mujoco.mj_step(model, data)
    force = np.zeros(6)
    total = 0.0
    for i in range(data.ncon):
        mujoco.mj_contactForce(model, data, i, force)
        total += float(force[0])
    return total


def bag_lift(kg, litres):
    """One bag as a slide joint with the gas law's force, 0.5 m square: height it stands at."""
    atm, w = 101325.0, 0.5
    model = mujoco.MjModel.from_xml_string(
        f'<mujoco><option timestep="0.0005" gravity="0 0 {-G}"/><worldbody>'
        f'<body pos="0 0 0"><joint name="h" type="slide" axis="0 0 1" damping="20000"/>'
        f'<geom type="box" size="0.25 0.25 0.1" mass="{kg + 3.0}"/></body></worldbody></mujoco>')
    data = mujoco.MjData(model)
    data.qpos[0] = 0.001
    dead = 0.5e-3
    for i in range(16000):
        air = atm * (dead + litres * 1e-3 * min(i * 0.0005 / 4.0, 1.0))
        h = max(float(data.qpos[0]), 0.0)
        flat = max(w - math.pi * h / 2, 0.0)
        volume = dead + w * w * h - math.pi * w * h * h / 2 + math.pi ** 2 * h ** 3 / 12
        data.qfrc_applied[0] = max(air / volume - atm, 0.0) * flat * flat
        if h <= 0.0 and data.qfrc_applied[0] < (kg + 3.0) * G:
            data.qfrc_applied[0] = (kg + 3.0) * G
        mujoco.mj_step(model, data)
    return float(data.qpos[0])


if "--speed" in sys.argv:
    print(crib_speed(13))
    sys.exit()

result = {
    "engine": "MuJoCo", "version": mujoco.__version__, "settings": SETTINGS,
    "slide_settings": {"timestep_s": 0.0005, "solref": "0.02 1", "solimp": "0.9 0.95 0.001"},
    "python": platform.python_version(),
    "crib_tips_rad": {str(n): crib_tips(n) for n in (6, 13)},
    "crib_13_speed_x_real_time": crib_speed(13),
    "slide_m_s2": [[mu, b, slope(mu, b)] for mu in (0.3, 0.5, 0.7) for b in (3.0, 8.0, 15.0)],
    "hinge_n": [[d, x, hinge(d, x)] for d in (0.0, 5.0, 15.0, 25.0) for x in (2.5, 3.6)],
    "bag_height_m": [[kg, l, bag_lift(kg, l)] for kg in (150.0, 600.0, 2000.0) for l in (6.0, 12.0)],
}
out = pathlib.Path(__file__).with_name("mujoco.json")
out.write_text(json.dumps(result, indent=2) + "\n")
print(out.read_text())
