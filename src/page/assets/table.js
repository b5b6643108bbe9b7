// The table: what stands still, the layers above it, and the balls one can take hold of.

import { nameRails } from "./rails.js";
import { element, frame, points, put } from "./svg.js";
import { placeWords, pocketWords } from "./words.js";

/** Rails round the noses, mm; only drawing. */
export const MARGIN = 168;
/** Smallest letters of a ball's name, CSS px. */
const READ = 11;
/** Smallest radius on the screen that a finger can hit, CSS px. */
const GRIP = 22;

export class Table {
  constructor(svg) {
    this.svg = svg;
    this.plan = null;
    /** CSS pixels a millimetre, as `fit` found it: asked of the browser at each step, it would lay out the page. */
    this.pixels = 1;
    this.standing = false;
  }

  /** Draws the fixed parts. */
  lay(plan, standing) {
    this.plan = plan;
    this.standing = standing;
    this.frame = frame(plan, MARGIN, standing);
    this.svg.replaceChildren();
    this.svg.setAttribute("viewBox", `0 0 ${this.frame.size.join(" ")}`);
    this.root = element("g", { id: "table-picture", transform: this.frame.transform }, this.svg);
    still(this.root, plan);
    this.mapLayer = element("g", { class: "map" }, this.root);
    const edges = element("g", {}, this.root);
    for (const cushion of plan.cushions) element("polygon", { class: "cushion", points: points(cushion.outline) }, edges);
    this.wasLayer = element("g", { class: "before-picture" }, this.root);
    this.shotLayer = element("g", { class: "shot-picture" }, this.root);
    this.sprayLayer = element("g", { class: "spray" }, this.root);
    this.goals = plan.pockets.map((pocket) => this.goal(pocket));
    this.ballLayer = element("g", {}, this.root);
    this.balls = {};
    this.named = null;
    this.railLayer = element("g", { class: "rails", "aria-hidden": "true" }, this.svg);
    this.nameLayer = element("g", { id: "table-names", class: "names", "aria-hidden": "true" }, this.svg);
    this.fit();
  }

  goal(pocket) {
    const g = element("g", {
      class: "goal", tabindex: 0, role: "button", "data-pocket": pocket.name, "aria-pressed": "false",
      "aria-label": pocketWords(pocket.name),
    }, this.root);
    const [x, y] = pocket.hole;
    element("circle", { class: "grip", cx: x, cy: y, r: pocket.hole_radius_mm }, g);
    return g;
  }

  /** One ball to take hold of. */
  ball(key) {
    const kind = key === "cue" || key === "object" ? key : "other";
    const g = element("g", { class: `handle ${kind}-handle`, tabindex: 0, role: "button", "data-ball": key }, this.ballLayer);
    const r = this.radius(key);
    element("circle", { class: "ring", r }, g);
    element("circle", { class: `ball ${kind}`, r }, g);
    element("path", { class: "stripe", d: stripe(r) }, g);
    element("circle", { class: "grip", r }, g);
    return g;
  }

  radius(key) {
    return key === "cue" ? this.plan.cue_radius_mm : this.plan.object_radius_mm;
  }

  /** CSS pixels a millimetre of the table takes, at its size when it was fitted last. */
  scale() {
    return this.pixels;
  }

  /** Grips that stay large enough for a finger at every size of the window. */
  fit() {
    const matrix = this.svg.getScreenCTM();
    this.pixels = matrix ? Math.hypot(matrix.a, matrix.b) : 1;
    const least = GRIP / this.scale();
    nameRails(this.railLayer, this.plan, this.frame, this.scale());
    for (const [key, g] of Object.entries(this.balls)) {
      const r = this.radius(key);
      g.querySelector(".grip").setAttribute("r", Math.max(r, least));
      g.querySelector(".ring").setAttribute("r", r + 7 / this.scale());
    }
    this.goals.forEach((goal, k) => {
      goal.querySelector(".grip").setAttribute("r", Math.max(this.plan.pockets[k].hole_radius_mm, least * 0.75));
    });
  }

  /** A ball's name on it, upright; beside it where it would be too small to read. */
  write(name, at, paint) {
    const [x, y] = this.frame.to(at);
    const radius = this.plan.object_radius_mm;
    const scale = this.scale();
    const on = radius * (name.length > 2 ? 0.7 : 1.15);
    const beside = on * scale < READ;
    const size = beside ? READ / scale : on;
    const right = x + radius + size * (0.7 * name.length + 0.3) < this.frame.size[0] - MARGIN / 2;
    const out = beside ? (right ? 1 : -1) * (radius + 0.2 * size) : 0;
    const text = element("text", {
      class: beside ? "name beside" : "name", x: x + out, y: y + size * (beside ? -0.15 : 0.36),
      "text-anchor": beside ? (right ? "start" : "end") : "middle", "font-size": size,
    }, this.nameLayer);
    text.textContent = name;
    if (paint && !beside) text.style.fill = paint.ink;
  }

  /** Marks the balls in the way. */
  mark(blocking) {
    for (const [key, g] of Object.entries(this.balls)) g.classList.toggle("blocking", blocking.includes(key));
  }

  /** A pointer's place on the table, mm. */
  place(event) {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return this.frame.from([p.x, p.y]);
  }

  /** Handles for exactly these balls, the last on top. */
  hold(keys) {
    for (const [key, g] of Object.entries(this.balls)) {
      if (keys.includes(key)) continue;
      g.remove();
      delete this.balls[key];
    }
    const missing = keys.filter((key) => !this.balls[key]);
    if (!missing.length) return;
    for (const key of missing) this.balls[key] = this.ball(key);
    // What has the keyboard's focus stays where it is: moving it would take the focus away.
    const order = keys.map((key) => this.balls[key]);
    if (!this.ballLayer.contains(document.activeElement)) this.ballLayer.append(...order);
    this.fit();
  }

  /** Puts the balls and marks the pocket; each ball has `key`, `label`, `name`, `at` (mm) and perhaps `paint`. */
  put(balls, chosenPocket, selected) {
    this.hold(balls.map((b) => b.key));
    const named = JSON.stringify([this.scale(), ...balls.filter((b) => b.name).map(({ name, at, paint }) => [name, at, paint])]);
    const same = named === this.named;
    this.named = named;
    if (!same) this.nameLayer.replaceChildren();
    for (const { key, label, name, at, paint } of balls) {
      const g = this.balls[key];
      g.classList.toggle("painted", Boolean(paint));
      g.classList.toggle("striped", Boolean(paint?.stripe));
      if (paint) g.style.setProperty("--paint", paint.fill);
      put(g, "transform", `translate(${at.join(" ")})`);
      g.classList.toggle("selected", key === selected);
      const remove = g.classList.contains("other-handle") ? " Delete takes it away." : "";
      put(g, "aria-label",
        `${label}: ${placeWords(this.plan, at)}. Arrow keys move it, with shift finely.${remove}`);
      if (name && !same) this.write(name, at, paint);
    }
    for (const goal of this.goals) {
      const chosen = goal.dataset.pocket === chosenPocket;
      put(goal, "aria-pressed", String(chosen));
      const ring = goal.querySelector(".chosen");
      if (!chosen) ring?.remove();
      if (!chosen || ring) continue;
      const grip = goal.querySelector(".grip");
      const pocket = this.plan.pockets.find((p) => p.name === chosenPocket);
      element("circle", {
        class: "chosen", cx: grip.getAttribute("cx"), cy: grip.getAttribute("cy"), r: pocket.hole_radius_mm + 6,
      }, goal);
    }
  }
}

/** The two white caps that leave a stripe of a ball. */
function stripe(r) {
  const [x, y] = [r * 0.8, r * 0.6];
  return `M${-x} ${y}A${r} ${r} 0 0 0 ${x} ${y}ZM${-x} ${-y}A${r} ${r} 0 0 1 ${x} ${-y}Z`;
}

/** Baulk line, D and spots. */
function linesAndSpots(root, plan) {
  const { baulk_mm: baulk, d_radius_mm: d, width_mm: width } = plan;
  const line = (path) => element("path", { class: "line", d: path }, root);
  line(`M${baulk} 0V${width}`);
  if (d) line(`M${baulk} ${width / 2 - d}A${d} ${d} 0 0 0 ${baulk} ${width / 2 + d}`);
  for (const { at } of plan.spots ?? []) {
    element("circle", { class: "spot", cx: at[0], cy: at[1], r: 9 }, root);
  }
}

/** Board, cloth, holes and what is marked: diamonds, or lines and spots. */
export function still(root, plan) {
  const { length_mm: length, width_mm: width } = plan;
  element("rect", {
    class: "board", x: -MARGIN, y: -MARGIN, width: length + 2 * MARGIN, height: width + 2 * MARGIN, rx: 60,
  }, root);
  element("rect", { class: "cloth", x: -52, y: -52, width: length + 104, height: width + 104 }, root);
  for (const pocket of plan.pockets) {
    element("circle", { class: "hole", cx: pocket.hole[0], cy: pocket.hole[1], r: pocket.hole_radius_mm }, root);
  }
  if (plan.marks !== "diamonds") {
    linesAndSpots(root, plan);
    return;
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
