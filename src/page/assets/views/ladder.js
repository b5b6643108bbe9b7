// A ladder for this player: shots that step up evenly, each to be put on the table.

import { ask } from "../api.js";
import { button, choice, csvText, field, make } from "../dom.js";
import { save } from "../keep.js";
import { gearBody } from "../state.js";
import { inWords, pocketWords, said, withArticle } from "../words.js";
import { Paper, strokeBody } from "./paper.js";

const TOPICS = [
  ["mixed", "mixed shots"], ["thin-cuts", "thin cuts"], ["long-straight", "long straight shots"],
  ["side-pocket", "side pockets"], ["along-the-rail", "along the rail"],
];

/** Who climbs and how they stand: the page's player, or a club player when nobody is chosen. */
function climber(page) {
  const { level, student, arm, picture, hand, reach, seated } = page.body();
  return Object.fromEntries(Object.entries({ level, student, arm, picture, hand, reach, seated }).filter(([, v]) => v));
}

const cut = (r) => (r.cut_side === "straight" ? "straight in" : `a ${Math.round(r.cut_deg)}° cut to the ${r.cut_side}`);

export const ladder = {
  name: "ladder",
  title: "Ladder",
  needsAll: true,
  open(host, page, work) {
    const number = (id, value, most) => make("input", { id, type: "number", min: 1, max: most, step: "any", value, inputmode: "decimal" });
    const topic = choice(TOPICS, "mixed", { id: "ladder-practise" });
    const rungs = number("ladder-rungs", 6, 40);
    const from = number("ladder-from", 9, 9.9);
    const to = number("ladder-to", 3, 9.9);
    const others = make("input", { id: "ladder-others", type: "checkbox" });
    const withOthers = make("label", { class: "tick" }, others, make("span", {}, "with the other balls on the table in the way"));
    const list = make("ol", { class: "rungs" });
    const who = make("p", { class: "finding" });
    const paper = new Paper("ladder", page, work);
    const scores = button("Score sheet, CSV", () => save("ladder.csv", new Blob([csvText([
      ["student", "when", "sheet", "rung", "cue", "object", "pocket", "gear", "tries", "made"],
      ...paper.answer.rungs.map((r) => ["", "", paper.code ?? "", paper.code ? r.rung : "", r.cue, r.object, r.pocket, paper.answer.gear, r.pass.tries, ""]),
    ])], { type: "text/csv" })));
    paper.tools.append(scores);
    host.append(
      make("div", { class: "view-top" },
        field("Practise", topic), field("Rungs", rungs), field("First, makes in ten", from), field("Last, makes in ten", to),
        withOthers,
        button("Draw up", () => work(drawUp), { id: "ladder-draw", class: "main-button" })),
      who, list, paper.box,
    );
    async function drawUp() {
      const answer = await ask("ladder", {
        ...gearBody(page.state()), ...strokeBody(page.state()), ...climber(page),
        practise: topic.value, rungs: rungs.value, from: from.value, to: to.value,
        ...(others.checked && !withOthers.hidden ? { obstacle: page.state().balls.map((b) => b.at.join(",")) } : {}),
      });
      tell(answer);
      await paper.show(answer);
    }
    function tell(answer) {
      const table = inWords(page.gear(), answer.gear);
      who.textContent = said(`${answer.rungs.length} ${answer.rungs.length === 1 ? "rung" : "rungs"} for ${withArticle(answer.player)}, on ${withArticle(table, " table")}.`);
      if (answer.obstacle_words?.length) who.textContent += ` Balls in the way: ${answer.obstacle_words.join("; ")}.`;
      // A row of a file cannot say that a ball stands in the way; the sheet's code can.
      scores.hidden = Boolean(answer.obstacles?.length);
      list.replaceChildren(...answer.rungs.map((r) => make("li", {},
        make("p", {}, make("b", {}, said(`${(10 * r.chance).toFixed(1)} in 10`)), `, pass ${r.pass.makes} of ${r.pass.tries}`),
        make("p", {}, said(`Object ball ${r.object_words}. Cue ball ${r.cue_words}. Into the ${pocketWords(r.pocket)}, ${cut(r)}.`)),
        r.harder.length ? make("p", { class: "quiet" }, said(`Harder: ${r.harder.join("; ")}.`)) : "",
        r.awkward?.length ? make("p", { class: "quiet" }, said(`Awkward: ${r.awkward.join("; ")}.`)) : "",
        button("Put on the table", () => page.place(r), { "aria-label": `Put rung ${r.rung} on the table` }))));
    }
    async function refresh() {
      withOthers.hidden = !page.state().balls.length;
    }
    /** What was drawn up before a reload. */
    refresh.again = () => work(async () => {
      const answer = paper.again();
      if (!answer) return drawUp();
      tell(answer);
      return paper.draw();
    });
    return refresh;
  },
};
