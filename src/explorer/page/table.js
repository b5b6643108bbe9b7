// The table: what stands still, the layers above it, and the balls one can take hold of.

import { element, frame, points } from "./svg.js";

/** Rails round the noses, mm; only drawing. */
const MARGIN = 168;
/** Smallest radius on the screen that a finger can hit, CSS px. */
const GRIP = 22;

const BALLS = { cue: "Cue ball", object: "Object ball" };

export class Table {
  constructor(svg) {
    this.svg = svg;
    this.plan = null;
    this.standing = false;
  }

  /** Draws the fixed parts. */
  lay(plan, standing) {
    this.plan = plan;
    this.standing = standing;
    this.frame = frame(plan, MARGIN, standing);
    this.svg.replaceChildren();
    this.svg.setAttribute("viewBox", `0 0 ${this.frame.size.join(" ")}`);
    this.root = element("g", { transform: this.frame.transform }, this.svg);
    still(this.root, plan);
    this.mapLayer = element("g", { class: "map" }, this.root);
    const edges = element("g", {}, this.root);
    for (const cushion of plan.cushions) element("polygon", { class: "cushion", points: points(cushion.outline) }, edges);
    this.wasLayer = element("g", { class: "before-picture" }, this.root);
    this.shotLayer = element("g", { class: "shot-picture" }, this.root);
    this.goals = plan.pockets.map((pocket) => this.goal(pocket));
    this.balls = { object: this.ball("object"), cue: this.ball("cue") };
    this.tipLayer = element("g", { class: "tips" }, this.svg);
    this.fit();
  }

  goal(pocket) {
    const g = element("g", {
      class: "goal", tabindex: 0, role: "button", "data-pocket": pocket.name, "aria-pressed": "false",
      "aria-label": `${pocket.name.replace("-", " ")} pocket`,
    }, this.root);
    const [x, y] = pocket.hole;
    element("circle", { class: "grip", cx: x, cy: y, r: pocket.hole_radius_mm }, g);
    return g;
  }

  ball(name) {
    const g = element("g", { class: `handle ${name}-handle`, tabindex: 0, role: "button", "data-ball": name }, this.root);
    const r = this.plan[`${name}_radius_mm`];
    element("circle", { class: "ring", r }, g);
    element("circle", { class: `ball ${name}`, r }, g);
    element("circle", { class: "grip", r }, g);
    return g;
  }

  /** CSS pixels a millimetre of the table takes now. */
  scale() {
    const matrix = this.svg.getScreenCTM();
    return matrix ? Math.hypot(matrix.a, matrix.b) : 1;
  }

  /** Grips that stay large enough for a finger at every size of the window. */
  fit() {
    const least = GRIP / this.scale();
    for (const name of Object.keys(BALLS)) {
      const r = this.plan[`${name}_radius_mm`];
      this.balls[name].querySelector(".grip").setAttribute("r", Math.max(r, least));
      this.balls[name].querySelector(".ring").setAttribute("r", r + 7 / this.scale());
    }
    this.goals.forEach((goal, k) => {
      goal.querySelector(".grip").setAttribute("r", Math.max(this.plan.pockets[k].hole_radius_mm, least * 0.75));
    });
  }

  /** A pointer's place on the table, mm. */
  place(event) {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return this.frame.from([p.x, p.y]);
  }

  /** Puts the balls and marks the pocket; `at` in mm. */
  put(at, diamonds, chosenPocket, selected) {
    for (const [name, label] of Object.entries(BALLS)) {
      const g = this.balls[name];
      g.setAttribute("transform", `translate(${at[name].join(" ")})`);
      g.classList.toggle("selected", name === selected);
      const [along, across] = diamonds[name].map((v) => Math.round(v * 100) / 100);
      g.setAttribute("aria-label",
        `${label}: ${along} diamonds from the head rail, ${across} from the right rail. Arrow keys move it, with shift finely.`);
    }
    for (const goal of this.goals) {
      const chosen = goal.dataset.pocket === chosenPocket;
      goal.setAttribute("aria-pressed", String(chosen));
      goal.querySelector(".chosen")?.remove();
      if (!chosen) continue;
      const grip = goal.querySelector(".grip");
      const pocket = this.plan.pockets.find((p) => p.name === chosenPocket);
      element("circle", {
        class: "chosen", cx: grip.getAttribute("cx"), cy: grip.getAttribute("cy"), r: pocket.hole_radius_mm + 6,
      }, goal);
    }
  }
}

/** Board, cloth, holes and diamonds. */
export function still(root, plan) {
  const { length_mm: length, width_mm: width } = plan;
  element("rect", {
    class: "board", x: -MARGIN, y: -MARGIN, width: length + 2 * MARGIN, height: width + 2 * MARGIN, rx: 60,
  }, root);
  element("rect", { class: "cloth", x: -52, y: -52, width: length + 104, height: width + 104 }, root);
  for (const pocket of plan.pockets) {
    element("circle", { class: "hole", cx: pocket.hole[0], cy: pocket.hole[1], r: pocket.hole_radius_mm }, root);
  }
  const [along, across] = plan.diamonds;
  const mark = (x, y) => element("path", { class: "diamond", d: `M${x - 10} ${y}L${x} ${y - 10}L${x + 10} ${y}L${x} ${y + 10}Z` }, root);
  for (let k = 1; k < along; k += 1) {
    if (k * 2 === along) continue;
    for (const y of [-110, width + 110]) mark((k * length) / along, y);
  }
  for (let k = 1; k < across; k += 1) {
    for (const x of [-110, length + 110]) mark(x, (k * width) / across);
  }
}
