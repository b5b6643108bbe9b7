// One solved shot as a picture: where the cue ball may run, and where the object ball may go.

import { element, points } from "./svg.js";

/** The clean part last: on a small picture its edge must not be covered. */
const ORDER = { rail: 0, jaw: 1, clean: 2 };
const byHow = (parts) => [...parts].sort((a, b) => ORDER[a.how] - ORDER[b.how]);

/** Where the object ball may go, by how it drops. */
export function drawFans(layer, drawing) {
  for (const fan of byHow(drawing.fans)) {
    element("polygon", { class: `fan how-${fan.how}`, points: points(fan.outline) }, layer);
    element("polyline", { class: `way how-${fan.how}`, points: points(fan.path) }, layer);
  }
}

/** Where the cue ball may run: the band a ball wide of the aim, and beside it what it may be off. */
export function drawRun(layer, drawing) {
  if (!drawing.run) return;
  for (const lane of drawing.run.margins) element("polygon", { class: `lane how-${lane.how}`, points: points(lane.outline) }, layer);
  element("polygon", { class: "band", points: points(drawing.run.band) }, layer);
}

/** How many times as wide the margins are drawn, in words; nothing where they are seen as they are. */
export function widened(drawing) {
  const times = drawing.run?.times ?? 1;
  return times > 1 ? `, margins drawn ${times} times as wide` : "";
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
  drawRun(layer, drawing);
}

/** Where the balls were when an answer was pinned. */
export function drawBefore(layer, drawing) {
  if (layer.shown === drawing) return;
  layer.shown = drawing;
  layer.replaceChildren();
  if (!drawing) return;
  for (const ball of [drawing.cue, drawing.object]) {
    element("circle", { class: "was", cx: ball.at[0], cy: ball.at[1], r: ball.radius_mm }, layer);
  }
}
