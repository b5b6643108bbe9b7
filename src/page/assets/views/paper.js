// What a ladder and a marks sheet have in common: pages to look at, files, and the practice log.

import { ask, download } from "../api.js";
import { button, make } from "../dom.js";
import { save } from "../keep.js";
import { gearBody } from "../state.js";

/** Options of the stroke that go with every shot of a sheet. */
const STROKE = ["pace", "roll", "hit", "side", "bridge"];

export function strokeBody(state) {
  const body = Object.fromEntries(STROKE.filter((k) => state[k]).map((k) => [k, state[k]]));
  if (body.roll) delete body.hit;
  return body;
}

export class Paper {
  /** `what` is ladder or marks; `work` runs a task and tells its faults. */
  constructor(what, page, work) {
    this.what = what;
    this.page = page;
    this.answer = null;
    this.code = null;
    this.pages = make("div", { class: "pages" });
    this.kept = make("p", { class: "kept", role: "status" });
    const file = (label, plain) => button(label, () => work(async () => {
      save(`${what}${plain ? "-plain" : ""}.pdf`, await download("sheet", { ...this.body(), plain }));
    }), { "data-plain": String(plain) });
    this.tools = make("p", { class: "row" }, file("Booklet, PDF", false), file("Plain booklet, PDF", true));
    if (page.hasLog()) this.tools.append(button("Keep for tallies", () => work(() => this.keep()), { id: `keep-${what}` }));
    this.box = make("div", {}, this.tools, this.kept, this.pages);
    this.box.hidden = true;
  }

  body() {
    return { [this.what]: this.answer, ...(this.code ? { code: this.code } : {}), ...gearBody(this.page.state()) };
  }

  /** Shows an answer's pages. */
  async show(answer) {
    this.answer = answer;
    this.code = null;
    this.showKept();
    this.box.hidden = false;
    this.remember();
    await this.draw();
  }

  /** Over a reload of this tab the sheet stays what it is, with its code: drawn up anew it could be another, since
   * the log has more tries by then. */
  remember() {
    const { answer, code } = this;
    try {
      sessionStorage.setItem(`paper ${this.what}`, JSON.stringify({ answer, code, of: JSON.stringify(gearBody(this.page.state())) }));
    } catch {
      // No room: then it is drawn up again.
    }
  }

  /** What was shown before a reload, for the same table; gives its answer, or nothing. */
  again() {
    try {
      const { answer, code, of } = JSON.parse(sessionStorage.getItem(`paper ${this.what}`)) ?? {};
      if (!answer || of !== JSON.stringify(gearBody(this.page.state()))) return null;
      Object.assign(this, { answer, code });
      this.showKept();
      this.box.hidden = false;
      return answer;
    } catch {
      return null;
    }
  }

  showKept() {
    this.kept.replaceChildren(...(this.code ? ["Kept. Its code is ", make("b", { class: "code" }, this.code), ". ",
      make("a", { href: `/tally?code=${this.code}` }, "Count tries at the table")] : []));
  }

  async draw() {
    const { pages } = await ask("preview", this.body());
    for (const old of this.pages.querySelectorAll("img")) URL.revokeObjectURL(old.src);
    this.pages.replaceChildren(...pages.map((svg, k) => make("img", {
      class: "page", alt: `Page ${k + 1} of ${pages.length} of the booklet`,
      src: URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" })),
    })));
  }

  async keep() {
    const kept = await ask("keep", { ...this.body(), code: undefined, stroke: strokeBody(this.page.state()) });
    this.code = kept.code;
    this.showKept();
    this.remember();
    await this.draw();
  }
}
