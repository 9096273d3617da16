"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent), { h } = Fitting;
  const view = Fitting.make(document.getElementById("view"));
  Fitting.themes(document.getElementById("theme"), view.recolour);
  view.update(data);
  view.setSolids(data.solids);
  view.go(data.ways.nominal.path.length ? 0.35 : 0);
  const urgent = data.findings.filter((one) => one.verdict !== "pass");
  Fitting.findings(document.getElementById("urgent"), urgent);
  document.getElementById("passed").textContent = `${data.findings.length - urgent.length} further checks pass.`;
  document.getElementById("sizes").append(Fitting.sizes(data.sizes));
  document.getElementById("margins").append(h("table", {}, h("caption", {}, "Tightest margins, worst case"), h("tbody", {},
    ...data.margins.map((one) => h("tr", {}, h("th", { scope: "row" }, one.what), h("td", {}, `${one.text} ${one.unit}`))))));
  document.getElementById("verdict").append(Fitting.verdictChip(data.verdict));
  window.shownFitting = view;
})();
