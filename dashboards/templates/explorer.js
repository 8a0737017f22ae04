// Animals like this one: the published groups, filtered in the browser. Nothing is computed here that is not published.
"use strict";
const data = JSON.parse(document.getElementById("rows").textContent);
const AXES = ["injury", "body_site", "taxon_group", "severity"];
const NAMES = { injury: "injury", body_site: "body site", taxon_group: "kind of animal", severity: "severity" };
const THIN = "\u202f";
const result = document.getElementById("result");

// ---- words
const missing = value => value === null || value === undefined;
const count = value => missing(value) ? "–" : Math.round(value).toLocaleString("en-GB");
const number = value => missing(value) ? "–" : value.toFixed(1);
const percent = value => missing(value) ? "–" : number(value) + THIN + "%";
const span = (low, high) => missing(low) || missing(high) ? "–" : number(low) + " to " + number(high) + THIN + "%";
const animals = value => count(value) + (value === 1 ? " animal" : " animals");
const listed = words => words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " and " + words[words.length - 1];
const lower = word => word.slice(0, 1).toLowerCase() + word.slice(1);

// ---- elements; text never becomes markup
function element(name, attributes, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
  for (const child of children.flat()) if (!missing(child)) made.append(child);
  return made;
}
function drawn(name, attributes, ...children) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
  for (const child of children.flat()) made.append(child);
  return made;
}
function table(caption, headings, rows) {
  const head = element("tr", {}, headings.map((text, column) =>
    element("th", { scope: "col", class: column ? "right" : "left" }, text)));
  const body = rows.map(cells => element("tr", {}, cells.map((cell, column) => column
    ? element("td", { class: "right" }, cell) : element("th", { scope: "row", class: "left" }, cell))));
  const made = element("table", {}, element("caption", { class: "unseen" }, caption),
    element("thead", {}, head), element("tbody", {}, body));
  return element("div", { class: "sheet", role: "region", "aria-label": caption, tabindex: "0" }, made);
}

// ---- the nearest published rows
const fits = (row, asked, axes) => axes.every(axis => row[axis] === "all" || row[axis] === asked[axis]);
function nearest(asked) {
  const rows = data.groups.filter(row => fits(row, asked, AXES));
  return rows.reduce((best, row) => best === null || row.rank < best.rank ? row : best, null);
}
function nearestBy(rows, asked, axes, told) {
  // The group that leaves fewest axes open and of which anything is told; the body site goes before the kind of animal.
  const groups = new Map();
  for (const row of rows.filter(row => fits(row, asked, axes))) {
    const key = axes.map(axis => row[axis]).join("|");
    groups.set(key, [...(groups.get(key) || []), row]);
  }
  const open = group => axes.filter(axis => group[0][axis] === "all").length * 2 + (group[0].taxon_group === "all" ? 1 : 0);
  const shown = [...groups.values()].filter(group => group.some(told));
  return shown.sort((one, other) => open(one) - open(other))[0] || [];
}
const labelOf = (axis, code) => (data.axes[axis].find(option => option.code === code) || { label: code }).label;
function title(codes, axes) {
  const words = axes.filter(axis => codes[axis] && codes[axis] !== "all").map(axis => labelOf(axis, codes[axis]));
  return words.length ? [words[0], ...words.slice(1).map(lower)].join(", ") : "All animals injured by tackle";
}
const ORDER = ["taxon_group", "injury", "body_site", "severity"];

// ---- pictures; on a phone they are drawn narrower, so that their words keep their size
const isPhone = () => window.matchMedia("(max-width: 37.5rem)").matches;
function rate(group) {
  const width = isPhone() ? 350 : 600;
  const x = value => 10 + value * (width - 20) / 100;
  const known = group.released + group.died + group.euthanased;
  const words = "Released: " + percent(group.percent_released) + ", 95 % interval " +
    span(group.wilson_low, group.wilson_high) + ", of " + known + " whose ending is known.";
  const ticks = [0, 20, 40, 60, 80, 100].map(value => [
    drawn("line", { x1: x(value), x2: x(value), y1: 6, y2: 44, stroke: "#d5dfe0" }),
    drawn("text", { x: x(value), y: 62, "text-anchor": "middle", class: "tick" }, String(value))]);
  const marks = missing(group.percent_released) ? [] : [
    drawn("line", { x1: x(group.wilson_low), x2: x(group.wilson_high), y1: 25, y2: 25, stroke: "#0b6470", "stroke-width": 3 }),
    drawn("circle", { cx: x(group.percent_released), cy: 25, r: 8, fill: "#0b6470" })];
  return drawn("svg", { viewBox: `0 0 ${width} 92`, role: "img", "aria-label": words, class: "drawing" }, ticks.flat(), marks,
    drawn("text", { x: width / 2, y: 84, "text-anchor": "middle", class: "tick" }, "Released, % of animals whose ending is known"));
}
function curve(rows) {
  const width = isPhone() ? 350 : 660;
  const left = 38, right = isPhone() ? width - 4 : 470, top = 12, bottom = 210;
  const x = place => left + 20 + place * (right - left - 40) / Math.max(1, rows.length - 1);
  const y = value => bottom - value * (bottom - top) / 100;
  const grid = [0, 20, 40, 60, 80, 100].map(value => [
    drawn("line", { x1: left, x2: right, y1: y(value), y2: y(value), stroke: "#d5dfe0" }),
    drawn("text", { x: left - 8, y: y(value) + 4, "text-anchor": "end", class: "tick" }, String(value))]);
  const days = rows.map((row, place) =>
    drawn("text", { x: x(place), y: bottom + 20, "text-anchor": "middle", class: "tick" }, String(row.day)));
  const series = [["released", "#0b6470", "Released", ""], ["dead", "#33213f", "Died or euthanased", "5 4"]];
  const parts = series.map(([name, colour, label, dashes], which) => {
    const told = rows.map((row, place) => ({ row, place })).filter(({ row }) => !missing(row[name]));
    const shift = which * 7 - 3.5;
    const line = told.map(({ row, place }) => (x(place) + shift) + "," + y(row[name])).join(" ");
    const marks = told.map(({ row, place }) => [
      missing(row[name + "_low"]) ? [] : drawn("line", { x1: x(place) + shift, x2: x(place) + shift,
        y1: y(row[name + "_low"]), y2: y(row[name + "_high"]), stroke: colour, "stroke-width": 2.5 }),
      which ? drawn("rect", { x: x(place) + shift - 5, y: y(row[name]) - 5, width: 10, height: 10, fill: colour })
        : drawn("circle", { cx: x(place) + shift, cy: y(row[name]), r: 6, fill: colour })]);
    const last = told[told.length - 1];
    const other = last && last.row[which ? "released" : "dead"];
    const beside = last && (last.row[name] >= other ? -14 : 26);
    const at = isPhone() ? { x: right - 6, y: y(last ? last.row[name] : 0) + beside, "text-anchor": "end" } : { x: right + 4, y: y(last ? last.row[name] : 0) + 5 };
    const end = last ? drawn("text", { ...at, class: "name", fill: colour }, label + " " + Math.round(last.row[name]) + THIN + "%") : [];
    return [drawn("polyline", { points: line, fill: "none", stroke: colour, "stroke-width": 2, "stroke-dasharray": dashes }), marks.flat(2), end];
  });
  const said = rows.map(row => "by day " + row.day + ", " + percent(row.released) + " released and " + percent(row.dead) + " dead");
  return drawn("svg", { viewBox: `0 0 ${width} 258`, role: "img", "aria-label": "Of the animals admitted alive: " + said.join("; ") + ".", class: "drawing" },
    grid.flat(), days, parts.flat(2),
    drawn("text", { x: (left + right) / 2, y: bottom + 42, "text-anchor": "middle", class: "tick" }, "Days since admission (not to scale)"));
}

// ---- the parts of the answer
function released(group) {
  const known = group.released + group.died + group.euthanased;
  const clinics = missing(group.clustered_low) ? "" : " Allowing for differences between clinics: " + span(group.clustered_low, group.clustered_high) + ".";
  return [element("h3", {}, "How they ended"),
    element("p", {}, element("span", { class: "large" }, percent(group.percent_released)),
      " were released: " + count(group.released) + " of " + count(known) + " whose ending is known; 95" + THIN + "% interval " +
      span(group.wilson_low, group.wilson_high) + "." + clinics),
    element("figure", {}, rate(group)),
    table("How they ended", ["Ending", "Animals"], [["Released", count(group.released)], ["Died", count(group.died)],
      ["Euthanased", count(group.euthanased)], ["Otherwise", count(group.other_known)], ["Not known, or still in care", count(group.unresolved)]])];
}
function timed(group) {
  const rows = data.days.filter(row => row.rank === group.rank && AXES.every(axis => row[axis] === group[axis]));
  const stay = missing(group.median_days) ? "" : "The released stayed " + count(group.median_days) + " days (median; the middle half " +
    count(group.quartile_low) + " to " + count(group.quartile_high) + " days).";
  if (!rows.length) return [];
  return [element("h3", {}, "When"), element("figure", {}, curve(rows),
    element("figcaption", {}, "Endings compete; animals still in care count for as long as they were seen. Lines through the marks: 95" + THIN + "% limits.")),
    element("p", {}, stay),
    table("Endings by day", ["By day", "Released", "95 % limits", "Died or euthanased", "95 % limits"], rows.map(row => [String(row.day),
      percent(row.released), span(row.released_low, row.released_high), percent(row.dead), span(row.dead_low, row.dead_high)]))];
}
function treated(asked) {
  const axes = ["injury", "taxon_group", "body_site"];
  const rows = asked.injury === "all" ? [] : nearestBy(data.treated, asked, axes, row => !missing(row.percent_released));
  const parts = [element("h3", {}, "What was done, and how animals so treated ended")];
  if (asked.injury === "all") return [...parts, element("p", {}, "Choose an injury to see what was done.")];
  if (!rows.length) return [...parts, element("p", {}, "Too few animals or clinics to tell.")];
  const shown = rows.filter(row => !missing(row.animals)).sort((one, other) => other.animals - one.animals);
  const hidden = rows.length - shown.length;
  const pointed = new Set(data.pointers.filter(row => axes.every(axis => row[axis] === rows[0][axis])).map(row => row.asks));
  return [...parts,
    element("p", {}, title(rows[0], ORDER) + ". These rows say how animals so treated ended, counted from the day of that treatment; not what the treatment did: the sickest are euthanased or operated late, the well are watched. An animal with several treatments stands in each row that it reached."),
    table("What was done", ["Treatment", "Animals", "Released", "95 % interval", "With one severity for all", "Median days to release"], shown.map(row =>
      [row.label, count(row.animals), percent(row.percent_released), span(row.wilson_low, row.wilson_high), percent(row.standardised), count(row.median_days)])),
    hidden ? element("p", { class: "key" }, hidden + (hidden === 1 ? " treatment is" : " treatments are") + " withheld: too few clinics, or it would give such a one away.") : null,
    pointed.size ? element("p", {}, "Which of them works is not told by this table but asked by planned comparisons, in the report:") : null,
    pointed.size ? element("ul", {}, [...pointed].map(asks => element("li", {}, element("a", { href: data.report + "#effects" }, asks)))) : null];
}
function ahead(asked) {
  if (asked.injury !== "ingested") return [];
  const rows = nearestBy(data.ahead, asked, ["taxon_group", "body_site"], row => !missing(row.chance)).filter(row => !missing(row.chance));
  if (!rows.length) return [];
  const landmarks = [...new Set(rows.map(row => row.landmark))];
  const events = [...new Set(rows.map(row => row.event))];
  const cell = (landmark, event) => { const row = rows.find(row => row.landmark === landmark && row.event === event);
    if (!row) return "–";
    return percent(row.chance) + (missing(row.low) ? "" : " (" + number(row.low) + "–" + number(row.high) + ")"); };
  return [element("h3", {}, "A hook under watch: what comes first within " + rows[0].horizon_days + " days"),
    element("p", {}, title(rows[0], ORDER) + ". Chances under the clinics’ usual practice, not “if left alone”; a passing is seen only at the next film. In brackets: 95" + THIN + "% limits."),
    table("A hook under watch", ["Asked on", ...events], landmarks.map(landmark => [landmark, ...events.map(event => cell(landmark, event))]))];
}
function oneYear(year) {
  const row = data.years.find(row => row.year === year);
  if (!row) return [];
  const rateOf = missing(row.percent) ? "too few for a percentage" : percent(row.percent) + " (" + row.numerator + " of " + row.denominator + " whose ending is known; between " +
    percent(row.bound_low) + " and " + percent(row.bound_high) + " depending on the open cases)";
  return [element("h3", {}, "The year " + year), element("p", {}, "One year is too few to be told by kind of animal. Of all animals injured by tackle and admitted alive in " + year + ", released: " + rateOf + ".")];
}

// ---- state
const selects = Object.fromEntries([...AXES, "year"].map(axis => [axis, document.getElementById(axis)]));
function asked() { return Object.fromEntries(Object.entries(selects).map(([axis, select]) => [axis, select.value])); }
function show() {
  const now = asked();
  const group = nearest(now);
  if (!group) { result.replaceChildren(element("p", {}, "No group of animals is large enough to be told.")); return; }
  const dropped = AXES.filter(axis => now[axis] !== "all" && group[axis] === "all").map(axis => NAMES[axis]);
  const wider = dropped.length ? element("p", { class: "note" }, "Too few animals or clinics were alike in all that you chose, so this is the nearest wider group: " + listed(dropped) + " left open.") : null;
  const parts = [element("h2", { id: "result-title" }, title(group, ORDER)), wider,
    element("p", { class: "lead" }, animals(group.animals) + " came alive, to " + count(group.clinics) + " clinics."),
    ...released(group), ...timed(group), ...ahead(now), ...treated(now), ...(now.year === "all" ? [] : oneYear(now.year))];
  result.replaceChildren(...parts.filter(part => part !== null));
  document.getElementById("said").textContent = title(group, ORDER) + ": " + animals(group.animals) + ", released " + percent(group.percent_released) + ".";
}
function keep() {
  const chosen = Object.entries(asked()).filter(([, value]) => value !== "all");
  history.replaceState(null, "", chosen.length ? "#" + new URLSearchParams(chosen) : location.pathname + location.search);
  show();
}
function restore() {
  const kept = new URLSearchParams(location.hash.slice(1));
  for (const [axis, select] of Object.entries(selects)) {
    const value = kept.get(axis) || "all";
    select.value = [...select.options].some(option => option.value === value) ? value : "all";
  }
  show();
}
for (const select of Object.values(selects)) select.addEventListener("change", keep);
document.querySelector("form").addEventListener("submit", event => event.preventDefault());
document.getElementById("clear").addEventListener("click", () => { for (const select of Object.values(selects)) select.value = "all"; keep(); });
window.addEventListener("hashchange", restore);
window.matchMedia("(max-width: 37.5rem)").addEventListener("change", show);
restore();
