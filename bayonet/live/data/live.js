"use strict";
(() => {
  const { h } = Fitting, by = (id) => document.getElementById(id);
  const token = new URLSearchParams(location.search).get("token"), page = crypto.randomUUID();
  const view = Fitting.make(by("view"));
  let now = { text: "", sum: "" }, saved = "", number = 0, kept = null, past = [], place = -1, shown = null;
  let wrong = new Map(), last = null;
  window.livePage = { times: [], view, settled: 0, state: () => ({ text: now.text, verdict: shown && shown.verdict,
    findings: shown && shown.findings, wrong: wrong.size, number }) };

  async function ask(path, body) {
    return fetch(path, { method: "POST", headers: { "X-Token": token, "Content-Type": "application/json" }, body });
  }

  async function* messages(answer) {
    if (!answer.ok) { yield { step: "problems", problems: [{ field: "", rule: await answer.text() }] }; return; }
    const reader = answer.body.getReader(), decoder = new TextDecoder();
    let rest = "";
    for (;;) {
      const { value, done } = await reader.read();
      rest += value ? decoder.decode(value, { stream: true }) : "";
      const lines = rest.split("\n");
      rest = lines.pop();
      for (const line of lines) if (line) yield JSON.parse(line);
      if (done) return;
    }
  }

  const tell = (text) => { by("told").textContent = text; };
  const state = (text, old) => { by("state").textContent = text; by("state").classList.toggle("old", Boolean(old)); };

  /* ---- one change: judged as it is typed; what is older is dropped ---- */
  async function judge(text, set, what, keep = true) {
    const mine = ++number, began = performance.now();
    livePage.settled = 0;
    state("working out");
    let firstShown = false;
    try {
      for await (const one of messages(await ask("/judge", JSON.stringify({ page, number: mine, text, set })))) {
        if (mine !== number) return;
        if (one.step === "text") { last = one; }
        else if (one.step === "problems") { problems(one.problems, set); break; }
        else if (one.step === "first") {
          accept(last, what, keep);
          letter(one.sketch, one.letters);
          show(one.shown, false);
          if (!firstShown) requestAnimationFrame(() => livePage.times.push(performance.now() - began));
          firstShown = true;
          state("so far; worst corners and rates follow");
          solids(now.text);
        } else if (one.step === "corners") corners(one.chains);
        else if (one.step === "result") {
          show(one.shown, true); chains(one.chains);
          state(one.shown.verdict === "fail" ? "trying what would mend it" : "");
          if (one.shown.verdict !== "fail") state("");
        } else if (one.step === "tried") { shown.findings = one.findings; findings(); state(""); }
      }
    } catch (error) { tell(`No answer from the program: ${error.message}. Is it still running?`); }
    if (mine === number) { livePage.settled = mine; if (!wrong.size && by("state").textContent.startsWith("trying")) state(""); }
  }

  function accept(one, what, keep) {
    wrong = new Map();
    tell("");
    now.text = one.text;
    if (keep) {
      past = past.slice(0, place + 1);
      past.push({ text: one.text, what });
      place = past.length - 1;
    }
    form(one.tables);
    trail();
  }

  function problems(list, set) {
    const typed = new Map((set || []).map(([path, value]) => [path, value]));
    wrong = new Map();
    const elsewhere = [];
    for (const one of list) {
      const text = `${one.rule}${one.example ? `. For example: ${one.example}` : ""}`;
      const path = [...typed.keys()].find((p) => p === one.field) || (by(`f-${one.field}`) ? one.field : null);
      if (path) wrong.set(path, text); else elsewhere.push(`${one.line ? `line ${one.line}: ` : ""}${one.field} ${text}`);
    }
    if (elsewhere.length && typed.size === 1 && !wrong.size) { wrong.set([...typed.keys()][0], elsewhere.join("; ")); elsewhere.length = 0; }
    tell(elsewhere.join("; "));
    mark();
    by("verdict").replaceChildren(Fitting.verdictChip("open"));
    state("not legal yet: what is shown below is the last legal design", true);
  }

  /* ---- left: fields ---- */
  let open = new Set(["plug", "plug.lugs", "socket"]);
  function form(tables) {
    const held = document.activeElement && document.activeElement.id, host = by("form"), scroll = host.parentElement.scrollTop;
    if (host.dataset.shape === shapeOf(tables)) {
      for (const table of tables) for (const f of table.fields) {
        const input = by(`f-${f.path}`);
        if (input && input.id !== held) input.value = f.value;
        else if (input && !wrong.has(f.path) && input.dataset.sent !== input.value) input.value = f.value;
      }
      mark();
      return;
    }
    host.dataset.shape = shapeOf(tables);
    host.textContent = "";
    for (const table of tables) {
      const given = table.fields.filter((f) => f.value !== "" || f.required), rest = table.fields.filter((f) => !given.includes(f));
      const body = h("details", { open: open.has(table.table), "data-table": table.table },
        h("summary", {}, tableName(table.table), " ", h("small", {}, table.meaning)), ...given.map(field));
      if (rest.length) body.append(h("details", { class: "more" }, h("summary", {}, `${given.length ? "more" : "none given"}: ${rest.length} that may be`), ...rest.map(field)));
      body.addEventListener("toggle", () => (body.open ? open.add(table.table) : open.delete(table.table)));
      host.append(body);
    }
    mark();
    host.parentElement.scrollTop = scroll;
    if (held && by(held)) by(held).focus();
  }

  let letters = {};
  function letter(svg, named) {
    letters = named;
    by("sketch").innerHTML = svg;
    const fieldOf = new Map(Object.entries(named).map(([path, one]) => [one, path]));
    for (const one of by("sketch").querySelectorAll(".letter")) {
      const path = fieldOf.get(one.dataset.letter), to = () => reach(path);
      if (!path) continue;
      one.setAttribute("tabindex", "0");
      one.setAttribute("role", "button");
      one.setAttribute("aria-label", `letter ${one.dataset.letter}: ${path}`);
      one.addEventListener("click", to);
      one.addEventListener("keydown", (e) => { if (e.key === "Enter" || e.key === " ") { e.preventDefault(); to(); } });
    }
    for (const box of document.querySelectorAll(".field")) {
      const label = box.querySelector("label"), name = named[box.querySelector("input, select").name];
      if (name && !label.querySelector(".letter")) label.prepend(h("span", { class: "letter" }, name));
    }
  }
  function reach(path) {
    const input = by(`f-${path}`);
    if (!input) return;
    for (let up = input.parentElement; up && up.id !== "form"; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    input.focus();
    input.scrollIntoView({ block: "center" });
  }

  const tableName = (path) => path.split(".").map((part) => (/^\d+$/.test(part) ? String(Number(part) + 1) : part)).join(" › ");
  const shapeOf = (tables) => tables.map((t) => `${t.table}:${t.fields.filter((f) => f.value !== "").map((f) => f.key)}`).join(";");

  function field(f) {
    const id = `f-${f.path}`, hint = [f.limits, f.example ? `for example ${f.example}` : ""].filter(Boolean).join("; ");
    const attributes = { id, name: f.path, "aria-describedby": `${id}-hint ${id}-error` };
    const input = f.choices.length
      ? h("select", attributes, ...["", ...f.choices].filter((c) => c || !f.required || !f.value).map((c) => h("option", { value: c, selected: c === f.value }, c || "not given")))
      : h("input", { ...attributes, type: "text", value: f.value, spellcheck: "false" });
    let waiting = 0;
    input.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(() => change(f.path, input), f.choices.length ? 0 : 15);
    });
    return h("div", { class: "field" }, h("label", { for: id }, h("strong", {}, f.key), ` ${f.meaning}`), input,
      h("p", { class: "hint", id: `${id}-hint` }, hint), h("p", { class: "error", id: `${id}-error` }));
  }

  const joining = new Map();
  function change(path, input) {
    input.dataset.sent = input.value;
    for (const other of wrong.keys()) if (other !== path && by(`f-${other}`)) joining.set(other, by(`f-${other}`).value);
    for (const key of [...joining.keys()]) if (!wrong.has(key)) joining.delete(key);
    joining.delete(path);
    const set = [...joining.entries(), [path, input.value]];
    judge(now.text, set, `${path} = ${input.value || "not given"}`);
  }

  function mark() {
    for (const box of document.querySelectorAll(".field")) {
      const input = box.querySelector("input, select"), text = wrong.get(input.name);
      box.classList.toggle("wrong", Boolean(text));
      input.setAttribute("aria-invalid", text ? "true" : "false");
      box.querySelector(".error").textContent = text || "";
    }
  }

  /* ---- right: what was found ---- */
  function show(data, whole) {
    shown = { ...data, findings: data.findings };
    view.update(data);
    by("verdict").replaceChildren(whole ? "" : "so far ", Fitting.verdictChip(data.verdict));
    findings();
    by("sizes").replaceChildren(Fitting.sizes(data.sizes));
    if (!whole) return;
    by("headline").replaceChildren(...[...new Set([...data.marks, ...data.headline])].map((line) => h("p", { class: "headline" }, line)));
    by("cautions").replaceChildren(...data.cautions.map((line) => h("p", {}, line)));
    compare();
  }

  function findings() {
    const urgent = shown.findings.filter((one) => one.verdict !== "pass"), rest = shown.findings.filter((one) => one.verdict === "pass");
    Fitting.findings(by("findings"), urgent, extra);
    if (!rest.length) return;
    const list = h("ul", { class: "findings" });
    Fitting.findings(list, rest, extra);
    by("findings").append(h("li", { class: "pass" }, h("details", { class: "passed" }, h("summary", {}, `${rest.length} checks pass`), list)));
  }

  function extra(item, row) {
    const actions = h("div", { class: "actions" });
    const why = h("button", { type: "button", "aria-expanded": "false", onclick: () => because(row, why, item) }, "Why");
    actions.append(why);
    if (row.mends.length && row.verdict === "fail")
      actions.append(h("button", { type: "button", onclick: () => judge(now.text, row.mends, `advice: ${row.change || row.code}`) }, "Apply"));
    item.append(actions);
  }

  async function because(row, button, item) {
    const there = item.querySelector(":scope > .why");
    if (there) { there.remove(); button.setAttribute("aria-expanded", "false"); return; }
    const box = h("div", { class: "why" }, "working it out");
    item.append(box);
    button.setAttribute("aria-expanded", "true");
    for await (const one of messages(await ask("/why", JSON.stringify({ text: now.text, code: row.code })))) {
      if (one.step !== "why") { box.textContent = one.problems ? one.problems.map((p) => p.rule).join("; ") : ""; continue; }
      const signed = (v) => `${v > 0 ? "+" : ""}${Number(v.toPrecision(3))} ${one.unit}`;
      box.replaceChildren(...[one.judges, one.formula, one.source && `Source: ${one.source}`].filter(Boolean).map((line) => h("p", {}, line)),
        one.movers.length ? h("table", {}, h("caption", {}, "What moves it"), h("tbody", {}, ...one.movers.map((m) =>
          h("tr", {}, h("th", { scope: "row" }, m.name), h("td", {}, `${m.value === null ? "±" : "+"}${Number(m.step.toPrecision(3))} ${m.unit}`), h("td", {}, signed(m.moves)))))) : "");
    }
  }

  function corners(rows) { chainTable(rows.slice(0, 8), (row) => [h("span", { class: "note" }, "rates follow")]); }

  function chains(rows) {
    chainTable(rows.slice(0, 8), (row) => [
      h("div", {}, row.fails > 0 ? `${Number((row.fails * 1e6).toPrecision(3))} of a million fail` : "none fails"),
      h("div", { class: "eater" }, row.eaters.map(([name, share]) => `${name} ${Math.round(100 * share)} %`).join(", "))]);
  }

  function chainTable(rows, cells) {
    by("chains").replaceChildren(h("table", {}, h("tbody", {}, ...rows.map((row) => h("tr", {},
      h("th", { scope: "row" }, row.title), h("td", {}, h("div", { class: row.room < 0 ? "bad" : "" },
        `${row.worst[0]} to ${row.worst[1]} ${row.unit}; ${row.room < 0 ? "over by" : "room"} ${Number(Math.abs(row.room).toPrecision(3))}`), ...cells(row)))))));
  }

  /* ---- history, compare, save, make ---- */
  function trail() {
    by("undo").disabled = place <= 0;
    by("redo").disabled = place >= past.length - 1;
    by("save").textContent = now.text === saved ? "Saved" : "Save";
    by("history").replaceChildren(...past.map((one, n) => h("li", {}, h("button", { type: "button", "aria-current": n === place ? "step" : null,
      onclick: () => goTo(n) }, one.what))));
  }
  const goTo = (n) => { place = n; judge(past[n].text, [], past[n].what, false); };

  function compare() {
    if (!kept) { by("compared").replaceChildren(); return; }
    const was = new Map(kept.findings.map((one) => [one.code, one])), rows = [];
    for (const one of shown.findings) {
      const before = was.get(one.code);
      if (!before || before.verdict !== one.verdict || before.message !== one.message) rows.push([one.room, before, one]);
    }
    const sizes = Object.values(shown.dimensions).filter((d) => (kept.dimensions[d.key] || {}).text !== d.text);
    by("compared").replaceChildren(h("h2", {}, "Against what was kept"),
      rows.length || sizes.length ? h("table", {}, h("tbody", {},
        ...sizes.map((d) => h("tr", {}, h("th", { scope: "row" }, d.meaning), h("td", {}, `${(kept.dimensions[d.key] || { text: "none" }).text} → ${d.text}`))),
        ...rows.slice(0, 20).map(([room, before, one]) => h("tr", {}, h("th", { scope: "row" }, room),
          h("td", {}, before ? `${before.verdict}: ${before.message}` : "nothing", " → ", `${one.verdict}: ${one.message}`))))) : h("p", {}, "no difference"));
  }

  by("undo").onclick = () => goTo(place - 1);
  by("redo").onclick = () => goTo(place + 1);
  by("keep").onclick = () => { kept = shown; compare(); };
  by("save").onclick = async () => {
    const answer = await ask("/save", JSON.stringify({ text: now.text, sum: now.sum })), told = await answer.json();
    if (told.problems) { tell(told.problems.map((one) => one.rule).join("; ")); return; }
    now.sum = told.sum; saved = now.text;
    tell(""); state(`saved as ${told.file}`); trail();
  };
  by("make").onclick = async () => {
    by("make").disabled = true;
    by("files").replaceChildren(h("p", { role: "status" }, "building, sweeping, drawing"));
    for await (const one of messages(await ask("/make", JSON.stringify({ text: now.text })))) {
      if (one.step === "made") by("files").replaceChildren(h("ul", {}, ...one.files.map((name) => h("li", {},
        h("a", { href: `/files/${encodeURIComponent(name)}?token=${token}`, download: name }, name)))));
      else if (one.problems) by("files").replaceChildren(h("p", { class: "bad" }, one.problems.map((p) => p.rule).join("; ")));
    }
    by("make").disabled = false;
  };
  document.addEventListener("keydown", (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
    if (e.key === "s") { e.preventDefault(); by("save").click(); }
    if (e.key === "z" && !/^(INPUT|TEXTAREA)$/.test(e.target.tagName)) { e.preventDefault(); by("undo").click(); }
  });
  window.addEventListener("beforeunload", (e) => { if (now.text !== saved) e.preventDefault(); });

  /* ---- solids: the newest only ---- */
  let solidNumber = 0, solidText = "";
  async function solids(text) {
    if (text === solidText) return;
    solidText = text;
    const mine = ++solidNumber;
    view.note("3D follows");
    try {
      for await (const one of messages(await ask("/solids", JSON.stringify({ page, number: mine, text })))) {
        if (mine !== solidNumber) return;
        if (one.solids) { view.note(""); view.setSolids(one.solids); livePage.solid = mine; }
        else if (one.problems) view.note(`No 3D of this: ${one.problems.map((p) => p.rule).join("; ")}`);
      }
    } catch (error) { view.note("No 3D: the program does not answer."); }
  }

  /* ---- a scan ---- */
  const drop = document.querySelector(".scan");
  async function scan(file) {
    tell(""); state(`measuring ${file.name}`);
    const answer = await fetch(`/scan?name=${encodeURIComponent(file.name)}`, { method: "POST", headers: { "X-Token": token }, body: file });
    for await (const one of messages(answer)) {
      if (one.step === "scanned") judge(one.text, [], `from the scan ${file.name}`);
      else if (one.problems) { state(""); tell(one.problems.map((p) => p.rule).join("; ")); }
    }
  }
  by("scanfile").addEventListener("change", (e) => e.target.files[0] && scan(e.target.files[0]));
  for (const kind of ["dragover", "dragleave", "drop"]) drop.addEventListener(kind, (e) => {
    e.preventDefault();
    drop.classList.toggle("over", kind === "dragover");
    if (kind === "drop" && e.dataTransfer.files[0]) scan(e.dataTransfer.files[0]);
  });

  Fitting.themes(by("theme"), view.recolour);
  by("form").addEventListener("submit", (e) => e.preventDefault());
  (async () => {
    const answer = await fetch("/start", { headers: { "X-Token": token } }), told = await answer.json();
    now = { text: told.text, sum: told.sum };
    saved = told.sum ? told.text : "";
    judge(told.text, [], "as opened");
  })();
})();
