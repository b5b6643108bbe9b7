// Marks: from where is this shot equally hard for everybody in a group?

import { ask } from "../api.js";
import { button, field, make, table, wide } from "../dom.js";
import { gearBody } from "../state.js";
import { pocketWords, said } from "../words.js";
import { Paper, strokeBody } from "./paper.js";

/** Somebody of the practice log with a fit, or three invented students. */
function group(page) {
  const known = page.students().filter((s) => s.arm).map((s) => s.label);
  return known.length > 1 ? known.join(", ") : "K=starting, L=club, M=league";
}

export const marks = {
  name: "marks",
  title: "Marks",
  needsAll: true,
  open(host, page, work) {
    const students = make("input", { id: "marks-students", type: "text", value: group(page), spellcheck: "false" });
    const chance = make("input", { id: "marks-chance", type: "number", min: 0.5, max: 9.5, step: "any", value: 7, inputmode: "decimal" });
    const here = make("input", { id: "marks-here", type: "checkbox" });
    const head = make("p", { class: "finding" });
    const rows = wide("The marks");
    rows.hidden = true;
    const paper = new Paper("marks", page, work);
    host.append(
      make("div", { class: "view-top" },
        make("label", { class: "field across" }, make("span", {}, "Students: a level each, or a label of the practice log"), students), field("Makes in ten for everybody", chance),
        make("label", { class: "tick" }, here, make("span", {}, "with this object ball and pocket")),
        button("Draw up", () => work(drawUp), { id: "marks-draw", class: "main-button" })),
      head, rows, paper.box,
    );
    async function drawUp() {
      const shot = page.body();
      const place = here.checked ? { object: shot.object, pocket: shot.pocket } : {};
      const answer = await ask("marks", {
        ...gearBody(page.state()), ...strokeBody(page.state()), ...place,
        students: students.value.split(",").map((t) => t.trim()).filter(Boolean), chance: chance.value,
      });
      tell(answer);
      await paper.show(answer);
    }
    function tell(answer) {
      head.textContent = said(`Object ball ${answer.object_words}, into the ${pocketWords(answer.pocket)}. Lay a string from it to the rail: ${answer.string_words}. Each plays from a mark along it.`);
      rows.hidden = false;
      rows.replaceChildren(table("The marks", ["Student", "From the object ball", "Makes", "Taken to be"],
        answer.marks.map((m) => [m.student, said(`${Math.round(m.distance_mm / 10)} cm`), said(`${(10 * m.chance).toFixed(1)} in 10`), m.player])));
    }
    async function refresh() {}
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
