// Which of a student's tries count: asked of the program, which from then on says everything of that student
// from them.

import { ask } from "./api.js";
import { choice, field, make } from "./dom.js";

const CHOICES = [
  ["change", "since the change the log shows"], ["all", "all tries"],
  ["this week", "of this week"], ["this month", "of this month"], ["this year", "of this year"],
  ["day", "from a day on"],
];
const named = (since) => CHOICES.some(([key]) => key === since);

/** A choice of the period for one student; `done()` after the program has taken it, `fault(words)` where not. */
export class Period {
  constructor(id, done, fault) {
    this.pick = choice(CHOICES, "change", { id });
    this.day = make("input", { type: "date", id: `${id}-day`, "aria-label": "First day whose tries count" });
    this.box = make("div", { class: "period" }, field("Tries that count", this.pick), this.day);
    const tell = async () => {
      const since = this.pick.value === "day" ? this.day.value : this.pick.value;
      this.day.hidden = this.pick.value !== "day";
      if (!since) {
        this.day.focus();
        return;
      }
      try {
        await ask("period", { student: this.student, since });
        await done();
      } catch (error) {
        fault(error.message);
      }
    };
    this.pick.addEventListener("change", tell);
    this.day.addEventListener("change", tell);
  }

  /** Of a student as the program told; `usual` is the period of whom no other was asked for. */
  show(student, usual) {
    this.box.hidden = !student;
    if (!student) return;
    // What is being chosen is not exchanged under the hand.
    if (this.student === student.label && this.box.contains(document.activeElement) && this.pick.value === "day") return;
    this.student = student.label;
    const since = student.since ?? usual;
    this.pick.value = named(since) ? since : "day";
    this.day.hidden = named(since);
    this.day.value = named(since) ? "" : since.slice(0, 10);
  }
}
