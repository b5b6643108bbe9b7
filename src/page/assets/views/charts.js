// Charts of the program, with this shot in them.

import { ask } from "../api.js";
import { choice, field, make } from "../dom.js";
import { said } from "../words.js";
import { Picture, draw, takeAlong } from "./picture.js";

/** Drawn by other views, with more beside them. */
const ELSEWHERE = ["budget"];

export const charts = {
  name: "charts",
  live: true,
  title: "Charts",
  open(host, page, work) {
    const pick = choice([], null, { id: "chart-name" });
    const picture = new Picture();
    const nothing = make("p", { class: "nothing", role: "status" });
    const body = () => ({ ...page.body(), name: pick.value });
    const files = takeAlong(() => pick.value, body, work);
    pick.addEventListener("change", () => work(refresh));
    host.append(
      make("div", { class: "view-top" }, field("Question", pick)),
      nothing, picture.box, files,
    );
    let newest = 0;
    async function refresh() {
      newest += 1;
      const mine = newest;
      if (!pick.options.length) {
        const all = (await ask("charts", {})).charts;
        const own = all.filter((c) => !c.of_student && !ELSEWHERE.includes(c.name));
        pick.append(...own.map((c) => new Option(c.question, c.name)));
      }
      const drawn = await draw(host, body());
      // A quick answer is not overwritten by a slow one that was asked for before it.
      if (mine !== newest) return;
      nothing.textContent = drawn.why ? said(`Nothing to draw here: ${drawn.why}. Move a ball, or ask another question.`) : "";
      files.hidden = Boolean(drawn.why);
      picture.box.dataset.chart = pick.value;
      picture.show(drawn.why ? null : drawn);
    }
    return refresh;
  },
};
