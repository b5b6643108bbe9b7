// Two magnified views: the contact, and the pocket's mouth. Each says how many times larger.

import { element, frame, points, put } from "./svg.js";
import { drawFans, drawRun, widened } from "./shot.js";
import { said } from "./words.js";

/** How much of a view its subject takes. */
const ROUND_BALL = 1.75;
const ROUND_MOUTH = 0.92;

/** How large a view is, CSS px: kept from when it changed, since asking in the middle of a step lays out the page. */
const sizes = new WeakMap();
const watch = new ResizeObserver((changes) => {
  for (const { target } of changes) sizes.delete(target);
});

function sizeOf(svg) {
  if (!sizes.has(svg)) {
    const { width, height } = svg.getBoundingClientRect();
    sizes.set(svg, { width, height });
    watch.observe(svg);
  }
  return sizes.get(svg);
}

function view(svg, table, centre, half) {
  const map = frame(table.plan, 0, table.standing);
  const [x, y] = map.to(centre);
  put(svg, "viewBox", `${x - half} ${y - half} ${2 * half} ${2 * half}`);
  svg.replaceChildren();
  const { width, height } = sizeOf(svg);
  const pixels = Math.min(width, height) / (2 * half);
  return { root: element("g", { transform: map.transform }, svg), factor: pixels / table.scale(), map, pixels };
}

/** Behind the drawer there is no size to magnify to. */
const hidden = (svg) => sizeOf(svg).width === 0;

const times = (factor) => (factor < 10 ? factor.toFixed(1) : String(Math.round(factor)));
const mm = (v) => `${Math.abs(v) < 10 ? v.toFixed(1) : Math.round(v)} mm`;

/** Smallest letters of a word in a view, and its share of the view's side. */
const READ = 12;
const SHARE = 0.045;

/** A word beside a place, kept inside the view. */
function tip(svg, at, away, pixels, text) {
  const { width: across, height: down } = sizeOf(svg);
  const size = Math.max(READ, SHARE * Math.min(across, down)) / pixels;
  const [left, top, width, height] = svg.getAttribute("viewBox").split(" ").map(Number);
  const reach = (0.32 * text.length + 0.4) * size;
  const inside = (v, low, high) => Math.min(Math.max(v, low), high);
  const label = element("text", {
    class: "tip",
    x: inside(at[0] + away[0] * size * 1.2, left + reach, left + width - reach),
    y: inside(at[1] + away[1] * size * 1.2, top + size, top + height - size) + size * 0.35,
    "text-anchor": "middle",
  }, svg);
  label.style.fontSize = `${size}px`;
  label.textContent = text;
}

/** Margins that the rail adds, where it adds as much as is seen. */
const SEEN_MM = 0.1;

/** How far off it still goes in by the rail, in words. */
function offRail({ direct, drop }) {
  if (!direct || !drop) return "";
  const more = [["thick_ghost_mm", "too full"], ["thin_ghost_mm", "too thin"]]
    .filter(([side]) => drop[side] > direct[side] + SEEN_MM)
    .map(([side, words]) => `${mm(drop[side])} ${words}`);
  return more.length ? `, off the rail up to ${more.join(" and ")}` : "";
}

/** The contact: object ball and where the cue ball may run. */
export function ghostView(svg, caption, table, answer) {
  const { drawing, shot } = answer;
  if (hidden(svg) || !drawing.ghost) return;
  const centre = drawing.ghost;
  const half = drawing.cue.radius_mm * ROUND_BALL;
  const { root, factor, map, pixels } = view(svg, table, centre, half);
  drawRun(root, drawing);
  element("circle", {
    class: "object ball", cx: drawing.object.at[0], cy: drawing.object.at[1], r: drawing.object.radius_mm,
  }, root);
  const room = shot.direct ?? shot.drop;
  const ends = drawing.direct ?? drawing.drop;
  if (!room || !ends) {
    caption.textContent = `At the object ball, ${times(factor)} times larger`;
    return;
  }
  // Words stand beside the margins: across the line of aim.
  const [full, thin] = [map.to(ends.fullest), map.to(ends.thinnest)];
  const apart = Math.hypot(full[0] - thin[0], full[1] - thin[1]) || 1;
  const across = [(full[0] - thin[0]) / apart, (full[1] - thin[1]) / apart];
  const out = 1.45 * drawing.cue.radius_mm;
  for (const [at, sign, word] of [[full, 1, "fuller"], [thin, -1, "thinner"]]) {
    const away = [sign * across[0], sign * across[1]];
    tip(svg, [at[0] + away[0] * out, at[1] + away[1] * out], away, pixels, word);
  }
  caption.textContent =
    said(`At the ghost ball, ${times(factor)} times larger: ${mm(room.thick_ghost_mm)} too full, ${mm(room.thin_ghost_mm)} too thin, jaws counted${offRail(shot)}${widened(drawing)}`);
}

/** What stands still at a pocket, drawn once for each; gives how many times larger it is. */
function mouth(svg, table, pocket, half) {
  const { width, height } = sizeOf(svg);
  const still = [table.plan, table.standing, pocket, width, height, table.scale()];
  if (svg.still?.every((part, k) => part === still[k])) return svg.factor;
  const { root, factor } = view(svg, table, pocket.mouth, half);
  element("circle", { class: "hole", cx: pocket.hole[0], cy: pocket.hole[1], r: pocket.hole_radius_mm }, root);
  for (const cushion of table.plan.cushions) element("polygon", { class: "cushion", points: points(cushion.outline) }, root);
  Object.assign(svg, { still, factor, fans: element("g", {}, root) });
  return factor;
}

/** The mouth of the pocket and what drops. */
export function pocketView(svg, caption, table, answer) {
  if (hidden(svg)) return;
  const { drawing, shot } = answer;
  const pocket = table.plan.pockets.find((p) => p.name === shot.pocket);
  const half = pocket.mouth_mm * ROUND_MOUTH;
  const factor = mouth(svg, table, pocket, half);
  svg.fans.replaceChildren();
  drawFans(svg.fans, drawing);
  const size = shot.direct ?? shot.drop;
  const words = size ? `: ${mm(size.effective_pocket_mm)} wide for the ball’s middle, jaws counted` : "";
  caption.textContent = said(`At the pocket, ${times(factor)} times larger${words}`);
}
