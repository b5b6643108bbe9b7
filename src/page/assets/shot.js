// One solved shot as a picture: the wedge, the two ghost balls, where the object ball may go.

import { element, points } from "./svg.js";

/** The untouched part last: on a small picture its edge must not be covered. */
const ORDER = { rail: 0, jaw: 1, clean: 2 };
const byHow = (parts) => [...parts].sort((a, b) => ORDER[a.how] - ORDER[b.how]);

/** Where the object ball may go, by how it drops. */
export function drawFans(layer, drawing) {
  for (const fan of byHow(drawing.fans)) {
    element("polygon", { class: `fan how-${fan.how}`, points: points(fan.outline) }, layer);
    element("polyline", { class: `way how-${fan.how}`, points: points(fan.path) }, layer);
  }
}

/** The allowed cue-ball directions. */
export function drawWedges(layer, drawing) {
  for (const wedge of byHow(drawing.wedges)) element("polygon", { class: `wedge how-${wedge.how}`, points: points(wedge.outline) }, layer);
}

/** Ghost-ball outlines at the fullest and the thinnest make. */
export function drawGhosts(layer, drawing) {
  const ends = drawing.direct ?? drawing.drop;
  if (!ends) return;
  for (const which of ["fullest", "thinnest"]) {
    const [cx, cy] = ends[which];
    element("circle", { class: `ghost ${which}`, cx, cy, r: drawing.cue.radius_mm }, layer);
  }
}

/** Half a cross where the cue ball drops, mm. */
const CROSS = 34;

/** Where the cue ball goes after the contact: to rest, into another ball, or a pocket. */
export function drawCueWay(layer, drawing, cue) {
  if (!cue?.path.length) return;
  const [x, y] = cue.path.at(-1);
  // Over a map the way is white, edged so that it is seen on bare cloth too.
  element("polyline", { class: "cue-halo", points: points(cue.path) }, layer);
  element("polyline", { class: `cue-way ends-${cue.end}`, points: points(cue.path) }, layer);
  if (cue.end === "scratch") {
    const d = `M${x - CROSS} ${y - CROSS}L${x + CROSS} ${y + CROSS}M${x - CROSS} ${y + CROSS}L${x + CROSS} ${y - CROSS}`;
    element("path", { class: "cue-way ends-scratch cross", d }, layer);
  } else {
    element("circle", { class: "cue-stop", cx: x, cy: y, r: drawing.cue.radius_mm }, layer);
  }
}

/** Everything that moves with the shot, the balls left out. */
export function drawShot(layer, drawing, cue) {
  layer.replaceChildren();
  drawCueWay(layer, drawing, cue);
  drawFans(layer, drawing);
  drawWedges(layer, drawing);
  drawGhosts(layer, drawing);
}

/** Where the balls were when an answer was pinned. */
export function drawBefore(layer, drawing) {
  layer.replaceChildren();
  if (!drawing) return;
  for (const ball of [drawing.cue, drawing.object]) {
    element("circle", { class: "was", cx: ball.at[0], cy: ball.at[1], r: ball.radius_mm }, layer);
  }
}
