#!/usr/bin/python3
"""The main job done the straightforward way in numpy and scipy: two run folders to the figures of each lobe.

What lobewright's speed is held against, and by another route its figures: tests/bench/scipy_figures.py compares them. Cubic
splines by least squares on half-degree knots, offsets between passes taken off, a circle fitted to the heel, one phase shift on the
flanks. No uncertainties, no notes, no verdicts, flat tips and counts only. Lengths in the run's unit, which must be mm.

usage: scipy_pipeline.py REFERENCE USED [TIMES [PROCESSES]]; prints one JSON object: seconds (best of TIMES, imports not counted),
lobes. As many processes as there are cores unless said otherwise.
"""
import json
import multiprocessing
import sys
import time
import tomllib
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.ndimage import median_filter, uniform_filter1d
from scipy.optimize import least_squares
from scipy.sparse import csr_matrix, vstack
from scipy.sparse.linalg import factorized

KNOTS = 720
GRID = 3600
TURN = 2 * np.pi
STEP = TURN / GRID
GRID_RAD = np.arange(GRID) * STEP


def read_sweep(file, run):
    """The name of what was swept; angles in rad and both readings, in file order."""
    data = file.read_bytes()
    of, names, at = None, None, 0
    while names is None:
        end = data.index(b'\n', at)
        line = data[at:end].decode().strip()
        at = end + 1
        if line.startswith('# of:'):
            of = line[5:].strip()
        elif not line.startswith('#'):
            names = line.split(',')
    # One C loop over the bytes; np.loadtxt takes twice as long.
    rows = np.fromstring(data[at:].replace(b'\n', b','), sep=',').reshape(-1, len(names))
    column = dict(zip(names, rows.T))
    rig = run['rig']
    angle = np.radians(rig.get('zero_deg', 0.0)) + column['count'] * (rig.get('direction', 1) * TURN / rig['counts_per_rev'])
    return of, angle, np.column_stack([column['front'], column['rear']])


def cleaned(angle, values):
    """The last forward pass over each angle, without spikes."""
    sense = 1.0 if angle[-1] >= angle[0] else -1.0
    later = np.minimum.accumulate((sense * angle)[::-1])[::-1]
    keep = sense * angle <= later
    angle, values = angle[keep], values[keep]
    off = np.abs(values - median_filter(values, size=(5, 1)))
    keep = (off < np.maximum(8 * np.median(off, axis=0), 0.004)).all(axis=1)
    return angle[keep], values[keep]


def basis(angle):
    """What each knot's cubic B-spline is at these angles: a sparse matrix, rows by KNOTS."""
    place = np.mod(angle, TURN) * (KNOTS / TURN)
    knot = np.minimum(place.astype(np.int64), KNOTS - 1)
    u = place - knot
    v = 1 - u
    weights = np.column_stack([v**3, 3 * u**3 - 6 * u**2 + 4, 3 * v**3 - 6 * v**2 + 4, u**3]) / 6
    columns = (knot[:, None] + np.arange(-1, 3)) % KNOTS
    return csr_matrix((weights.ravel(), columns.ravel(), np.arange(0, 4 * len(angle) + 1, 4)), shape=(len(angle), KNOTS))


GRID_BASIS = basis(GRID_RAD)


def coefficients(matrix, solve, values):
    return np.column_stack([solve(matrix.T @ values[:, i]) for i in range(values.shape[1])])


def curve_of(sweeps):
    """Front and rear on the grid, all passes together."""
    passes = [cleaned(*sweep) for sweep in sweeps]
    matrices = [basis(angle) for angle, _ in passes]
    whole = vstack(matrices, format='csr')
    solve = factorized((whole.T @ whole).tocsc())
    rough = coefficients(whole, solve, np.concatenate([values for _, values in passes]))
    # What the passes differ by: zero, eccentricity and drift of each, about their mean.
    offsets, designs = [], []
    for matrix, (angle, values) in zip(matrices, passes):
        turns = (angle - angle.mean()) / TURN
        design = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle), turns])
        offsets.append(np.linalg.lstsq(design, values - matrix @ rough, rcond=None)[0])
        designs.append(design)
    mean = np.mean(offsets, axis=0)
    mean[3] = 0.0  # drift is nobody's shape
    freed = [values - design @ (offset - mean) for (_, values), design, offset in zip(passes, designs, offsets)]
    return GRID_BASIS @ coefficients(whole, solve, np.concatenate(freed))


CIRCLE = np.column_stack([np.ones(GRID), np.cos(GRID_RAD), np.sin(GRID_RAD)])


def heel_of(curve):
    """The widest arc on which mid-width stays on a circle, grown from the flattest 60 degrees."""
    mid = curve.mean(axis=1)
    start = GRID // 6
    arcs = (np.arange(start)[None, :] + np.arange(0, GRID, 36)[:, None]) % GRID
    first = arcs[np.argmin([np.ptp(mid[arc] - CIRCLE[arc] @ np.linalg.lstsq(CIRCLE[arc], mid[arc], rcond=None)[0]) for arc in arcs])]
    heel = first
    for _ in range(4):
        circle = CIRCLE @ np.linalg.lstsq(CIRCLE[heel], mid[heel], rcond=None)[0]
        on = np.abs(uniform_filter1d(mid - circle, GRID // 120, mode='wrap')) < 0.002
        middle = heel[len(heel) // 2]
        rolled = np.roll(on, -middle)
        ahead = np.argmin(rolled) if not rolled.all() else GRID // 2
        behind = np.argmin(rolled[::-1])
        heel = (middle + np.arange(-behind, ahead)) % GRID
    margin = GRID // 180
    return heel[margin:-margin]


def above_circle(curve, heel):
    return curve - CIRCLE @ np.linalg.lstsq(CIRCLE[heel], curve[heel], rcond=None)[0]


def at_edges(lift, run, lobe):
    """From the indicators' places to the lobe's edges."""
    front_z, rear_z, half = run['rig']['front_z'], run['rig']['rear_z'], 0.5 * lobe['width']
    slope = (lift[:, 1] - lift[:, 0]) / (rear_z - front_z)
    return np.column_stack([lift[:, 0] + slope * (-half - front_z), lift[:, 0] + slope * (half - front_z)])


def periodic(values):
    return CubicSpline(np.append(GRID_RAD, TURN), np.concatenate([values, values[:1]]), bc_type='periodic')


def centreline(lift):
    """Midway between the flanks at half lift, rad."""
    mid = lift.mean(axis=1)
    top = int(np.argmax(mid))
    rolled = np.roll(mid, GRID // 2 - top) - 0.5 * mid.max()
    crossing = np.flatnonzero(np.diff(np.signbit(rolled)))
    sides = crossing[0], crossing[-1]
    at = [i + rolled[i] / (rolled[i] - rolled[i + 1]) for i in sides]
    return (np.mean(at) - GRID // 2 + top) * STEP


def from_line(line_rad):
    """Degrees from a centreline, -180 to 180, over the grid."""
    return np.degrees(np.mod(GRID_RAD - line_rad + np.pi, TURN) - np.pi)


def wrapped_deg(rad):
    return float(np.degrees(np.mod(rad + np.pi, TURN) - np.pi))


def largest(values, reach_deg=6.0):
    """The top of a polynomial about the largest value, so that noise on a blunt nose doesn't add to it."""
    top = int(np.argmax(values))
    n = int(reach_deg * GRID / 360)
    x = np.arange(-n, n + 1) / n
    y = np.roll(values, -(top - n))[:2 * n + 1]
    fit = np.polynomial.Polynomial.fit(x, y, 6)
    return float(fit(np.linspace(-1, 1, 2001)).max())


def lobe_figures(work):
    name, reference_run, used_run, reference_files, used_files = work
    reference_lobe = next(lobe for lobe in reference_run['lobe'] if lobe['name'] == name)
    used_lobe = next(lobe for lobe in used_run['lobe'] if lobe['name'] == name)
    curves = [curve_of([read_sweep(file, run)[1:] for file in files])
              for run, files in ((reference_run, reference_files), (used_run, used_files))]
    heels = [heel_of(curve) for curve in curves]
    # One arc for both: how far apart the noses are tells where the reference's heel lies in the used run.
    lines = [centreline(above_circle(curve, heel)) for curve, heel in zip(curves, heels)]
    turned = int(round((lines[1] - lines[0]) / STEP))
    shared = np.array([g for g in heels[1] if g in set((heels[0] + turned) % GRID)])
    width = {**reference_lobe, 'width': used_lobe['width']}
    reference = at_edges(above_circle(curves[0], (shared - turned) % GRID), reference_run, width)
    used = at_edges(above_circle(curves[1], shared), used_run, used_lobe)

    reference_curve = periodic(reference)
    top = reference.mean(axis=1).max()

    def flanks(shifted):
        mid = shifted.mean(axis=1)
        return (mid > 0.2 * top) & (mid < 0.8 * top)

    def residuals(delta):
        shifted = reference_curve(np.mod(GRID_RAD - delta[0], TURN))
        return (shifted - used)[band].ravel()

    delta = np.array([lines[1] - lines[0]])
    for _ in range(2):  # the band goes with the shift
        band = flanks(reference_curve(np.mod(GRID_RAD - delta[0], TURN)))
        delta = least_squares(residuals, delta, x_scale=1e-3).x
    shifted = reference_curve(np.mod(GRID_RAD - delta[0], TURN))
    wear = shifted - used

    line = centreline(used)
    reference_line = centreline(reference) + delta[0]
    off, reference_off = from_line(line), from_line(reference_line)
    datum = used_run['datum']['rear_minus_front'] * used_lobe['width'] / (used_run['rig']['rear_z'] - used_run['rig']['front_z'])
    # Taper is what is left once the once-per-turn part is off: the zero between the indicators stays in.
    raw = at_edges(curves[1], used_run, used_lobe)
    raw = raw - CIRCLE[:, 1:] @ np.linalg.lstsq(CIRCLE[shared], raw[shared], rcond=None)[0][1:]
    taper = raw[:, 1] - raw[:, 0] - datum
    band = flanks(shifted)
    nose = np.abs(reference_off) <= 2.0
    lifts = largest(reference.mean(axis=1)), largest(used.mean(axis=1))
    return {
        'name': name,
        'lift': {'reference': lifts[0], 'used': lifts[1], 'loss': lifts[0] - lifts[1]},
        'nose_deg': wrapped_deg(line),
        'phase_shift_deg': wrapped_deg(delta[0]),
        'taper': {'opening': float(taper[band & (off < 0)].mean()), 'nose': float(taper[np.abs(off) <= 2.0].mean()),
                  'closing': float(taper[band & (off > 0)].mean())},
        'wear': {'max_depth': float(wear.max()), 'nose_depth': float(wear[nose].mean()),
                 'front_nose_depth': float(wear[nose, 0].mean()), 'rear_nose_depth': float(wear[nose, 1].mean()),
                 'area': float(np.maximum(wear, 0.0).mean(axis=1)[shifted.mean(axis=1) > 0.01 * top].sum() * np.degrees(STEP))},
    }


def name_of(file):
    """Which lobe a sweep is of, without its rows."""
    with open(file, encoding='utf-8') as text:
        for line in text:
            if line.startswith('# of:'):
                return line[5:].strip()
    raise ValueError(f'{file}: no lobe')


def run_of(folder):
    run = tomllib.loads((folder / 'run.toml').read_text(encoding='utf-8'))
    files = {}
    for file in sorted((folder / 'sweeps').glob('*.csv')):
        files.setdefault(name_of(file), []).append(file)
    return run, files


def compare(pool, folders):
    (reference, reference_files), (used, used_files) = (run_of(folder) for folder in folders)
    work = [(lobe['name'], reference, used, reference_files[lobe['name']], used_files[lobe['name']]) for lobe in used['lobe']]
    return pool.map(lobe_figures, work, chunksize=1)


def main(reference, used, times=1, processes=None):
    folders = Path(reference), Path(used)
    best = float('inf')
    with multiprocessing.Pool(processes and int(processes)) as pool:
        for _ in range(int(times)):
            begun = time.perf_counter()
            lobes = compare(pool, folders)
            best = min(best, time.perf_counter() - begun)
    json.dump({'seconds': best, 'lobes': lobes}, sys.stdout)


if __name__ == '__main__':
    main(*sys.argv[1:])
