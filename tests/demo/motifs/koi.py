"""Koi seen from above, body in an S, with scales and flowing fins."""

import numpy as np
from scipy.ndimage import gaussian_filter1d

from tests.demo import geom as g
from tests.demo.design import Color, Design, Grad

WHITE, RED = (240, 234, 224), (206, 84, 48)


def fin(
    d: Design,
    outline: g.Pts,
    root: g.Pts,
    rays: int,
    dark: float = 0.7,
    color: Color = (236, 214, 196),
    line: float = 0.34,
) -> None:
    """A fin: an outline, rays from the root to the far edge."""
    pts = g.arr(outline)
    poly = g.spline(pts, closed=True)
    far = pts.mean(0) * 2 - np.asarray(root)
    d.shape(poly, line, dome=0.12, rim=0.08, color=color, grads=[Grad(tuple(root), tuple(far), dark, 1.8)])
    edge = g.spline(pts[1:-1])
    for k in range(rays):
        e = g.at(edge, (k + 0.5) / rays)
        r = np.asarray(root, float)
        v = e - r
        bow = np.array([-v[1], v[0]]) * 0.06 * (1 if k > rays / 2 else -1)
        st = r + v * 0.06
        d.line(g.spline([st, r + v * 0.55 + bow, r + v * d.rng.uniform(0.86, 0.98)]), 0.22, taper=(0, 0.65), clip=poly)


def draw(seed: int = 9) -> Design:
    """About 62 x 108 mm."""
    d = Design(80, 120, seed)
    rng = d.rng
    spine = g.spline(
        [(24.5, 11), (29, 22), (37.5, 35), (44.5, 49), (43.8, 64), (36.5, 77), (30.0, 88), (30.0, 97)], step=0.3
    )
    N = len(spine)
    u = np.linspace(0, 1, N)
    rad = np.interp(
        u, [0, 0.03, 0.08, 0.15, 0.26, 0.42, 0.6, 0.78, 0.92, 1], [2.6, 4.7, 6.5, 8.2, 9.7, 10.2, 8.3, 5.0, 2.8, 2.3]
    )
    rad = gaussian_filter1d(rad, 7, mode="nearest")
    n, t = g.normals(spine), g.tangents(spine)

    def uv(a: float, b: float) -> g.Array:
        i = a * (N - 1)
        j = int(np.clip(i, 0, N - 1))
        return np.asarray(spine[j] + n[j] * rad[j] * b)

    # pelvic and pectoral fins
    p = uv(0.60, 0.92)
    q = uv(0.60, -0.92)
    fin(
        d, [p + [1, -2.5], p + [-7, 0.5], p + [-13.5, 7], p + [-14, 12], p + [-7.5, 9.5], p + [-1, 3]], p + [0.6, -1], 9
    )
    fin(d, [q + [-1, -2.5], q + [6, 2], q + [11, 8.5], q + [11, 14], q + [5.5, 10.5], q + [-1, 3.5]], q + [-0.6, -1], 9)
    p, q = uv(0.245, 0.93), uv(0.225, -0.93)
    fin(
        d,
        [
            p + [1, -3],
            p + [-9, -3.2],
            p + [-18, 1.6],
            p + [-22.6, 9],
            p + [-20.5, 13.5],
            p + [-12, 11],
            p + [-5, 7.2],
            p + [1.5, 3],
        ],
        p + [1.2, 0],
        14,
    )
    fin(
        d,
        [
            q + [-1, -3],
            q + [8, -5],
            q + [17.5, -1.5],
            q + [22.4, 5],
            q + [21.4, 10.5],
            q + [13, 9.0],
            q + [5.5, 6.4],
            q + [-0.5, 3.4],
        ],
        q + [-1.2, 0],
        14,
    )
    body = g.tube(spine, rad)
    full = np.vstack(
        [g.spline([body[-1], spine[0] - t[0] * 1.9 - n[0] * 0.6, spine[0] - t[0] * 1.9 + n[0] * 0.6, body[0]]), body]
    )
    d.shape(full, 0.44, dome=0.65, rim=0.15, color=WHITE, shadow=0.6)
    # scales, tail to head so that each overlaps the one behind it
    total = g.arclen(spine)[-1]
    steps = [0.235]
    while steps[-1] < 0.962:
        steps.append(steps[-1] + 0.235 * rad[int(steps[-1] * (N - 1))] / total)
    for r in range(len(steps) - 1, -1, -1):
        a = steps[r]
        L = 0.235 * rad[int(a * (N - 1))] / total * 1.7
        across = 8
        for k in range(across + (r % 2)):
            b = (k - (across - 1 + (r % 2)) / 2) / (across / 2) * 0.93
            if abs(b) > 0.95:
                continue
            hw = 0.93 / across * 1.08
            th = np.linspace(-90, 90, 13)
            pts = [
                uv(
                    a + L * np.cos(np.radians(x)) * (1 - 0.35 * abs(b)),
                    np.clip(b + hw * np.sin(np.radians(x)), -0.985, 0.985),
                )
                for x in th
            ]
            sc = g.arr(
                [uv(a - L * 0.4, np.clip(b - hw * 0.9, -0.98, 0.98))]
                + pts
                + [uv(a - L * 0.4, np.clip(b + hw * 0.9, -0.98, 0.98))]
            )
            patch = np.sin(a * 17 + 0.6) * 1.0 + 0.55 * np.sin(b * 2.4 + a * 9) > 0.25
            root = uv(a - L * 0.2, b)
            d.shape(
                sc,
                None,
                dome=0.0,
                rim=0,
                shadow=0.25,
                tone=(0.34 if patch else 0.0) + 0.30 * max(0.0, -b) ** 2 + 0.34 * max(0.0, b) ** 2,
                color=RED if patch else WHITE,
                grads=[Grad(tuple(root), tuple(uv(a + L, b)), 0.55)],
            )
            d.line(g.arr(pts), 0.14 + 0.013 * rad[int(a * (N - 1))], taper=0.25)
            if abs(b) < 0.75 and L * total > 2.6 and rng.uniform() < 0.8:
                for off in (-0.35, 0.0, 0.35):
                    d.line(
                        g.arr([uv(a + L * 0.05, b + off * hw * 0.6), uv(a + L * 0.5, b + off * hw)]),
                        0.14,
                        taper=(0, 0.7),
                    )
    # tail
    c = spine[-1] - t[-1] * 1.2
    fin(
        d,
        [c + [1.9, -1.6], (37.5, 101), (46, 110), (50.5, 121), (42, 118.5), (34.5, 112), (30.2, 104), c],
        c + [0.4, -2],
        15,
    )
    fin(
        d,
        [c + [-2.2, -1.6], (22.5, 102), (14.5, 108.5), (8.5, 118.5), (17.5, 117.6), (25, 113), (29, 106), c + [0.6, 0]],
        c + [-0.4, -2],
        15,
    )
    # dorsal fin, folded along the back
    ridge = [uv(x, 0.03) for x in np.linspace(0.36, 0.70, 9)]
    crest = [
        uv(x + 0.035, 0.03 + w)
        for x, w in zip(np.linspace(0.70, 0.36, 9), (0.10, 0.34, 0.46, 0.52, 0.54, 0.50, 0.42, 0.26, 0.06), strict=True)
    ]
    pol = np.vstack([g.spline(ridge), g.spline(crest)])
    d.shape(
        pol,
        0.34,
        dome=0.1,
        color=(238, 222, 206),
        shadow=0.6,
        grads=[Grad(tuple(uv(0.5, 0)), tuple(uv(0.5, 0.6)), 0.65)],
    )
    for k in range(17):
        a = 0.37 + 0.32 * k / 16
        d.line(g.spline([uv(a, 0.04), uv(a + 0.02, 0.25), uv(a + 0.04, 0.5)]), 0.22, taper=(0, 0.5), clip=pol)
    # head
    gill = g.spline(
        [
            uv(0.225, -0.97),
            uv(0.255, -0.6),
            uv(0.235, -0.2),
            uv(0.228, 0),
            uv(0.235, 0.2),
            uv(0.255, 0.6),
            uv(0.225, 0.97),
        ]
    )
    top = [uv(x, 0.975) for x in np.linspace(0.22, 0.0, 10)]
    low = [uv(x, -0.975) for x in np.linspace(0.0, 0.22, 10)]
    head = np.vstack(
        [gill, g.spline(top + [spine[0] - t[0] * 1.9 + n[0] * 0.6, spine[0] - t[0] * 1.9 - n[0] * 0.6] + low)]
    )
    d.shape(head, 0.40, dome=0.55, rim=0.15, color=WHITE, shadow=0.45, white=0.25)
    for s in (1, -1):
        cheek = g.spline([uv(0.20, s * 0.30), uv(0.165, s * 0.62), uv(0.10, s * 0.80)])
        d.line(cheek, 0.28)
        d.line(g.spline([uv(0.222, s * 0.55), uv(0.19, s * 0.72), uv(0.15, s * 0.90)]), 0.22)
        eye = uv(0.088, s * 0.72)
        d.shape(g.ellipse(eye, 1.35), 0.3, dome=0.2, color=(220, 190, 120), shadow=0.3)
        d.shape(g.ellipse(eye + n[0] * s * 0.15, 0.82), 0.2, fill=True, color=(20, 20, 22))
        d.shape(g.ellipse(eye + [-0.3, -0.3], 0.26), None, dome=0, rim=0, white=1, color=(255, 255, 255), shadow=0)
        d.line(g.ellipse(uv(0.03, s * 0.42), 0.45, 0.3), 0.22, taper=0)
        b0 = uv(0.005, s * 0.85)
        d.line(
            g.spline(
                [
                    b0,
                    b0 + n[0] * s * 2.6 - t[0] * 1.2,
                    b0 + n[0] * s * 4.8 + t[0] * 1.6,
                    b0 + n[0] * s * 6.0 + t[0] * 1.0,
                ]
            ),
            0.46,
            taper=(0, 0.8),
            tip=0.2,
        )
    spot = g.spline(
        [
            uv(0.06, -0.25),
            uv(0.10, -0.5),
            uv(0.16, -0.42),
            uv(0.20, -0.1),
            uv(0.18, 0.35),
            uv(0.11, 0.42),
            uv(0.06, 0.2),
        ],
        closed=True,
    )
    d.shape(spot, None, tone=0.42, dome=0.35, rim=0, color=RED, shadow=0, blur=0.35, stencil=False)
    d.line(np.vstack([spot, spot[:1]]), 0.2, taper=0)
    d.line(g.spline([uv(-0.006, -0.45), spine[0] - t[0] * 0.9, uv(-0.006, 0.45)]), 0.3)
    # water
    for c, ring, a0, a1 in (
        ((12, 62), 9.0, 150, 330),
        ((12, 62), 6, 170, 320),
        ((60, 84), 8.5, -40, 130),
        ((60, 84), 5.5, -30, 110),
        ((56, 22), 6, 200, 380),
        ((56, 22), 3.6, 220, 370),
    ):
        d.line(g.ellipse(c, ring, ring * 0.5, a0, a1), 0.28, taper=0.5)
    return d.fitted()
