// How an answer differs from the one before it, in words: every move gets an answer, also one that
// the rounded number does not show.

/** From this ratio on a change is said as so many times (assumption). */
const TIMES = 1.75;
/** Above this chance, in ten, it is the misses that one would have to count: said plainly. */
const HALF = 5;
const NUMBERS = ["", "", "twice", "three times", "four times", "five times", "six times", "seven times", "eight times", "nine times", "ten times"];

/** `three times harder`, `goes in twice as often`; nothing where that says less than the numbers. */
function times(was, now) {
  const ratio = Math.max(was, now) / Math.min(was, now);
  if (ratio < TIMES || Math.max(was, now) > HALF) return "";
  const word = ratio < 10.5 ? NUMBERS[Math.round(ratio)] : "over ten times";
  if (now > was) return `goes in ${word} as often`;
  return word === "twice" ? "twice as hard" : `${word} harder`;
}

/** Differences that are said, in makes in ten: below the first it is as hard (assumption: nobody
 * tells a tenth of a ball in ten from luck), then a little, then plainly, then much. */
const IN_TEN = [0.15, 1, 2.5];
/** The same for room, as a share of the larger. */
const ROOM = [0.03, 0.2, 0.5];

const pick = (size, steps, words) => words[steps.findIndex((s) => size < s) + 1 || 4];
const LESS = ["", "about as", "a little", "", "much"];

/** What stands on top: clean where it goes in clean, else the widest; mm either side. */
const roomMm = (shot) => {
  const part = shot.clean ?? shot.direct ?? shot.drop;
  return part ? (part.thick_ghost_mm + part.thin_ghost_mm) / 2 : null;
};

/** Whether there is a shot that somebody can strike. */
const playable = (shot) => Boolean(shot.drop) && !shot.flags.includes("too-fast");

/** `Blocked` as one says it in the middle of a sentence. */
const inSentence = (number) => (/^\D/.test(number) ? number[0].toLowerCase() + number.slice(1) : number);

const tenths = (v) => v.toFixed(1);

function byChance(was, now) {
  const [a, b] = [tenths(was), tenths(now)];
  if (a === b) return { word: "as hard as before", more: `${b} in 10`, way: "same" };
  const word = pick(Math.abs(now - was), IN_TEN, LESS);
  const more = `${a} → ${b} in 10`;
  if (word === "about as") return { word: "about as hard", more, way: "same" };
  const way = now < was ? "harder" : "easier";
  return { word: times(was, now) || `${word} ${way}`.trim(), more, way };
}

function byRoom(was, now, numbers) {
  if (numbers[0] === numbers[1]) return { word: "as much margin as before", more: "", way: "same" };
  const word = pick(Math.abs(now - was) / Math.max(was, now), ROOM, LESS);
  const more = `was ${numbers[0]}`;
  if (word === "about as") return { word: "about as much margin", more, way: "same" };
  return { word: `${word} ${now < was ? "less" : "more"} margin`.trim(), more, way: now < was ? "harder" : "easier" };
}

/**
 * The change from one answer to another: `word`, the numbers behind it as `more`, and `way`
 * (harder, easier, same); `null` where there is no answer before.
 */
export function change(before, now) {
  if (!before) return null;
  const numbers = [before.headline.number, now.headline.number];
  const [was, is] = [before.shot, now.shot];
  if (!playable(was) || !playable(is)) {
    if (numbers[0] === numbers[1]) return { word: "as before", more: "", way: "same" };
    const way = playable(is) ? "easier" : "harder";
    return { word: `was ${inSentence(numbers[0])}`, more: "", way };
  }
  if (was.chance != null && is.chance != null) return byChance(10 * was.chance, 10 * is.chance);
  if (was.chance == null && is.chance == null) return byRoom(roomMm(was), roomMm(is), numbers);
  return { word: `was ${inSentence(numbers[0])}`, more: "", way: "same" };
}
