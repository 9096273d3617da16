"use strict";
/* One pose, shown in three drawings at once: the way in as a slider, planes that can be dragged. */
const Fitting = (() => {
  const OUT_MM = 1.15; // of the nose's depth: how far above the window the plug is shown to start

  const UPTO = [0.2, 0.5, 1]; // of the slider: outside, entering, turning

  function h(name, attributes, ...inner) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {}))
      if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
      else if (value === true) made.setAttribute(key, "");
      else if (value !== false && value !== null && value !== undefined) made.setAttribute(key, value);
    made.append(...inner.filter((one) => one !== null && one !== undefined));
    return made;
  }

  function colours() {
    const style = getComputedStyle(document.documentElement), of = (name) => style.getPropertyValue(name).trim();
    return { ink: of("--edge3d"), socket: of("--socket3d"), plug: of("--plug3d"), socketCut: of("--socketcut"),
      plugCut: of("--plugcut"), touch: of("--touch") };
  }

  let views = 0;

  function make(host) {
    const id = `view${views++}`;
    let data = null, size = "nominal", pose = [0, 0], share = 0, playing = 0, space = null, solids = null;
    let drawn = {}, path = [], piece = null, k = 0.3;

    const slider = h("input", { type: "range", id: `${id}-way`, min: 0, max: 1000, step: 1, value: 0, class: "slider" });
    const where = h("output", { for: `${id}-way`, class: "where" });
    const play = h("button", { type: "button", onclick: () => (playing ? stop() : start()) }, "Play");
    const pairs = h("div", { class: "pairs", role: "radiogroup", "aria-label": "Sizes of the pair" });
    const touch = h("p", { class: "touching", role: "status" });
    const planeSvg = svg("Lugs in their tracks, unrolled"), regionSvg = svg("Free region: the whole way in");
    const turnSvg = svg("Free region: the turn");
    const planeBox = dragger("Lugs in their tracks. Arrow keys turn and lift the plug; with Shift in larger steps.", planeSvg);
    const regionBox = dragger("Free region, whole way. Arrow keys turn and lift the plug.", regionSvg);
    const turnBox = dragger("Free region, the turn. Arrow keys turn and lift the plug.", turnSvg);
    const stage = h("div", { class: "stage", tabindex: 0, role: "application",
      "aria-label": "Plug and socket in space. Drag or use arrow keys to look round, plus and minus to zoom." });
    const section = h("input", { type: "checkbox", id: `${id}-cut`, checked: true });
    const cutPlug = h("input", { type: "checkbox", id: `${id}-cutplug` });
    const angle = h("input", { type: "range", id: `${id}-angle`, min: -180, max: 180, step: 1, value: -45 });
    const depth = h("input", { type: "range", id: `${id}-depth`, min: -100, max: 100, step: 1, value: 0 });
    const noSpace = h("p", { class: "note" });

    function svg(label) {
      const made = Plane.el("svg", { role: "img", "aria-label": label });
      return made;
    }

    function dragger(label, inner) {
      return h("div", { class: "drag", tabindex: 0, role: "application", "aria-label": label }, inner);
    }

    host.append(
      h("section", { class: "way", "aria-label": "The way in" },
        h("div", { class: "wayrow" }, play,
          h("label", { for: `${id}-way`, class: "waylabel" }, "The way in"), slider, where),
        pairs, touch),
      h("div", { class: "views" },
        h("figure", { class: "f-plane" }, h("figcaption", {}, "Lugs in their tracks, unrolled. Drag the lugs."), planeBox),
        h("figure", { class: "f-space" }, h("figcaption", {}, "Plug and socket"), stage, noSpace,
          h("div", { class: "knobs" },
            h("label", { for: `${id}-cut` }, section, " cut the socket open"),
            h("label", { for: `${id}-cutplug` }, cutPlug, " and the plug"),
            h("label", { for: `${id}-angle` }, "cut turned to ", angle),
            h("label", { for: `${id}-depth` }, "cut moved by ", depth))),
        h("figure", { class: "f-region" }, h("figcaption", {}, "Free region: poses at which nothing touches"), regionBox),
        h("figure", { class: "f-turn" }, h("figcaption", {}, "The turn, enlarged"), turnBox)),
    );

    const way = () => data.ways[size];

    function box(element, ratio, least) {
      const w = Math.max(280, element.clientWidth || 560);
      return [w, Math.max(least, Math.round(w * ratio))];
    }

    function redraw() {
      if (!data) return;
      drawn = {
        plane: Plane.unrolled(planeSvg, data, way(), box(planeBox, 0.42, 220)),
        region: Plane.region(regionSvg, data, way(), box(regionBox, 0.7, 240), false),
        turn: Plane.region(turnSvg, data, way(), box(turnBox, 0.7, 240), true),
      };
      put(pose, null);
    }

    function phase() {
      const w = way(), [phi, lift] = pose;
      if (!w.path.length) return "no way in";
      if (lift > w.window[2] - 1e-6) return `outside, ${Plane.fix(lift, 1)} mm off the mouth`;
      const at = `turned ${Plane.fix(phi, 2)} of ${Plane.fix(w.lock_deg, 2)} deg, lift ${Plane.fix(lift, 3)} mm`;
      if (phi >= w.lock_deg - 1e-3) return `locked: ${at}`;
      return phi < 1e-3 && lift > 0.3 * w.window[2] ? `entering: lift ${Plane.fix(lift, 2)} mm` : at;
    }

    function put(next, edge) {
      pose = next;
      const beyond = pose[1] > way().window[2];
      const found = beyond ? [] : Plane.touching(data, way(), pose);
      if (!beyond && pose[1] < 0.005) found.push({ name: "mouth", from: [0, 0], to: [0, 0] });
      drawn.plane.show(pose, found.filter((one) => one.track));
      drawn.region.show(pose, edge);
      drawn.turn.show(pose, edge);
      where.textContent = phase();
      host.dataset.pose = JSON.stringify(pose);
      touch.textContent = words(found);
      touch.classList.toggle("on", found.length > 0);
      if (space) {
        space.set({ pose, sign: data.fitting.sign });
        space.touches(found.filter((one) => one.track), data.fitting.bore_mm, data.fitting.wall_mm);
      }
    }

    function words(found) {
      if (!found.length) return "Nothing touches.";
      const told = new Map();
      for (const one of found) {
        if (one.name === "mouth") { told.set("mouth", "the shoulder touches the mouth face"); continue; }
        const row = Plane.dimensionBehind(data, one), name = one.name === "slot" ? "a side of its slot" :
          one.name === "break" ? "a step" : `the ${one.name}`;
        const key = `${one.lug} ${one.name}`;
        if (!told.has(key)) told.set(key, `lug ${one.lug} touches ${name}${row ? ` (${row.meaning.replace(/^track \d+: /, "")}, ${row.text})` : ""}`);
      }
      const lines = [...told.values()];
      const text = lines.slice(0, 3).join("; ") + (lines.length > 3 ? `; and ${lines.length - 3} more` : "");
      return `${text[0].toUpperCase()}${text.slice(1)}.`;
    }

    function fullPath() {
      const w = way();
      if (!w.path.length) return [];
      const up = OUT_MM * data.fitting.nose_mm;
      const turns = w.path.findIndex((p, n) => n > 0 && Math.abs(p[0] - w.path[0][0]) > 1e-3);
      const cut = turns < 1 ? w.path.length - 1 : turns - 1;
      return [[[w.path[0][0], w.window[2] + up], w.path[0]], w.path.slice(0, cut + 1), w.path.slice(cut)]
        .map((run, n) => ({ run, upto: UPTO[n] })).filter((one) => one.run.length > 1);
    }

    function poseAt(value) {
      let begin = 0;
      for (const [n, one] of path.entries()) {
        const end = n === path.length - 1 ? 1 : one.upto;
        if (value <= end) return Poses.along(one.run, (value - begin) / (end - begin), k);
        begin = end;
      }
      return path[path.length - 1].run.at(-1);
    }

    function go(value) {
      share = value;
      slider.value = String(Math.round(value * 1000));
      if (path.length) put(poseAt(share), null);
      slider.setAttribute("aria-valuetext", where.textContent);
    }

    function start() {
      if (!path.length) return;
      playing = performance.now();
      play.textContent = "Stop";
      const begin = share >= 0.999 ? 0 : share, began = playing;
      const step = (now) => {
        if (playing !== began) return;
        const at = begin + (now - began) / 6000;
        go(Math.min(1, Math.max(begin, at)));
        if (at < 1) requestAnimationFrame(step); else stop();
      };
      requestAnimationFrame(step);
    }

    function stop() { playing = 0; play.textContent = "Play"; }

    function drag(element, toPose) {
      let grip = null;
      element.addEventListener("pointerdown", (e) => {
        stop();
        grip = { at: [e.clientX, e.clientY], pose: [...pose] };
        element.setPointerCapture(e.pointerId);
        e.preventDefault();
        element.focus();
      });
      element.addEventListener("pointermove", (e) => {
        if (!grip) return;
        const wanted = toPose(grip, [e.clientX - grip.at[0], e.clientY - grip.at[1]]);
        nudge(wanted);
      });
      for (const end of ["pointerup", "pointercancel"]) element.addEventListener(end, () => { grip = null; });
      element.addEventListener("keydown", (e) => {
        const by = e.shiftKey ? 10 : 1, keys = { ArrowLeft: [-0.5, 0], ArrowRight: [0.5, 0], ArrowUp: [0, 0.05], ArrowDown: [0, -0.05] };
        const move = keys[e.key];
        if (!move) return;
        e.preventDefault();
        stop();
        nudge([pose[0] + by * move[0], pose[1] + by * move[1]]);
      });
    }

    /* Towards a wanted pose as far as the free region lets the plug go. */
    function nudge(wanted) {
      const [, , lift] = way().window;
      let from = pose;
      if (from[1] > lift) {
        if (wanted[1] > lift) { put([from[0], wanted[1]], null); return; }
        from = [from[0], lift - 1e-6];
      }
      const near = Poses.pieceAt(way().pieces, from, k);
      if (!near.piece) return;
      piece = near.piece;
      if (!Poses.inside(piece, from)) {
        const rim = Poses.toRim(piece, from, k), mid = inward(piece, rim);
        if (!mid) return;
        from = mid;
      }
      const moved = Poses.move(piece, from, wanted, k);
      put(moved.at, moved.stopped);
    }

    function inward(some, rim) {
      for (const r of [3e-6, 1e-5, 1e-4])
        for (let n = 0; n < 16; n++) {
          const t = (n * Math.PI) / 8, p = [rim.at[0] + (r * Math.cos(t)) / k, rim.at[1] + r * Math.sin(t)];
          if (Poses.inside(some, p)) return p;
        }
      return null;
    }

    const scale = (svgElement) => { const r = svgElement.getBoundingClientRect(); return svgElement.viewBox.baseVal.width / r.width; };
    drag(planeBox, (grip, [dx, dy]) => { const s = scale(planeSvg), f = drawn.plane.f;
      return [grip.pose[0] + (dx * s) / f.sx, grip.pose[1] - (dy * s) / f.sy]; });
    for (const [box_, svg_, name] of [[regionBox, regionSvg, "region"], [turnBox, turnSvg, "turn"]])
      drag(box_, (grip, [dx, dy]) => { const s = scale(svg_), f = drawn[name].f;
        return [grip.pose[0] + (dx * s) / f.sx, grip.pose[1] + (dy * s) / f.sy]; });

    slider.addEventListener("input", () => { stop(); go(Number(slider.value) / 1000); });
    const cutting = () => space && space.set({ section: section.checked, cutPlug: cutPlug.checked,
      angle: Number(angle.value), offset: (Number(depth.value) / 100) * data.fitting.boss_mm });
    for (const one of [section, cutPlug, angle, depth]) one.addEventListener("input", cutting);

    let waiting = 0;
    new ResizeObserver(() => { cancelAnimationFrame(waiting); waiting = requestAnimationFrame(redraw); }).observe(host);

    function update(next) {
      data = next;
      k = (Math.max(...data.fitting.wall_mm) * Math.PI) / 180;
      if (!data.ways[size]) size = "nominal";
      pairs.textContent = "";
      for (const [key, one] of Object.entries(data.ways)) {
        const input = h("input", { type: "radio", name: `${id}-pair`, id: `${id}-${key}`, value: key, checked: key === size,
          onchange: () => { size = key; again(); } });
        pairs.append(h("label", { for: `${id}-${key}` }, input, ` ${one.name}`));
      }
      again();
    }

    function again() {
      path = fullPath();
      slider.disabled = play.disabled = !path.length;
      redraw();
      if (path.length) go(share); else put([0, way().window[2] + OUT_MM * data.fitting.nose_mm], null);
    }

    function setSolids(both) {
      solids = both;
      if (!both) return;
      if (!space) space = Space.make(stage, { colours });
      if (!space) { noSpace.textContent = "This browser shows no 3D (WebGL is off). The drawings work without it."; return; }
      space.meshes(both, data.fitting.sign, way().window[2] + OUT_MM * data.fitting.nose_mm);
      cutting();
      put(pose, null);
    }

    const recolour = () => { if (space) { space.again(); put(pose, null); } };
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", recolour);
    return { update, setSolids, recolour, note: (text) => { noSpace.textContent = text; }, go, pose: () => pose,
      space: () => space && space.where() };
  }

  function verdictChip(verdict) {
    const signs = { pass: "✓", look: "◐", fail: "✗", open: "?" };
    return h("span", { class: `verdict ${verdict}` }, h("span", { "aria-hidden": "true" }, `${signs[verdict] || ""} `), verdict);
  }

  function findings(host, rows, extra) {
    host.textContent = "";
    for (const row of rows) {
      const item = h("li", { class: row.verdict },
        h("p", {}, verdictChip(row.verdict), " ", h("strong", {}, row.room), ` ${row.message}`));
      if (row.change) item.append(h("p", { class: "change" }, `To change: ${row.change}`));
      if (extra) extra(item, row);
      host.append(item);
    }
  }

  function sizes(rows) {
    return h("table", {}, h("caption", {}, "Key sizes of the socket"), h("tbody", {},
      ...rows.map((row) => h("tr", {}, h("th", { scope: "row" }, row.meaning), h("td", {}, row.text)))));
  }

  function themes(button, then) {
    const root = document.documentElement;
    const dark = () => (root.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
    const told = () => { button.textContent = dark() ? "Light page" : "Dark page"; };
    button.addEventListener("click", () => { root.dataset.theme = dark() ? "light" : "dark"; told(); then(); });
    told();
  }

  return { make, h, verdictChip, findings, sizes, themes };
})();
