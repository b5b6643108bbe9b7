// Which error costs most on this shot, and what to practise.

import { ask } from "../api.js";
import { button, csvText, make, table, wide } from "../dom.js";
import { save } from "../keep.js";
import { said } from "../words.js";
import { takeAlong } from "./picture.js";

const UNITS = { deg: (v) => `±${v.toFixed(2)}°`, mm: (v) => `±${v.toFixed(1)}\u00a0mm`, 1: (v) => `±${Math.round(100 * v)}\u00a0%` };
const tenths = (p) => said(`${(10 * p).toFixed(1)} in 10`);

/** A share as a bar with its number. */
function bar(share) {
  const fill = make("span", { class: "bar-fill" });
  fill.style.width = `${Math.round(100 * share)}%`;
  return make("span", { class: "share" }, make("span", { class: "bar-room", "aria-hidden": "true" }, fill), `${Math.round(100 * share)} %`);
}

export const budget = {
  name: "budget",
  title: "What to practise",
  open(host, page, work) {
    let answer = null;
    const head = make("p", { class: "finding", id: "budget-headline" });
    const alone = make("p", { id: "budget-alone" });
    const rows = wide("Errors of this shot");
    const held = make("p", { class: "quiet" });
    const inCsv = button("CSV", () => {
      const given = answer.budget.inputs;
      save("budget.csv", new Blob([csvText([Object.keys(given[0]), ...given.map(Object.values)])], { type: "text/csv" }));
    }, { "aria-label": "Save these numbers as CSV" });
    const files = takeAlong(() => "budget", () => ({ ...page.body(), name: "budget" }), work);
    files.append(inCsv);
    host.append(head, alone, rows, held, files);
    return async function refresh() {
      const why = await page.noShot();
      for (const part of [alone, rows, held, files]) part.hidden = Boolean(why);
      if (why) {
        head.textContent = `${said(why)} Which error costs most can be said once there is a shot: move a ball.`;
        return;
      }
      answer = await ask("budget", page.body());
      head.textContent = said(answer.headline);
      alone.textContent = said(`Simulated: speed, the tip and dirty balls count too. With the aim alone, as in the number on top, it is ${tenths(answer.budget.makes_by_aim_alone)}.`);
      rows.replaceChildren(table("Errors of this shot",
        ["Error", "Spread", "Object ball", "Share", "If halved"],
        answer.budget.inputs.map((row, k) => [
          answer.labels[k], UNITS[row.unit](row.standard_uncertainty), `±${row.contribution_deg.toFixed(2)}°`,
          bar(row.share), tenths(row.makes_if_halved),
        ])));
      held.textContent = said(`${answer.held}. ${answer.stance ? `${answer.stance} ` : ""}Two shots in three are within a spread; “object ball” is how far off it sends the object ball. Simulated ${answer.budget.trials.toLocaleString("en")} times. ${answer.assumed_words}`);
    };
  },
};
