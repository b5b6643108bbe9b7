// What the practice log says of a student.

import { ask } from "../api.js";
import { choice, field, make } from "../dom.js";
import { said } from "../words.js";
import { Period } from "../period.js";
import { Picture, draw, takeAlong } from "./picture.js";

const CHARTS = ["skill-evenings", "skill-predictions"];

export const skill = {
  name: "skill",
  title: "A student’s skill",
  needsLog: true,
  needsAll: true,
  open(host, page, work) {
    let people = page.students();
    if (!people.length) {
      host.append(make("p", {}, "Nobody is in the practice log yet. ", make("a", { href: "/tally" }, "Count tries at the table"), " and add the first student there."));
      return async () => {};
    }
    const chosen = page.state().student ?? people.find((s) => s.arm)?.label ?? people[0].label;
    const pick = choice(people.map((s) => [s.label, `${s.label}, ${s.tries} ${s.tries === 1 ? "try" : "tries"}`]), chosen, { id: "skill-student" });
    const lines = make("ul", { class: "said" });
    const pictures = CHARTS.map((name) => {
      const picture = new Picture({ "data-chart": name });
      const files = takeAlong(() => `${name}-${pick.value}`, () => ({ name, student: pick.value }), work);
      return { name, picture, files, box: make("div", {}, picture.box, files) };
    });
    const period = new Period("skill-period", async () => {
      await page.otherPeriod();
      people = page.students();
      await work(load);
    }, (words) => work(async () => { throw new Error(words); }));
    pick.addEventListener("change", () => work(load));
    host.append(
      make("div", { class: "view-top" }, field("Student", pick), period.box),
      lines, make("div", { class: "pair" }, ...pictures.map((p) => p.box)),
    );
    let newest = 0;
    async function load() {
      newest += 1;
      const mine = newest;
      const student = pick.value;
      period.show(people.find((s) => s.label === student), page.usualPeriod());
      const answer = await ask("skill", { student });
      // A quick answer is not overwritten by a slow one that was asked for before it.
      if (mine !== newest) return;
      lines.replaceChildren(...answer.lines.map((line) => make("li", {}, said(line))));
      // What the program would refuse to draw is not asked for.
      const told = { "skill-evenings": answer.skill.by_day.filter((d) => d.spread).length > 1, "skill-predictions": answer.skill.report.bands.length > 0 };
      for (const { name, picture, files, box } of pictures) {
        files.hidden = !told[name];
        const drawn = told[name] ? { ...(await draw(box, { name, student })) } : null;
        if (mine !== newest) return;
        picture.show(drawn);
      }
    }
    let first = true;
    return async () => {
      if (first) await load();
      first = false;
    };
  },
};
