// Who plays at which table and who is next: the coach says who is here, any screen calls the next one.

import { ask, latest } from "../api.js";
import { button, make } from "../dom.js";

const by = (id) => document.getElementById(id);

/** Who was at this screen's table when this tab was there last, by what is played. */
const SEEN = "at table ";

/** Which table this screen stands at, kept in this browser; 0 for all of them. */
const MINE = "my-table";

export class Order {
  /** `on.changed(table)` when somebody else is at this screen's table, or it stands at another; `on.fault(words)`;
   * `on.rung(student)` says where a student stands, shortly. */
  constructor(on) {
    this.on = on;
    this.coach = false;
    this.tables = [];
    this.waiting = [];
    this.shown = sessionStorage.getItem(SEEN + location.search) ?? JSON.stringify([0, null]);
    this.drawn = "";
    this.fetch = latest(() => this.ask({}));
    by("my-table").addEventListener("change", ({ target }) => {
      localStorage.setItem(MINE, target.value);
      this.show();
    });
    by("order-form").addEventListener("submit", (event) => {
      event.preventDefault();
      const students = [...by("order-students").querySelectorAll("input:checked")].map((i) => i.value);
      this.ask({ students, tables: Number(by("order-count").value) });
      by("order-set").open = false;
    });
  }

  /** This screen's table, from 1, where it stands at one that there is. */
  get table() {
    const table = Number(localStorage.getItem(MINE) ?? 0);
    return table >= 1 && table <= this.tables.length ? table : 0;
  }

  /** Who is at this screen's table; nothing where it is at none, or nobody is there. */
  get here() { return this.table ? this.tables[this.table - 1] : null; }

  async ask(body) {
    try {
      const { tables, waiting } = await ask("order", body);
      Object.assign(this, { tables, waiting });
      this.show();
    } catch (error) {
      // While the program is away that stands beside the tries that wait for it.
      if (!error.away || Object.keys(body).length) this.on.fault(error.message);
    }
  }

  /** The next one comes to a table. */
  next(table) {
    const from = this.tables[table - 1];
    return this.ask({ next: table, ...(from ? { from } : {}) });
  }

  /** A button that calls the next one to a table, where somebody waits. */
  caller(table) {
    const [next] = this.waiting;
    if (!next) return "";
    return button(`Next: ${next}`, () => this.next(table), { class: "next-up", "aria-label": `Next at table ${table}: ${next}`, "data-table": String(table) });
  }

  /** After an answer of the program: who came to this screen's table is told, also while it was away, but not what a
   * reload found as it was. */
  show() {
    const shown = JSON.stringify([this.table, this.here]);
    const other = shown !== this.shown;
    this.shown = shown;
    sessionStorage.setItem(SEEN + location.search, shown);
    this.on.changed(other ? this.here : null);
  }

  /** The list; made anew only where it says something else, since a finger may be on it. */
  draw() {
    const some = this.tables.length > 0;
    const rows = this.tables.map((student) => [student ?? "nobody", student ? this.on.rung(student) : ""]);
    const drawn = JSON.stringify([rows, this.waiting, this.table, this.coach]);
    if (drawn === this.drawn) return;
    this.drawn = drawn;
    by("order").hidden = !some && !this.coach;
    by("order-set").hidden = !this.coach;
    by("my-table-field").hidden = !some;
    by("order-waiting").hidden = !some;
    by("order-tables").replaceChildren(...rows.map(([who, rung], k) => make("li", { "data-table": String(k + 1), ...(k + 1 === this.table ? { "aria-current": "true" } : {}) },
      make("span", {}, `Table ${k + 1}: `, make("b", {}, who), rung), this.caller(k + 1))));
    by("order-waiting").textContent = this.waiting.length ? `Then ${this.waiting.join(", ")}.` : "Nobody waits.";
    const choices = [[0, "all tables"], ...this.tables.map((_, k) => [k + 1, `table ${k + 1}`])];
    by("my-table").replaceChildren(...choices.map(([value, words]) => new Option(words, value)));
    by("my-table").value = String(this.table);
  }

  /** The boxes of who is here: those who play, else those who have tried today, else all; left alone while
   * they are open. */
  offer(students, tried) {
    const known = [...this.tables, ...this.waiting].filter(Boolean);
    const here = [known, tried, students].find((list) => list.length) ?? [];
    const boxes = by("order-students");
    const offered = [...boxes.querySelectorAll("input")].map((i) => i.value).join();
    if (by("order-set").open && offered === students.join()) return;
    boxes.replaceChildren(...students.map((s) => {
      const box = make("input", { type: "checkbox", value: s });
      box.checked = here.includes(s);
      return make("label", { class: "tick" }, box, make("span", {}, s));
    }));
    if (this.tables.length) by("order-count").value = String(this.tables.length);
  }
}
