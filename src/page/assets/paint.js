// Colours of the balls: those of snooker and English pool by their names, those of pool by their numbers
// where a game is played.

const COLOURS = {
  red: "#b3202a", yellow: "#f0c419", green: "#1d7a46", brown: "#7b4a23", blue: "#2b62b8", pink: "#ec9bb8", black: "#17191c",
};
/** 1 to 7 and the 8; 9 to 15 are the same with a stripe. */
const NUMBERS = ["#f0c419", "#2b62b8", "#b3202a", "#6a3d97", "#e2761b", "#1d7a46", "#7a2433", "#17191c"];
/** Dark letters are read on these. */
const LIGHT = ["#f0c419", "#ec9bb8", "#e2761b"];

const word = (name) => /^(red|yellow|green|brown|blue|pink|black)(?:[- ]\d+)?$/.exec(name)?.[1];

/** How a ball is painted: `{fill, ink, stripe}`; nothing where it has no colour of its own. */
export function paintOf(name, game) {
  const painted = (fill, stripe = false) => ({ fill, ink: LIGHT.includes(fill) ? "#17191c" : "#ffffff", stripe });
  const colour = word(name);
  if (colour) return painted(COLOURS[colour]);
  const number = Number(name);
  if (!game || !Number.isInteger(number) || number < 1 || number > 15) return null;
  // Sets of English pool with numbers: reds, the black, yellows.
  if (game === "english") return painted(number < 8 ? COLOURS.red : number > 8 ? COLOURS.yellow : COLOURS.black);
  return painted(NUMBERS[(number - 1) % 8], number > 8);
}

/** What stands on a ball: a number, a colour of snooker by its first letters, nothing on a red. */
export function inscription(name) {
  const colour = word(name);
  if (!colour) return name;
  if (/\d$/.test(name) || colour === "red") return "";
  return { brown: "Br", black: "Bk" }[colour] ?? colour[0].toUpperCase();
}
