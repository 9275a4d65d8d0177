"use strict";
/* Tables are sorted and filtered by DataTables. What is written here joins the plan view to what is told of its parts. */
(() => {
  const select = (query, root = document) => Array.from(root.querySelectorAll(query));

  for (const table of select("table.sorted")) {
    const name = table.caption.textContent;
    new DataTable(table, {
      paging: false,
      order: [],
      autoWidth: false,
      layout: { topStart: "search", topEnd: "info", bottomStart: null, bottomEnd: null },
      language: {
        search: "Filter",
        info: "rows: _TOTAL_",
        infoEmpty: "rows: 0",
        infoFiltered: "of _MAX_",
        zeroRecords: "No row holds what is typed.",
      },
    });
    const sheet = table.closest(".sheet");
    for (const field of select("input[type=search]", sheet)) field.setAttribute("aria-label", `Filter: ${name}`);
    const frame = table.closest(".dt-layout-table") || sheet;
    frame.setAttribute("tabindex", "0");
    frame.setAttribute("role", "region");
    frame.setAttribute("aria-label", `${name}, table`);
  }

  const positions = JSON.parse(document.getElementById("node-positions").textContent);
  const SVG = "http://www.w3.org/2000/svg";
  const ORDER = ["feed", "return", "out"];
  let kept = "";

  /* The way moved to its right by some points: out and back run in opposite directions, and so lie side by side. */
  function beside(points, by) {
    const normal = (a, b) => {
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
      return [(a[1] - b[1]) / length, (b[0] - a[0]) / length];
    };
    return points.map((point, n) => {
      const sides = [];
      if (n > 0) sides.push(normal(points[n - 1], point));
      if (n < points.length - 1) sides.push(normal(point, points[n + 1]));
      const mean = (k) => sides.reduce((sum, side) => sum + side[k], 0) / (sides.length || 1);
      return [point[0] + by * mean(0), point[1] + by * mean(1)];
    });
  }

  function draw(about) {
    for (const line of select(".run")) line.remove();
    if (!about) return;
    for (const [name, at] of Object.entries(positions)) {
      const drawing = document.querySelector(`svg.plan.${name}`);
      const layer = drawing.querySelector(".parts");
      const end = about.dataset.kind === "load" ? at.loads[about.dataset.name] : null;
      const runs = JSON.parse(about.dataset.runs);
      runs.sort((a, b) => ORDER.indexOf(a[0]) - ORDER.indexOf(b[0]));
      for (const [role, route] of runs) {
        const points = route.map((place) => at.places[place]).filter(Boolean);
        if (end && points.length && role === "out") points.push(end);
        if (end && points.length && role === "return") points.unshift(end);
        for (const under of [true, false]) {
          const line = document.createElementNS(SVG, "polyline");
          line.setAttribute("points", beside(points, role === "feed" ? 0 : 4).map((point) => point.join(",")).join(" "));
          line.setAttribute("class", `run ${role}${under ? " under" : ""}`);
          line.setAttribute("aria-hidden", "true");
          layer.insertBefore(line, layer.querySelector(".thing.load, .thing.unit, .thing.source"));
        }
      }
    }
  }

  function show(id) {
    for (const one of select(".about")) one.hidden = one.id !== id;
    document.getElementById("about-none").hidden = Boolean(id);
    for (const thing of select(".thing")) thing.classList.toggle("lit", thing.dataset.about === id);
    draw(id ? document.getElementById(id) : null);
  }

  function keep(id) {
    kept = id;
    for (const pick of select("[data-pick]")) {
      pick.value = id && id.startsWith(`${pick.dataset.pick}-`) ? id : "";
    }
    for (const thing of select(".thing[role=button]")) thing.setAttribute("aria-pressed", String(thing.dataset.about === id));
    show(id);
  }

  for (const thing of select(".thing")) {
    const id = thing.dataset.about;
    thing.addEventListener("pointerenter", (event) => { if (event.pointerType === "mouse") show(id); });
    thing.addEventListener("pointerleave", (event) => { if (event.pointerType === "mouse") show(kept); });
    // a press of the mouse shows nothing before it is a click: what appears might come between
    thing.addEventListener("focus", () => { if (thing.matches(":focus-visible")) show(id); });
    thing.addEventListener("blur", () => show(kept));
    thing.addEventListener("click", () => keep(id));
    thing.addEventListener("keydown", (event) => {
      if (event.key === "Enter" || event.key === " ") { event.preventDefault(); keep(id); }
    });
  }
  document.addEventListener("keydown", (event) => { if (event.key === "Escape") keep(""); });
  document.getElementById("clear").addEventListener("click", () => keep(""));
  for (const pick of select("[data-pick]")) pick.addEventListener("change", () => keep(pick.value));

  /* A printed page shows the figures of the outputs too. */
  const folded = () => select("details:not([open])");
  let opened = [];
  window.addEventListener("beforeprint", () => { opened = folded(); for (const one of opened) one.open = true; });
  window.addEventListener("afterprint", () => { for (const one of opened) one.open = false; });
})();
