"use strict";
/* Plug and socket in space: drawn only when something changes. */
const Space = (() => {
  const RAD = Math.PI / 180;

  function bytes(text) {
    const raw = atob(text), out = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
    return out.buffer;
  }

  function geometryOf(mesh) {
    const steps = new Uint16Array(bytes(mesh.at)), at = new Float32Array(steps.length);
    for (let i = 0; i < steps.length; i++) at[i] = mesh.low[i % 3] + mesh.step[i % 3] * steps[i];
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.BufferAttribute(at, 3));
    geometry.setIndex(new THREE.BufferAttribute(new (mesh.wide ? Uint32Array : Uint16Array)(bytes(mesh.of)), 1));
    return geometry;
  }

  function make(host, { colours, onPick }) {
    let renderer;
    try {
      renderer = new THREE.WebGLRenderer({ antialias: true, stencil: true, alpha: true });
    } catch (error) {
      return null;
    }
    renderer.localClippingEnabled = true;
    renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1));
    host.appendChild(renderer.domElement);
    renderer.domElement.setAttribute("aria-hidden", "true");
    const scene = new THREE.Scene();
    scene.add(new THREE.HemisphereLight(0xffffff, 0x8a8272, 1.9));
    const sun = new THREE.DirectionalLight(0xffffff, 1.5);
    scene.add(sun, sun.target);
    const camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -2000, 2000);
    camera.up.set(0, 0, 1);
    const cut = new THREE.Plane(new THREE.Vector3(0, 1, 0), 0);
    const parts = {}, view = { yaw: -55, pitch: 32, zoom: 1, middle: new THREE.Vector3(), reach: 40, tall: 40 };
    let state = { section: true, cutPlug: false, angle: -45, offset: 0, pose: [0, 0], sign: 1 };
    let asked = false;
    const marks = new THREE.Group();
    scene.add(marks);

    function part(name, mesh, order) {
      if (parts[name]) scene.remove(parts[name].group);
      const bare = geometryOf(mesh), group = new THREE.Group();
      const smooth = THREE.toCreasedNormals(bare, 28 * RAD);
      const face = new THREE.MeshLambertMaterial({ color: colours()[name], side: THREE.DoubleSide,
        polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
      const line = new THREE.LineBasicMaterial({ color: colours().ink });
      const body = new THREE.Mesh(smooth, face);
      body.renderOrder = 6;
      const lines = new THREE.LineSegments(new THREE.EdgesGeometry(bare, 28), line);
      group.add(body, lines);
      const sides = [[THREE.BackSide, THREE.IncrementWrapStencilOp], [THREE.FrontSide, THREE.DecrementWrapStencilOp]];
      const counters = sides.map(([side, op]) => {
        const material = new THREE.MeshBasicMaterial({ side, colorWrite: false, depthWrite: false, depthTest: false });
        Object.assign(material, { stencilWrite: true, stencilFunc: THREE.AlwaysStencilFunc,
          stencilFail: op, stencilZFail: op, stencilZPass: op, clippingPlanes: [cut] });
        const counter = new THREE.Mesh(bare, material);
        counter.renderOrder = order;
        group.add(counter);
        return counter;
      });
      const lid = new THREE.Mesh(new THREE.PlaneGeometry(1, 1), new THREE.MeshBasicMaterial({
        color: colours()[`${name}Cut`], side: THREE.DoubleSide }));
      Object.assign(lid.material, { stencilWrite: true, stencilRef: 0, stencilFunc: THREE.NotEqualStencilFunc,
        stencilFail: THREE.ReplaceStencilOp, stencilZFail: THREE.ReplaceStencilOp,
        stencilZPass: THREE.ReplaceStencilOp });
      lid.onAfterRender = (r) => r.clearStencil();
      lid.renderOrder = order + 0.5;
      scene.add(group, lid);
      if (parts[name]) { scene.remove(parts[name].lid); dispose(parts[name]); }
      parts[name] = { group, body, lines, counters, lid, face, line, bare };
    }

    function dispose(old) {
      for (const one of [old.body, old.lines, old.lid, ...old.counters]) {
        one.geometry.dispose(); one.material.dispose();
      }
    }

    function meshes(both, sign, up) {
      part("socket", both.socket, 1);
      part("plug", both.plug, 2);
      state.sign = sign;
      const box = new THREE.Box3().setFromBufferAttribute(parts.socket.bare.getAttribute("position"));
      const tall = new THREE.Box3().setFromBufferAttribute(parts.plug.bare.getAttribute("position"));
      const low = Math.min(box.min.z, tall.min.z), high = Math.max(box.max.z, tall.max.z + up);
      view.reach = 1.12 * Math.max(box.max.x, box.max.y, tall.max.x, tall.max.y);
      view.tall = 0.45 * (high - low) + 0.5 * view.reach;
      view.middle.set(0, 0, (low + high) / 2);
      apply();
    }

    /* Patches of the socket that touch: a strip from bore to wall along an edge of a track. */
    function touches(found, bore, walls) {
      for (const old of [...marks.children]) { marks.remove(old); old.geometry.dispose(); }
      for (const one of found) {
        const wall = walls[one.track - 1] || walls[0], steps = 16, at = [], of = [];
        for (let i = 0; i <= steps; i++) {
          const t = i / steps, x = one.from[0] + t * (one.to[0] - one.from[0]);
          const z = -(one.from[1] + t * (one.to[1] - one.from[1])), theta = state.sign * x * RAD;
          for (const r of [bore, wall]) at.push(r * Math.cos(theta), r * Math.sin(theta), z);
          if (i) of.push(2 * i - 2, 2 * i - 1, 2 * i, 2 * i - 1, 2 * i + 1, 2 * i);
        }
        const geometry = new THREE.BufferGeometry();
        geometry.setAttribute("position", new THREE.BufferAttribute(new Float32Array(at), 3));
        geometry.setIndex(of);
        const strip = new THREE.Mesh(geometry, new THREE.MeshBasicMaterial({ color: colours().touch,
          side: THREE.DoubleSide, depthTest: false, transparent: true, opacity: 0.85 }));
        strip.renderOrder = 9;
        marks.add(strip);
      }
      ask();
    }

    function apply() {
      const angle = state.angle * RAD;
      cut.normal.set(-Math.cos(angle), -Math.sin(angle), 0);
      cut.constant = state.offset;
      for (const [name, one] of Object.entries(parts)) {
        const on = state.section && (name === "socket" || state.cutPlug);
        one.face.clippingPlanes = on ? [cut] : null;
        one.line.clippingPlanes = on ? [cut] : null;
        one.face.color.set(colours()[name]);
        one.line.color.set(colours().ink);
        one.lid.material.color.set(colours()[`${name}Cut`]);
        one.lid.visible = on;
        for (const counter of one.counters) counter.visible = on;
        one.lid.scale.setScalar(view.reach * 6);
        one.lid.position.copy(cut.normal).multiplyScalar(-cut.constant);
        one.lid.lookAt(one.lid.position.clone().sub(cut.normal));
      }
      if (parts.plug) {
        parts.plug.group.rotation.z = state.sign * state.pose[0] * RAD;
        parts.plug.group.position.z = state.pose[1];
      }
      ask();
    }

    function ask() {
      if (asked) return;
      asked = true;
      requestAnimationFrame(draw);
    }

    function draw() {
      asked = false;
      const w = host.clientWidth, h = host.clientHeight;
      if (!w || !h || !parts.socket) return;
      const held = renderer.domElement;
      if (held.clientWidth !== w || held.clientHeight !== h) renderer.setSize(w, h);
      const tall = Math.max(view.tall, (view.reach * h) / w) / view.zoom, wide = (tall * w) / h;
      Object.assign(camera, { left: -wide, right: wide, top: tall, bottom: -tall });
      const yaw = view.yaw * RAD, pitch = view.pitch * RAD;
      const out = new THREE.Vector3(Math.cos(pitch) * Math.cos(yaw), Math.cos(pitch) * Math.sin(yaw), Math.sin(pitch));
      camera.position.copy(view.middle).addScaledVector(out, 300);
      camera.lookAt(view.middle);
      camera.updateProjectionMatrix();
      sun.position.copy(camera.position).add(new THREE.Vector3(60, 90, 160));
      sun.target.position.copy(view.middle);
      renderer.render(scene, camera);
      host.dataset.drawn = String(Number(host.dataset.drawn || 0) + 1);
    }

    function turn(dx, dy) {
      view.yaw -= dx; view.pitch = Math.max(-89, Math.min(89, view.pitch + dy)); ask();
    }
    const zoom = (by) => { view.zoom = Math.max(0.4, Math.min(8, view.zoom * by)); ask(); };

    let from = null;
    host.addEventListener("pointerdown", (e) => { from = [e.clientX, e.clientY]; host.setPointerCapture(e.pointerId); });
    host.addEventListener("pointermove", (e) => {
      if (!from) return;
      turn((e.clientX - from[0]) * 0.5, (e.clientY - from[1]) * 0.5);
      from = [e.clientX, e.clientY];
    });
    host.addEventListener("pointerup", () => { from = null; });
    host.addEventListener("pointercancel", () => { from = null; });
    host.addEventListener("wheel", (e) => { e.preventDefault(); zoom(e.deltaY < 0 ? 1.1 : 1 / 1.1); }, { passive: false });
    host.addEventListener("keydown", (e) => {
      const keys = { ArrowLeft: () => turn(-6, 0), ArrowRight: () => turn(6, 0), ArrowUp: () => turn(0, 6),
        ArrowDown: () => turn(0, -6), "+": () => zoom(1.15), "=": () => zoom(1.15), "-": () => zoom(1 / 1.15) };
      if (keys[e.key]) { keys[e.key](); e.preventDefault(); }
    });
    new ResizeObserver(ask).observe(host);

    return { meshes, touches, set(more) { state = { ...state, ...more }; apply(); }, again: apply, zoom,
      where: () => ({ turn: parts.plug && parts.plug.group.rotation.z / RAD, lift: parts.plug && parts.plug.group.position.z }) };
  }

  return { make };
})();
