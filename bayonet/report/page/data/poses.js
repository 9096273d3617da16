"use strict";
/* Poses (turn towards lock [deg], lift [mm]) within the free region: where a wanted move ends. */
const Poses = (() => {
  const NEAR = 1e-9, BACK = 2e-6;

  function edgesOf(piece) {
    const edges = [];
    for (const ring of piece)
      for (let i = 0; i < ring.length; i++) edges.push([ring[i], ring[(i + 1) % ring.length]]);
    return edges;
  }

  function inside(piece, [x, y]) {
    let odd = false;
    for (const [a, b] of edgesOf(piece))
      if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) odd = !odd;
    return odd;
  }

  function nearestOn([a, b], p, k) {
    const dx = (b[0] - a[0]) * k, dy = b[1] - a[1], long = dx * dx + dy * dy;
    let t = long > 0 ? ((p[0] - a[0]) * k * dx + (p[1] - a[1]) * dy) / long : 0;
    t = Math.min(1, Math.max(0, t));
    const at = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    return { at, far: Math.hypot((at[0] - p[0]) * k, at[1] - p[1]) };
  }

  /* The distance [mm, k mm a degree] of a pose to the rim of a piece, and the edge it is to. */
  function toRim(piece, p, k) {
    let best = { far: Infinity };
    for (const edge of edgesOf(piece)) {
      const one = nearestOn(edge, p, k);
      if (one.far < best.far) best = { ...one, edge };
    }
    return best;
  }

  function pieceAt(pieces, p, k) {
    let best = null, far = Infinity;
    for (const piece of pieces) {
      const d = inside(piece, p) ? 0 : toRim(piece, p, k).far;
      if (d < far) { best = piece; far = d; }
    }
    return { piece: best, far };
  }

  function crossing(a, b, [c, d]) {
    const rx = b[0] - a[0], ry = b[1] - a[1], sx = d[0] - c[0], sy = d[1] - c[1];
    const cross = rx * sy - ry * sx;
    if (Math.abs(cross) < 1e-15) return null;
    const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / cross;
    const u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / cross;
    return t >= -NEAR && t <= 1 + NEAR && u >= -NEAR && u <= 1 + NEAR ? Math.max(0, t) : null;
  }

  /* Move from a free pose towards another; where an edge stops it, slide along that edge.
     Never leaves the piece: every step taken was tried against all its edges. */
  function move(piece, from, wanted, k) {
    const edges = edgesOf(piece);
    let at = from, to = wanted, stopped = null;
    for (let n = 0; n < 5; n++) {
      const dx = (to[0] - at[0]) * k, dy = to[1] - at[1], far = Math.hypot(dx, dy);
      if (far < 1e-9) break;
      let first = null;
      for (const edge of edges) {
        const t = crossing(at, to, edge);
        if (t !== null && (first === null || t < first.t)) first = { t, edge };
      }
      if (first === null) { if (inside(piece, to)) at = to; break; }
      stopped = first.edge;
      const t = Math.max(0, first.t - BACK / far);
      const next = [at[0] + t * (to[0] - at[0]), at[1] + t * (to[1] - at[1])];
      if (inside(piece, next)) at = next;
      const [c, d] = first.edge, ex = (d[0] - c[0]) * k, ey = d[1] - c[1];
      const long = Math.hypot(ex, ey);
      if (long < NEAR) break;
      const along = ((to[0] - at[0]) * k * ex + (to[1] - at[1]) * ey) / (long * long);
      to = [at[0] + along * (d[0] - c[0]), at[1] + along * (d[1] - c[1])];
      // a hair inwards, so that the slide does not meet the edge it slides along
      const nx = -ey / long, ny = ex / long;
      for (const side of [BACK, -BACK]) {
        const off = [at[0] + (side * nx) / k, at[1] + side * ny];
        if (inside(piece, off)) {
          at = off; to = [to[0] + (side * nx) / k, to[1] + side * ny];
          break;
        }
      }
    }
    return { at, stopped };
  }

  /* The pose a share (0..1) of the way along a path; its length counts k mm a degree. */
  function along(path, share, k) {
    const run = [0];
    for (let i = 1; i < path.length; i++)
      run.push(run[i - 1] + Math.hypot((path[i][0] - path[i - 1][0]) * k, path[i][1] - path[i - 1][1]));
    const want = share * run[run.length - 1];
    let i = 1;
    while (i < path.length - 1 && run[i] < want) i++;
    const span = run[i] - run[i - 1], t = span > 0 ? Math.min(1, (want - run[i - 1]) / span) : 1;
    return [0, 1].map((c) => path[i - 1][c] + t * (path[i][c] - path[i - 1][c]));
  }

  return { inside, toRim, pieceAt, move, along, edgesOf, nearestOn };
})();
