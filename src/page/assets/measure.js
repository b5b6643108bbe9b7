// How a place is typed: in diamonds where the table has them, else in centimetres from the cushions.

import { diamond } from "./balls.js";

let plan = null;

/** From now on places are those of this table. */
export function measureOn(of) {
  plan = of;
}

export const byDiamonds = () => !plan || plan.marks === "diamonds";

/** How much a diamond is as typed, along (0) or across (1). */
const unit = (axis) => (byDiamonds() ? 1 : diamond(plan)[axis] / 10);

/** A coordinate in diamonds as it is typed: to a thousandth, or to a millimetre. */
export const typed = (diamonds, axis) => {
  const fine = byDiamonds() ? 1000 : 10;
  return Math.round(diamonds * unit(axis) * fine) / fine;
};

/** What is typed, in diamonds. */
export const read = (value, axis) => value / unit(axis);

/** A step of the buttons, as typed. */
export const step = () => (byDiamonds() ? 0.125 : 1);

/** A millimetre, as typed. */
export const millimetre = (axis) => (byDiamonds() ? 1 / diamond(plan)[axis] : 0.1);

/** The most, as typed. */
export const most = (axis) => typed(axis ? 4 : 8, axis);

/** How near a spot a ball snaps to it, mm. */
const NEAR_SPOT = 30;

/** The nearest place to set a ball on by eye or tape, mm: quarters of a diamond; else spots, and every 5 cm. */
export function snapped(at) {
  if (byDiamonds()) return at.map((v, k) => (Math.round((4 * v) / diamond(plan)[k]) * diamond(plan)[k]) / 4);
  const spot = (plan.spots ?? []).find((s) => Math.hypot(s.at[0] - at[0], s.at[1] - at[1]) < NEAR_SPOT);
  return spot ? spot.at : at.map((v) => Math.round(v / 50) * 50);
}
