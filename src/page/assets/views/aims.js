// Ways of aiming on this shot: what each would do, drawn over the room there is.

import { ask } from "../api.js";
import { button, csvText, make } from "../dom.js";
import { save } from "../keep.js";
import { element } from "../svg.js";
import { inTen, said, withArticle } from "../words.js";

const WORD = { clean: "clean", direct: "off the jaws", drop: "off the rail", no: "misses" };

/** What a player who follows the way gets: a chance where somebody aims, else how the ball drops. */
function gets(row) {
  if (row.drops == null) return "no line";
  return row.chance_by_way == null ? WORD[row.drops] : inTen(row.chance_by_way);
}

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

const sentence = (text) => said(`${text[0].toUpperCase()}${text.slice(1)}.`);

function card(way, most) {
  const { row } = way;
  return make("li", { class: "way-card", "data-drops": row.drops ?? "none" },
    make("h3", {}, make("span", {}, row.way.replaceAll("-", " ")), make("span", { class: "gets" }, gets(row))),
    make("p", { class: "quiet" }, sentence(way.rule)),
    row.room_full_mm == null ? "" : strip(row, most),
    ...way.says.map((s) => make("p", {}, sentence(s))),
    ...way.reach.map((r) => make("p", { class: "quiet" }, said(`At this distance, over all cuts: ${r.says}.`))),
    ...(way.assumes.length ? [make("p", { class: "quiet" }, said(`Assumed: ${way.assumes.join("; ")}.`))] : []));
}

export const aims = {
  name: "aims",
  live: true,
  title: "Aiming methods",
  open(host, page) {
    let answer = null;
    const list = make("ul", { class: "ways" });
    const right = make("p", { class: "finding", id: "aims-headline" });
    const inCsv = button("CSV", () => {
      const rows = answer.ways.map((w) => w.row);
      save("aims.csv", new Blob([csvText([Object.keys(rows[0]), ...rows.map(Object.values)])], { type: "text/csv" }));
    }, { "aria-label": "Save these numbers as CSV" });
    const known = [
      make("p", { class: "quiet" }, "The bar is the margin there is, fuller hits on the left; the upright line is where the method sends the cue ball. The line is the cue ball’s, not the stick’s."),
      list,
      make("p", { class: "row" }, make("span", { class: "quiet" }, "Save"), inCsv),
    ];
    host.append(right, ...known);
    return async function refresh() {
      const why = await page.noShot();
      for (const part of known) part.hidden = Boolean(why);
      if (why) {
        right.textContent = `${said(why)} There is nothing to aim at until a ball is moved.`;
        return;
      }
      answer = await ask("aims", page.body());
      const told = answer.ways.filter((w) => w.row.room_full_mm != null);
      const reach = (r) => Math.max(Math.abs(r.too_full_mm), Math.abs(r.too_full_mm + r.room_full_mm), Math.abs(-r.too_full_mm + r.room_thin_mm));
      // One scale for all, so that they can be held against each other; wild ones stop at its end.
      const far = told.map((w) => reach(w.row)).sort((a, b) => a - b);
      const most = far.length ? far[Math.floor(0.75 * (far.length - 1))] : 1;
      const best = told.find((w) => w.row.chance_right != null)?.row;
      right.textContent = best ? `Aimed at the middle of what goes in clean: ${inTen(best.chance_right)} for ${withArticle(answer.player)}. By each aiming method:` : "What each aiming method does with this shot:";
      list.replaceChildren(...answer.ways.map((way) => card(way, most)));
    };
  },
};
