// More about this shot: one view at a time under the table, each a file of its own.
//
// A view has `name`, `title`, `open(host, page)`, which fills its place and gives back
// `refresh()`, called whenever the shot has changed and is still (with `live`, also while it moves), and
// perhaps `refresh.giveUp()` (leaves off a long question), `refresh.again()` (shows what was drawn up before), `refresh.entered()` (what was entered before a reload stands there again) and `needsLog` and `needsAll` (not for the phones' link). `page` has
// `address()` (of the shot alone), `shared()` (makes a link for others of an address, where there is one), `putOn(address)`, `moving()` (a hand holds a ball), `state()`, `gear()`, `students()`, `usualPeriod()`, `otherPeriod()` (after other tries of a student count), `body()` (the shot as the program takes it), `noShot()` (once the
// shot is answered: why there is none, or nothing), `place(shot)`, `play(shot)` (a ball that is there,
// into a pocket), `playOn(table)` (`{ gear, set }` from now on) and `objectName()`.

import { latest } from "../api.js";
import { button } from "../dom.js";
import { aims } from "./aims.js";
import { budget } from "./budget.js";
import { charts } from "./charts.js";
import { ladder } from "./ladder.js";
import { marks } from "./marks.js";
import { own } from "./own.js";
import { shelf } from "./shelf.js";
import { shots } from "./shots.js";
import { skill } from "./skill.js";

/** The button that draws something up. */
const DRAWS = "#ladder-draw, #marks-draw";

const ALL = [shots, shelf, charts, aims, budget, ladder, marks, skill, own];

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
    this.host.addEventListener("change", () => this.remember());
    this.host.addEventListener("click", (event) => {
      if (event.target.closest(DRAWS)) this.remember(true);
    });
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
    if (name === this.shown?.name) this.remember(false);
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

  has(name) { return this.offered.some((v) => v.name === name); }

  /** Opens the view of that name, or none. */
  show(name) {
    const view = this.offered.find((v) => v.name === name);
    for (const b of this.buttons) b.setAttribute("aria-expanded", String(b.dataset.view === view?.name));
    if (view?.name === this.shown?.name) return;
    this.shown?.refresh.giveUp?.();
    this.host.replaceChildren();
    this.host.hidden = !view;
    this.say("");
    this.shown = null;
    if (!view) return;
    this.host.dataset.view = view.name;
    this.host.setAttribute("aria-label", view.title);
    this.shown = { name: view.name, live: view.live, refresh: view.open(this.host, this.page, (work) => this.work(work)) };
    const { drawn, entries } = this.entered(view.name);
    this.enter(entries);
    this.refreshed = this.refresh().then(() => {
      // Lists that were filled just now can hold what was chosen.
      if (this.shown?.name === view.name) {
        this.enter(entries, true);
        if (entries.length) this.shown.refresh.entered?.();
      }
      if (this.shown?.name === view.name && drawn) this.shown.refresh.again?.();
    });
  }

  // What was entered in a view and whether it was drawn up stays over a reload of this tab.

  entered(name) {
    try {
      return { entries: [], ...JSON.parse(sessionStorage.getItem(`view ${name}`)) };
    } catch {
      return { entries: [] };
    }
  }

  enter(entries, lists = false) {
    for (const [id, value] of entries) {
      const control = this.host.querySelector(`#${CSS.escape(id)}`);
      if (!control) continue;
      if (control.type === "checkbox") control.checked = value;
      else if (control.tagName !== "SELECT") control.value = value;
      else if ([...control.options].some((o) => o.value === value) && control.value !== value) {
        control.value = value;
        if (lists) control.dispatchEvent(new Event("change"));
      }
    }
  }

  remember(drawn) {
    if (!this.shown) return;
    const controls = [...this.host.querySelectorAll("input[id]:not([type=file]), select[id]")];
    const entries = controls.map((c) => [c.id, c.type === "checkbox" ? c.checked : c.value]);
    sessionStorage.setItem(`view ${this.shown.name}`, JSON.stringify({ entries, drawn: drawn ?? this.entered(this.shown.name).drawn }));
  }

  /** The shot has changed: asked again, at once where the view follows the hand, else when it is still. */
  changed() {
    if (!this.shown) return;
    clearTimeout(this.timer);
    this.shown.refresh.giveUp?.();
    if (this.shown.live) this.refresh();
    else this.timer = setTimeout(this.refresh, STILL);
  }

  /** The hand has let go. */
  settled() {
    if (this.shown?.live) this.refresh();
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
