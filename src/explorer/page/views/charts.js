// Charts of the program, with this shot in them.

import { ask } from "../api.js";
import { choice, field, make } from "../dom.js";
import { Picture, draw, takeAlong } from "./picture.js";

/** Drawn by other views, with more beside them. */
const ELSEWHERE = ["budget"];

export const charts = {
  name: "charts",
  title: "Charts",
  open(host, page, work) {
    const pick = choice([], null, { id: "chart-name" });
    const picture = new Picture();
    const body = () => ({ ...page.body(), name: pick.value });
    pick.addEventListener("change", () => work(refresh));
    host.append(
      make("div", { class: "view-top" }, field("Question", pick)),
      picture.box,
      takeAlong(() => pick.value, body, work),
    );
    async function refresh() {
      if (!pick.options.length) {
        const all = (await ask("charts", {})).charts;
        const own = all.filter((c) => !c.of_student && !ELSEWHERE.includes(c.name));
        pick.append(...own.map((c) => new Option(c.question, c.name)));
      }
      picture.show(await draw(host, body()));
    }
    return refresh;
  },
};
