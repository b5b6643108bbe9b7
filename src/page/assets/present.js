// For a class: the table, one sentence and one number as large as they go, the margin magnified, and
// what the number is: a hundred tries of that player, one after the other, makes and misses apart.

import { ask } from "./api.js";
import { make } from "./dom.js";
import { ghostView } from "./inset.js";
import { element, points } from "./svg.js";
import { columns } from "./views/shelf.js";

/** Between two tries that are shown, ms. */
const BETWEEN = 80;
/** Half a cross where a miss stopped, mm. */
const CROSS = 22;
const TRIES = 100;

const NO_SHELF = "Keep shots on the shelf to go through them here.";

const by = (id) => document.getElementById(id);
const still = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

/** Keys of a clicker and of the hand. */
const KEYS = {
  PageDown: "next", ArrowRight: "next", n: "next", PageUp: "previous", ArrowLeft: "previous", p: "previous",
  h: "all", o: "one", c: "clear", b: "beside", Escape: "close",
};

export class Presentation {
  /** `page` has `table`, `answer()`, `body()`, `shelf(step)` (puts on the shot so many places further
   * and gives its name and place, or nothing), `opened()`,
   * `shown(on)` and `complain(message)`. */
  constructor(page) {
    this.page = page;
    this.tries = [];
    this.shown = 0;
    this.timer = 0;
    this.on = false;
    by("present").addEventListener("click", () => this.open(true));
    const work = { next: () => this.step(1), previous: () => this.step(-1), all: () => this.all(), one: () => this.one(), clear: () => this.clear(), beside: () => this.beside(), close: () => this.open(false) };
    for (const [name, does] of Object.entries(work)) by(`present-${name}`).addEventListener("click", does);
    document.addEventListener("keydown", (event) => {
      if (!this.on || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
      const name = KEYS[event.key];
      if (!name || event.target.closest("input, select, textarea")) return;
      event.preventDefault();
      work[name]();
    });
    document.addEventListener("fullscreenchange", () => {
      if (!document.fullscreenElement && this.on) this.open(false);
    });
  }

  /** Opens or closes it; a window that cannot fill the screen fills itself. */
  open(wanted) {
    if (wanted === this.on) return;
    this.on = wanted;
    document.documentElement.toggleAttribute("data-present", wanted);
    by("presenting").hidden = !wanted;
    if (wanted) document.documentElement.requestFullscreen?.().catch(() => {});
    else if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
    this.showBeside([]);
    if (!wanted) this.clear();
    else this.page.opened();
    this.page.shown(wanted);
    this.answered();
    if (wanted) by("present-all").focus({ preventScroll: true });
    else by("present").focus({ preventScroll: true });
  }

  /** A new answer: what was tried was another shot. */
  answered() {
    if (!this.on) return;
    const now = this.page.answer();
    by("corridor").hidden = !now?.drawing.ghost;
    by("present-room").textContent = by("room").textContent;
    if (now) ghostView(by("present-ghost"), by("present-margin"), this.page.table, now);
    const asked = JSON.stringify(this.page.body());
    if (asked !== this.asked) this.clear();
    this.asked = asked;
    const none = !now || now.shot.chance == null;
    for (const name of ["all", "one"]) by(`present-${name}`).disabled = none;
  }

  /** Shots of the shelf beside each other instead of the table, or the table again. */
  async beside() {
    const open = by("present-beside").getAttribute("aria-pressed") === "true";
    try {
      const all = open ? [] : await columns();
      this.showBeside(all);
      if (!open && !all.length) by("present-name").textContent = NO_SHELF;
    } catch (error) {
      this.page.complain(error.message);
    }
  }

  showBeside(all) {
    by("beside-each").replaceChildren(...all);
    by("beside-each").hidden = !all.length;
    by("present-beside").setAttribute("aria-pressed", String(all.length > 0));
    document.documentElement.toggleAttribute("data-beside", all.length > 0);
  }

  step(by_) {
    this.showBeside([]);
    const put = this.page.shelf(by_);
    by("present-name").textContent = put ? `${put.name} (${put.at} of ${put.of})` : NO_SHELF;
  }

  clear() {
    clearInterval(this.timer);
    this.timer = 0;
    this.tries = [];
    this.shown = 0;
    this.page.table.sprayLayer?.replaceChildren();
    for (const id of ["tries-made", "tries-missed"]) by(id).replaceChildren();
    this.count();
  }

  /** Tries to show, drawn anew where all have been seen. */
  async more() {
    if (this.shown < this.tries.length) return true;
    this.clear();
    try {
      const seed = Math.floor(Math.random() * 2 ** 31);
      ({ tries: this.tries } = await ask("attempts", { ...this.page.body(), tries: TRIES, seed }));
      return true;
    } catch (error) {
      this.page.complain(error.message);
      return false;
    }
  }

  async one() {
    clearInterval(this.timer);
    if (await this.more()) this.draw();
  }

  /** The rest of the hundred: one after the other, or at once where nothing is to move by itself. */
  async all() {
    clearInterval(this.timer);
    if (!await this.more()) return;
    if (still()) {
      while (this.shown < this.tries.length) this.draw();
      return;
    }
    this.timer = setInterval(() => {
      if (this.shown < this.tries.length) this.draw();
      else clearInterval(this.timer);
    }, BETWEEN);
  }

  /** One try more on the table and in its heap. */
  draw() {
    const one = this.tries[this.shown];
    this.shown += 1;
    const layer = this.page.table.sprayLayer;
    if (one.object.length > 1) {
      element("polyline", { class: `try ${one.made ? "made" : "missed"}`, points: points(one.object) }, layer);
      const [x, y] = one.object.at(-1);
      if (!one.made) element("path", { class: "try end", d: `M${x - CROSS} ${y - CROSS}l${2 * CROSS} ${2 * CROSS}m0 ${-2 * CROSS}l${-2 * CROSS} ${2 * CROSS}` }, layer);
    }
    by(one.made ? "tries-made" : "tries-missed").append(make("i", { class: one.made ? "in" : "out" }));
    this.count();
  }

  /** Within two standard deviations, where 19 hundreds in 20 lie: one hundred seldom is the number on top. */
  usual() {
    const chance = this.page.answer()?.shot.chance;
    if (chance == null) return "";
    const off = Math.sqrt(TRIES * chance * (1 - chance));
    const [least, most] = [Math.max(0, TRIES * chance - 2 * off), Math.min(TRIES, TRIES * chance + 2 * off)].map(Math.round);
    return least === most ? "" : `Another hundred: anything from ${least} to ${most} in is usual.`;
  }

  count() {
    const shown = this.tries.slice(0, this.shown);
    const made = shown.filter((t) => t.made).length;
    const full = shown.filter((t) => !t.made && t.too_full === true).length;
    const thin = shown.filter((t) => !t.made && t.too_full === false).length;
    by("tries").hidden = !shown.length;
    by("tries-in").textContent = `${made} in`;
    // A cue ball that drops makes a foul of a ball that went in: neither too full nor too thin.
    const scratched = shown.filter((t) => !t.made && t.too_full == null && t.scratch).length;
    const why = [[full, "too full"], [thin, "too thin"], [scratched, "scratched"], [shown.length - made - full - thin - scratched, "otherwise"]]
      .filter(([count, words]) => count || (words.startsWith("too") && full + thin)).map(([count, words]) => `${count} ${words}`);
    by("tries-out").textContent = `${shown.length - made} missed${why.length ? `: ${why.join(", ")}` : ""}`;
    by("tries-usual").textContent = shown.length === TRIES ? this.usual() : "";
    by("tries-of").textContent = shown.length ? `${made} of ${shown.length} tries` : "";
  }
}
