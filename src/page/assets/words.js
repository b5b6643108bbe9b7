// Names as people say them, for what the program calls shortly.

/** `foot-left` is the left foot corner, `side-left` the left side pocket. */
export function pocketWords(name) {
  const [end, side] = name.split("-");
  return end === "side" ? `${side} side pocket` : `${side} ${end} corner`;
}

/** A number stays on one line with its unit, a chance with its ten, a day in one piece. */
const unbroken = (text) => text
  .replace(/\b(\d{4})-(\d\d)-(\d\d)\b/g, "$1\u2011$2\u2011$3")
  .replace(/(\d) in (100?)(?!\d)/g, "$1\u00a0in\u00a0$2")
  .replace(/(\d) (?=(?:mm|cm|m|in|ft|%|m\/s|cards?|diamonds?)(?![\p{L}\d]))/gu, "$1\u00a0");

/** A number of diamonds off a long rail has its unit. */
const withDiamonds = (text) => text.replace(
  /(\d[\d.]*[¼½¾⅛⅜⅝⅞]?|[¼½¾⅛⅜⅝⅞]) off the (left|right) side rail/g,
  (_, count, side) => `${count} ${/^(?:1|0\.\d+|0|[¼½¾⅛⅜⅝⅞])$/.test(count) ? "diamond" : "diamonds"} off the ${side} side rail`,
);

/** On a table that lies or stands nothing is up or down. */
const fromRails = (text) => text.replace(/ (?:up|down) from the (foot|head) rail/g, " from the $1 rail");

/** A sentence of the program's as the page shows it: pockets by their places, units unbroken. */
export const said = (text) => unbroken(withDiamonds(fromRails(text)).replace(/\b((?:head|side|foot)-(?:left|right))( pocket)?\b/g, (_, name) => pocketWords(name)));

/** A table by its name: `pool-9ft` is a 9-foot pool table. */
export function inWords(gear, name) {
  const [table, ...changes] = name.split(", ");
  return [gear.spoken[gear.names.indexOf(table)] ?? table, ...changes].join(", ");
}

/** `a club player`, but `student K`: an article where there is a `noun`. */
export function withArticle(who, noun = " player") {
  if (!who.includes(noun)) return who;
  return `${/^(?:[aeiou]|8)/.test(who) ? "an" : "a"} ${who}`;
}

/** A place of the table, mm: in diamonds, or in centimetres where there are none. */
export function placeWords(plan, at) {
  if (plan.marks !== "diamonds") return `${Math.round(at[0] / 10)} cm from the baulk cushion, ${Math.round(at[1] / 10)} cm from the right cushion`;
  const [along, across] = at.map((v, k) => Math.round((100 * v * plan.diamonds[k]) / [plan.length_mm, plan.width_mm][k]) / 100);
  return `${along} diamonds from the head rail, ${across} from the right rail`;
}

/** A chance, rounded as on top. */
export const inTen = (p) => (p < 0.05 ? "hardly ever" : p > 0.95 ? "nearly always" : `${Math.round(10 * p)} in 10`);
