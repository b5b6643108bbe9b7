// More about this shot: one view at a time under the table, each a file of its own.
//
// A view has `name`, `title`, `open(host, page)`, which fills its place and gives back
// `refresh()`, called whenever the shot has changed and is still, and perhaps `needsLog` and `needsAll`
// (not for the phones' link). `page` has
// `state()`, `gear()`, `students()`, `body()` (the shot as the program takes it), `noShot()` (once the
// shot is answered: why there is none, or nothing), `place(shot)`, `play(shot)` (a ball that is there,
// into a pocket) and `objectName()`.

import { latest } from "../api.js";
import { button } from "../dom.js";
import { aims } from "./aims.js";
import { budget } from "./budget.js";
import { charts } from "./charts.js";
import { ladder } from "./ladder.js";
import { marks } from "./marks.js";
import { shots } from "./shots.js";
import { skill } from "./skill.js";

const ALL = [shots, charts, aims, budget, ladder, marks, skill];

/** A view is asked anew when the hand has been still for so long, ms. */
const STILL = 220;

export class Views {
  constructor(page) {
    this.page = page;
    this.bar = document.getElementById("views-bar");
    this.host = document.getElementById("view");
    this.fault = document.getElementById("view-fault");
    this.shown = null;
    this.timer = 0;
    this.refresh = latest(() => this.work(() => this.shown?.refresh()));
  }

  /** The buttons; a view that needs a practice log, or the coach's link, is offered where there is one. */
  build({ log, all }) {
    this.offered = ALL.filter((view) => (log || !view.needsLog) && (all || !view.needsAll));
    this.buttons = this.offered.map((view) => button(view.title, () => this.toggle(view.name), {
      "aria-expanded": "false", "aria-controls": "view", "data-view": view.name,
    }));
    this.bar.replaceChildren(...this.buttons);
  }

  /** Opens or closes a view. One that opens comes into sight: at once, with room for what it will
   * hold, and without a movement of its own. */
  async toggle(name) {
    this.page.keep(name === this.shown?.name ? null : name);
    if (!this.shown) return;
    const { shown } = this;
    const intoSight = () => this.bar.scrollIntoView({ block: "start", behavior: "instant" });
    this.host.classList.add("opening");
    intoSight();
    const { scrollY } = window;
    await this.refreshed;
    this.host.classList.remove("opening");
    // Whoever has moved on or scrolled meanwhile is left where they are.
    if (this.shown === shown && window.scrollY === scrollY) intoSight();
  }

  /** Opens the view of that name, or none. */
  show(name) {
    const view = this.offered.find((v) => v.name === name);
    for (const b of this.buttons) b.setAttribute("aria-expanded", String(b.dataset.view === view?.name));
    if (view?.name === this.shown?.name) return;
    this.host.replaceChildren();
    this.host.hidden = !view;
    this.say("");
    this.shown = null;
    if (!view) return;
    this.host.dataset.view = view.name;
    this.host.setAttribute("aria-label", view.title);
    this.shown = { name: view.name, refresh: view.open(this.host, this.page, (work) => this.work(work)) };
    this.refreshed = this.refresh();
  }

  /** The shot has changed: asked again when the hand is still. */
  changed() {
    if (!this.shown) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(this.refresh, STILL);
  }

  /** Does something and says what went wrong, in the program's words. */
  async work(doing) {
    this.host.setAttribute("aria-busy", "true");
    try {
      await doing();
      this.say("");
    } catch (error) {
      this.say(error.message);
    } finally {
      this.host.setAttribute("aria-busy", "false");
    }
  }

  say(message) {
    this.fault.hidden = !message;
    this.fault.textContent = message;
  }
}
