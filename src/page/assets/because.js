// Why one answer is harder or easier than another: the parts of the shot that changed most, in words.

import { pocketWords } from "./words.js";

/** A part that changes the room by less is not named, as a logarithm (assumption: 4 %). */
const LEAST = 0.04;
/** What pulls the other way is named where it does this share of the main part (assumption). */
const ALSO = 0.4;

const cm = (mm) => (Math.abs(mm) < 20 ? `${Math.round(Math.abs(mm))} mm` : `${Math.round(Math.abs(mm) / 10)} cm`);
const degrees = (v) => `${v < 10 ? v.toFixed(1) : Math.round(v)}°`;
const open = (answer) => 1 - answer.others.blocked_share;
const arm = (answer) => answer.stance?.arm_factor ?? 1;
const spin = (answer) => [answer.shot.side, answer.shot.roll].join();

/** A difference that is seen when rounded: words, or nothing. */
const by = (difference, least, text, more, less) => (Math.abs(difference) < least ? "" : `${text} ${difference > 0 ? more : less}`);

/** How the pocket's opening is said: by what moved. */
function opening(was, is) {
  const nearer = is.object_to_mouth_mm - was.object_to_mouth_mm;
  const [a, b] = [degrees(was.first_order.pocket_opening_deg), degrees(is.first_order.pocket_opening_deg)];
  if (was.pocket !== is.pocket) return `this pocket opens ${b} instead of ${a}`;
  // The distance where it explains half of it at least; else it is the angle or the speed.
  const bySpace = Math.log(was.object_to_mouth_mm / is.object_to_mouth_mm) / Math.log(is.first_order.pocket_opening_deg / was.first_order.pocket_opening_deg);
  if (Math.abs(nearer) >= 20 && bySpace > 0.5) return `the object ball is ${cm(nearer)} ${nearer > 0 ? "farther from" : "nearer to"} the pocket`;
  return `the pocket opens ${b} from there instead of ${a}`;
}

/**
 * The parts of the room of both answers: `size` is the logarithm of what each does to it, positive
 * for more room. Room at the ghost ball (`inMm`) does not depend on how far the cue ball runs.
 */
function parts(before, now, inMm) {
  const [was, is] = [before.shot, now.shot];
  const ratio = (key) => Math.log(is.first_order[key] / was.first_order[key]);
  const all = [
    { size: ratio("pocket_opening_deg"), words: () => opening(was, is) },
    { size: ratio("cut_factor"), words: () => by(was.cut_deg - is.cut_deg, 0.5, `the cut is ${Math.round(Math.abs(was.cut_deg - is.cut_deg))}°`, "fuller", "thinner") },
    { size: ratio("throw_factor"), words: () => (spin(before) === spin(now) ? `throw takes ${is.first_order.throw_factor > was.first_order.throw_factor ? "less" : "more"} of the margin` : "the spin changes the throw") },
    { size: Math.log(open(now) / open(before)), words: () => `other balls close ${open(now) > open(before) ? "less" : "more"} of the path` },
  ];
  if (inMm) return all;
  const travel = is.cue_travel_mm - was.cue_travel_mm;
  return [
    { size: ratio("distance_factor"), words: () => by(travel, 5, `the cue ball is ${cm(travel)}`, "farther", "nearer") },
    { size: Math.log(arm(before) / arm(now)), words: () => `the stance is ${arm(now) < arm(before) ? "less" : "more"} awkward` },
    ...all,
  ];
}

/**
 * What made it harder or easier (`way`), such as `the cue ball is 60 cm farther, though the cut is
 * 12° fuller`; empty where nothing stands out.
 */
export function because(before, now, way) {
  if (!before?.shot.first_order || !now?.shot.first_order || (way !== "harder" && way !== "easier")) return "";
  if (before.shot.player !== now.shot.player) return "somebody else plays it";
  const inMm = now.shot.chance == null;
  const sign = way === "easier" ? 1 : -1;
  const known = parts(before, now, inMm).filter(({ size }) => Number.isFinite(size) && Math.abs(size) >= LEAST);
  const most = (side) => known.filter(({ size }) => size * side > 0).sort((a, b) => Math.abs(b.size) - Math.abs(a.size));
  const [main] = most(sign);
  if (!main) return "";
  const said = main.words();
  if (!said) return "";
  const [against] = most(-sign);
  const moved = ["cue", "object"].some((ball) => before.drawing[ball].at.some((v, k) => Math.abs(v - now.drawing[ball].at[k]) > 0.5));
  const elsewhere = before.shot.pocket !== now.shot.pocket && !moved ? `it goes into the ${pocketWords(now.shot.pocket)}: ` : "";
  const though = against && Math.abs(against.size) >= ALSO * Math.abs(main.size) ? against.words() : "";
  return elsewhere + (though ? `${said}, though ${though}` : said);
}
