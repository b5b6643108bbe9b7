// Ways of aiming on this shot: what each would do, drawn over the room there is.

import { ask } from "../api.js";
import { button, csvText, make } from "../dom.js";
import { save } from "../keep.js";
import { element } from "../svg.js";

const inTen = (p) => (p < 0.05 ? "hardly ever" : p > 0.95 ? "nearly always" : `${Math.round(10 * p)} in 10`);
const WORD = { clean: "goes in untouched", direct: "goes in off the jaws", drop: "goes in off the rail", no: "misses" };

/** The room as a bar, fuller on the left, and where this way sends the cue ball. */
function strip(row, most) {
  const svg = element("svg", { class: "strip", viewBox: "-100 0 200 26", preserveAspectRatio: "none", "aria-hidden": "true" });
  const at = (mm) => Math.min(Math.max((95 * mm) / most, -98), 98);
  const line = -row.too_full_mm;
  const [from, to] = [at(line - row.room_full_mm), at(line + row.room_thin_mm)];
  element("line", { class: "strip-axis", x1: -98, x2: 98, y1: 13, y2: 13 }, svg);
  element("rect", { class: "strip-room", x: from, width: Math.max(to - from, 0.5), y: 6, height: 14 }, svg);
  element("line", { class: "strip-way", x1: at(line), x2: at(line), y1: 0, y2: 26 }, svg);
  return svg;
}

function card(way, most) {
  const { row } = way;
  const said = way.says.join("; ");
  const chance = row.chance_by_way == null ? "" : make("p", { class: "way-chance" },
    make("b", {}, inTen(row.chance_by_way)), ` by it, ${inTen(row.chance_right)} aimed right`);
  return make("li", { class: "way-card", "data-drops": row.drops ?? "none" },
    make("h3", {}, row.way.replaceAll("-", " ")),
    make("p", { class: "quiet" }, way.rule),
    row.room_full_mm == null ? "" : strip(row, most),
    make("p", {}, make("span", { class: "verdict" }, row.drops ? WORD[row.drops] : "no line"), ` · ${said}.`),
    chance,
    ...way.reach.map((r) => make("p", { class: "quiet" }, `At this distance: ${r.says}.`)),
    ...(way.assumes.length ? [make("p", { class: "quiet" }, `Assumed: ${way.assumes.join("; ")}.`)] : []));
}

export const aims = {
  name: "aims",
  title: "Ways of aiming",
  open(host, page) {
    let answer = null;
    const list = make("ul", { class: "ways" });
    const inCsv = button("CSV", () => {
      const rows = answer.ways.map((w) => w.row);
      save("aims.csv", new Blob([csvText([Object.keys(rows[0]), ...rows.map(Object.values)])], { type: "text/csv" }));
    }, { "aria-label": "Save these numbers as CSV" });
    host.append(
      make("p", { class: "quiet" }, "The bar is the room there is, fuller hits on the left; the upright line is where the way sends the cue ball. The line is the cue ball’s, not the stick’s."),
      list,
      make("p", { class: "row" }, make("span", { class: "quiet" }, "Save"), inCsv),
    );
    return async function refresh() {
      answer = await ask("aims", page.body());
      const told = answer.ways.filter((w) => w.row.room_full_mm != null);
      const reach = (r) => Math.max(Math.abs(r.too_full_mm), Math.abs(r.too_full_mm + r.room_full_mm), Math.abs(-r.too_full_mm + r.room_thin_mm));
      // One scale for all, so that they can be held against each other; wild ones stop at its end.
      const far = told.map((w) => reach(w.row)).sort((a, b) => a - b);
      const most = far.length ? far[Math.floor(0.75 * (far.length - 1))] : 1;
      list.replaceChildren(...answer.ways.map((way) => card(way, most)));
    };
  },
};
