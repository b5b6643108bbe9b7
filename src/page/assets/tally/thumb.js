// A shot to set up as a small picture: the table, the two balls, the way to the pocket.

import { frame, element, points } from "../svg.js";
import { MARGIN, still } from "../table.js";

/** Balls are drawn larger than they are, mm: on a small picture they must be seen. */
const BALL = 62;

/** A picture of the shot on a table; `places` has `cue`, `object` (mm) and `pocket`. It stands with the
 * foot on top, or lies with the foot on the right. */
export function thumb(plan, places, standing) {
  const map = frame(plan, MARGIN, standing);
  const svg = element("svg", { class: "thumb", viewBox: `0 0 ${map.size.join(" ")}`, "aria-hidden": "true" });
  const root = element("g", { transform: map.transform }, svg);
  still(root, plan);
  for (const cushion of plan.cushions) element("polygon", { class: "cushion", points: points(cushion.outline) }, root);
  const pocket = plan.pockets.find((p) => p.name === places.pocket);
  if (pocket) element("polyline", { class: "thumb-way", points: points([places.cue, places.object, pocket.mouth]) }, root);
  for (const ball of ["object", "cue"]) element("circle", { class: `ball ${ball}`, cx: places[ball][0], cy: places[ball][1], r: BALL }, root);
  return svg;
}
