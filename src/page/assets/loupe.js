// What is under the finger, magnified beside it: the same picture again, as it changes.

import { element } from "./svg.js";

/** Across, CSS px; how far its middle is from the finger; how many times as large as the table. */
const ACROSS = 136;
const AWAY = 104;
const TIMES = 3;

export class Loupe {
  constructor(table) {
    this.table = table;
    this.svg = element("svg", { class: "loupe", "aria-hidden": "true", width: ACROSS, height: ACROSS });
    this.svg.style.display = "none";
    document.body.append(this.svg);
  }

  /** Over a finger at `x`, `y` in the window, on the ball at `at` (mm). */
  show({ clientX: x, clientY: y }, at) {
    const [cx, cy] = this.table.frame.to(at);
    const half = ACROSS / 2 / (TIMES * this.table.scale());
    if (!this.svg.firstChild) for (const part of ["picture", "names"]) element("use", { href: `#table-${part}` }, this.svg);
    this.svg.setAttribute("viewBox", `${cx - half} ${cy - half} ${2 * half} ${2 * half}`);
    // Above the finger; where there is no room, beside it.
    const above = y - AWAY - ACROSS / 2 > 0;
    const beside = x > window.innerWidth / 2 ? x - AWAY : x + AWAY;
    const middle = [above ? x : beside, above ? y - AWAY : y];
    const inside = (v, most) => Math.min(Math.max(v - ACROSS / 2, 4), most - ACROSS - 4);
    Object.assign(this.svg.style, {
      display: "block", left: `${inside(middle[0], window.innerWidth)}px`, top: `${inside(middle[1], window.innerHeight)}px`,
    });
  }

  hide() {
    this.svg.style.display = "none";
  }
}
