"use strict";
/* The developed plane and the free region as drawings that follow one pose. */
const Plane = (() => {
  const NS = "http://www.w3.org/2000/svg";
  const TOUCH_MM = 0.02;

  function el(name, attributes, parent, text) {
    const made = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    if (parent) parent.appendChild(made);
    return made;
  }

  const fix = (value, digits) => (Math.abs(value) < 0.5 * 10 ** -digits ? 0 : value).toFixed(digits);

  function niceStep(span, count) {
    const raw = Math.max(span, 1e-9) / count, base = 10 ** Math.floor(Math.log10(raw));
    return [1, 2, 5, 10].map((n) => n * base).find((n) => n >= raw);
  }

  /* A frame with axes; returns how to place a point and read one back. */
  function frame(svg, { from, to, words, size, zero = 0 }) {
    const [w, h] = size, left = 46, right = 12, top = 14, bottom = 38;
    svg.setAttribute("viewBox", `0 0 ${w} ${h}`);
    const sx = (w - left - right) / (to[0] - from[0]), sy = (h - top - bottom) / (to[1] - from[1]);
    const x = (v) => left + (v - from[0]) * sx, y = (v) => top + (v - from[1]) * sy;
    const back = (px, py) => [from[0] + (px - left) / sx, from[1] + (py - top) / sy];
    const inner = { x: left, y: top, width: w - left - right, height: h - top - bottom };
    const axes = el("g", { class: "axes" }, svg);
    const ticks = (low, high, count) => {
      const step = niceStep(Math.abs(high - low), count), found = [];
      for (let v = Math.ceil(Math.min(low, high) / step) * step; v <= Math.max(low, high) + 1e-9; v += step)
        found.push(v);
      return { found, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
    };
    const across = ticks(from[0] - zero, to[0] - zero, Math.max(3, w / 90)), up = ticks(from[1], to[1], Math.max(3, h / 55));
    for (const v of across.found) {
      el("line", { x1: x(v + zero), x2: x(v + zero), y1: h - bottom, y2: h - bottom + 4 }, axes);
      el("text", { x: x(v + zero), y: h - bottom + 15, "text-anchor": "middle" }, axes, fix(v, across.digits));
    }
    for (const v of up.found) {
      el("line", { x1: left - 4, x2: left, y1: y(v), y2: y(v) }, axes);
      el("text", { x: left - 7, y: y(v) + 3.5, "text-anchor": "end" }, axes, fix(v, up.digits));
    }
    el("text", { x: left + inner.width / 2, y: h - 6, "text-anchor": "middle", class: "words" }, axes, words[0]);
    el("text", { x: 11, y: top + inner.height / 2, "text-anchor": "middle", class: "words",
      transform: `rotate(-90 11 ${top + inner.height / 2})` }, axes, words[1]);
    return { x, y, sx, sy, back, inner, axes };
  }

  const d = (points, f) => "M" + points.map(([a, b]) => `${f.x(a).toFixed(2)} ${f.y(b).toFixed(2)}`).join("L") + "Z";

  function clipped(svg, f, id) {
    const defs = el("defs", {}, svg), clip = el("clipPath", { id }, defs);
    el("rect", f.inner, clip);
    return el("g", { "clip-path": `url(#${id})` }, svg);
  }

  let count = 0;

  /* Lugs in their tracks, unrolled. */
  function unrolled(svg, data, way, size) {
    svg.textContent = "";
    const slot = way.tracks[0], start = Math.min(...slot.map((p) => p[0])) - 8;
    const bottom = way.lowest_mm * 1.15, top = -0.3 * bottom;
    const f = frame(svg, { from: [start, top], to: [start + 360, bottom], size, zero: data.fitting.zero_deg,
      words: ["angle towards lock from the middle of slot 1 [deg]", "depth [mm]"] });
    const id = `unrolled-${count++}`, room = clipped(svg, f, id);
    const hatch = el("pattern", { id: `${id}-hatch`, width: 7, height: 7, patternUnits: "userSpaceOnUse",
      patternTransform: "rotate(45)" }, svg.querySelector("defs"));
    el("rect", { width: 7, height: 7, class: "material" }, hatch);
    el("line", { x1: 0, y1: 0, x2: 0, y2: 7, class: "lining" }, hatch);
    el("rect", { x: f.x(start), y: f.y(way.top_mm), width: f.sx * 360, height: f.sy * (bottom - way.top_mm),
      fill: `url(#${id}-hatch)` }, room);
    el("line", { x1: f.x(start), x2: f.x(start + 360), y1: f.y(0), y2: f.y(0), class: "face" }, room);
    if (way.top_mm > 0)
      el("line", { x1: f.x(start), x2: f.x(start + 360), y1: f.y(way.top_mm), y2: f.y(way.top_mm),
        class: "face" }, room);
    const turns = [-360, 0, 360];
    for (const track of way.tracks)
      for (const turn of turns)
        el("path", { d: d(track.map(([a, b]) => [a + turn, b]), f), class: "track" }, room);
    const touches = el("g", { class: "touches" }, room);
    const lugs = el("g", { class: "lugs" }, room);
    way.lugs.forEach((lug, number) => {
      for (const turn of turns) {
        el("path", { d: d(lug.map(([a, b]) => [a + turn, b]), f), class: "lug" }, lugs);
        const mid = lug.reduce((sum, p) => sum + p[0], 0) / lug.length + turn;
        const deep = lug.reduce((sum, p) => sum + p[1], 0) / lug.length;
        el("text", { x: f.x(mid), y: f.y(deep) + 4, "text-anchor": "middle", class: "name" }, lugs, number + 1);
      }
    });
    el("text", { x: f.x(start + 356), y: f.y(0) - 5, "text-anchor": "end", class: "words" }, svg, "mouth face");
    el("rect", { ...f.inner, class: "rim" }, svg);
    return {
      f,
      show(pose, found) {
        lugs.setAttribute("transform", `translate(${(pose[0] * f.sx).toFixed(3)} ${(-pose[1] * f.sy).toFixed(3)})`);
        touches.textContent = "";
        for (const one of found)
          for (const turn of turns)
            el("line", { x1: f.x(one.from[0] + turn), y1: f.y(one.from[1]), x2: f.x(one.to[0] + turn),
              y2: f.y(one.to[1]) }, touches);
      },
    };
  }

  /* Poses at which nothing touches, the way in, and the pose as a handle. */
  function region(svg, data, way, size, close) {
    svg.textContent = "";
    const [low, high, lift] = way.window;
    const turning = way.path.filter((p) => p[0] > 0).map((p) => p[1]);
    const most = close ? Math.min(lift, Math.max(4 * Math.max(0.2, ...turning), 0.5)) : lift;
    const f = frame(svg, { from: [close ? -3 : low, most], to: [high, -0.03 * most], size,
      words: ["turn towards lock [deg]", "lift of the shoulder [mm]"] });
    const room = clipped(svg, f, `region-${count++}`);
    for (const piece of way.pieces)
      el("path", { d: piece.map((ring) => d(ring, f)).join(""), class: "free", "fill-rule": "evenodd" }, room);
    if (way.path.length)
      el("path", { d: d(way.path, f).replace("Z", ""), class: "waythrough" }, room);
    const stop = el("line", { class: "stopping", visibility: "hidden" }, room);
    el("rect", { ...f.inner, class: "rim" }, svg);
    const handle = el("circle", { r: 8, class: "handle" }, svg);
    if (!way.path.length)
      el("text", { x: f.inner.x + f.inner.width / 2, y: f.inner.y + f.inner.height / 2, "text-anchor": "middle",
        class: "nothing" }, svg, "no way from entry to lock");
    return {
      f,
      show(pose, edge) {
        const y = f.y(Math.min(pose[1], most));
        handle.setAttribute("cx", f.x(pose[0]));
        handle.setAttribute("cy", Math.max(f.inner.y, Math.min(y, f.inner.y + f.inner.height)));
        handle.classList.toggle("beyond", pose[1] > most);
        stop.setAttribute("visibility", edge ? "visible" : "hidden");
        if (edge) {
          const [a, b] = edge;
          for (const [key, value] of Object.entries({ x1: f.x(a[0]), y1: f.y(a[1]), x2: f.x(b[0]), y2: f.y(b[1]) }))
            stop.setAttribute(key, value);
        }
      },
    };
  }

  function segmentGap(a, b, c, e) {
    const ends = [[a, [c, e]], [b, [c, e]], [c, [a, b]], [e, [a, b]]];
    return Math.min(...ends.map(([p, edge]) => Poses.nearestOn(edge, p, 1).far));
  }

  /* Edges of tracks that a lug touches at a pose, with what they are called. */
  function touching(data, way, pose) {
    const found = [];
    const tip = (n) => ((data.fitting.wall_mm[n] || data.fitting.wall_mm[0]) * Math.PI) / 180;
    way.lugs.forEach((lug, l) => {
      const moved = lug.map(([a, b]) => [a + pose[0], b - pose[1]]);
      way.tracks.forEach((track, t) => {
        const k = tip(t), flat = (p, turn) => [(p[0] + turn) * k, p[1]];
        const names = way.edges[t];
        for (const turn of [-360, 0, 360])
          track.forEach((corner, n) => {
            const next = track[(n + 1) % track.length];
            if (names[n] === "opening") return;
            const [c, e] = [flat(corner, turn), flat(next, turn)];
            if (Math.hypot(e[0] - c[0], e[1] - c[1]) < 1e-6) return;
            let gap = Infinity;
            moved.forEach((p, m) => {
              const q = moved[(m + 1) % moved.length];
              gap = Math.min(gap, segmentGap(flat(p, 0), flat(q, 0), c, e));
            });
            if (gap < TOUCH_MM)
              found.push({ lug: l + 1, track: t + 1, name: names[n], from: corner, to: next, gap });
          });
      });
    });
    return found;
  }

  const DIMENSIONS = { slot: "slot_width", floor: "floor_depth", stop: "stop", roof: "roof_depth" };

  function dimensionBehind(data, one) {
    const key = one.name === "mouth" ? null : DIMENSIONS[one.name];
    return key ? data.dimensions[`track_${one.track}_${key}`] : undefined;
  }

  return { el, fix, unrolled, region, touching, dimensionBehind };
})();
