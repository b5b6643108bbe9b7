// What is on the table and how it is played: kept in the address, so that a link is the whole shot.

import { goodName, rows } from "./balls.js";

/** Options that go to the program as they are; absent means its default. */
const PLAIN = ["pocket", "level", "hit", "pace", "roll", "side", "bridge", "arm", "picture", "student", "called", "hand", "reach", "gear"];

/** The game and how it stands, where one is played. */
const GAME = ["game", "rules", "group", "on", "nominated"];

/** Other balls at most: what the program takes. */
const MOST_OTHERS = 21;

/** Reads `7,4,1`: a name and a place. */
function ball(text) {
  const cut = text.indexOf(",");
  const [name, at] = [text.slice(0, cut), place(text.slice(cut + 1))];
  return cut > 0 && goodName(name) && at ? { name, at } : null;
}

/** Reads a place in diamonds, `3,2.3`. */
function place(text) {
  const numbers = (text ?? "").split(",").map(Number);
  return numbers.length === 2 && numbers.every(Number.isFinite) ? numbers : null;
}

const placeText = (at) => at.map((v) => String(Math.round(v * 1000) / 1000)).join(",");

export function fromAddress(search) {
  const given = new URLSearchParams(search);
  const state = { set: {}, balls: [] };
  for (const key of [...PLAIN, ...GAME]) if (given.has(key)) state[key] = given.get(key);
  for (const ball of ["cue", "object"]) {
    const at = place(given.get(ball));
    if (at) state[ball] = at;
  }
  for (const text of given.getAll("ball").slice(0, MOST_OTHERS)) {
    const read = ball(text);
    const taken = read && [state.called ?? "1", "cue", ...state.balls.map((b) => b.name)].includes(read.name);
    if (read && !taken) state.balls.push(read);
  }
  if (state.called && !goodName(state.called)) delete state.called;
  state.seated = given.get("seated") === "1";
  for (const change of given.getAll("set")) {
    const cut = change.indexOf("=");
    if (cut > 0) state.set[change.slice(0, cut)] = change.slice(cut + 1);
  }
  state.map = given.get("map") === "1";
  state.snap = given.get("snap") === "1";
  state.view = given.get("view");
  return state;
}

export function toAddress(state) {
  const out = new URLSearchParams();
  for (const ball of ["cue", "object"]) if (state[ball]) out.set(ball, placeText(state[ball]));
  for (const key of PLAIN) {
    const idle = key === "level" && state.student;
    if (!idle && state[key] != null && state[key] !== "") out.set(key, state[key]);
  }
  for (const key of GAME) if (state.game && state[key]) out.set(key, state[key]);
  for (const text of rows(state)) out.append("ball", text);
  if (state.seated) out.set("seated", "1");
  for (const [key, value] of Object.entries(state.set)) out.append("set", `${key}=${value}`);
  if (state.map) out.set("map", "1");
  if (state.snap) out.set("snap", "1");
  if (state.view) out.set("view", state.view);
  return `?${out.toString().replaceAll("%2C", ",").replaceAll("%2F", "/")}`;
}

/** Equipment as the program takes it. */
export function gearBody(state) {
  const body = {};
  if (state.gear) body.table = state.gear;
  const changes = Object.entries(state.set).map(([key, value]) => `${key}=${value}`);
  if (changes.length) body.set = changes;
  return body;
}

/** The game as the program takes it. */
export const gameBody = (state) => Object.fromEntries(state.game ? GAME.filter((key) => state[key]).map((key) => [key, state[key]]) : []);

/** The game as lines of a layout file, and back out of one. */
export const gameLines = (state) => Object.entries(gameBody(state)).map(([key, value]) => `# ${key}: ${value}\n`).join("");
export const gameIn = (text) => Object.fromEntries([...text.matchAll(/^\s*#\s*([a-z-]+)\s*:\s*(\S.*?)\s*$/gimu)]
  .map(([, key, value]) => [key.toLowerCase(), value]).filter(([key]) => GAME.includes(key)));

/** Plays another game from now on, or none; how the one before stood goes with it. */
export function playGame(state, name) {
  for (const key of GAME) delete state[key];
  if (name) state.game = name;
  // Three bodies have rules of it: somebody has to say whose.
  if (name === "english") state.rules = "international";
}

/** The whole shot as the program takes it. */
export function shotBody(state) {
  const body = { ...gearBody(state), cue: placeText(state.cue), object: placeText(state.object) };
  for (const key of PLAIN) {
    if (key !== "gear" && state[key] != null && state[key] !== "") body[key] = state[key];
  }
  body.hand ??= "right";
  if (state.seated) body.seated = true;
  body.called ??= "1";
  if (state.balls.length) body.balls = rows(state);
  // "Nobody" is a choice of its own: room without a chance.
  if (body.level === "nobody") delete body.level;
  // Arm and picture are a player of their own, and so is a student.
  if (body.arm || body.picture) delete body.student;
  if (body.arm || body.picture || body.student) delete body.level;
  // The program takes one of the two.
  if (body.roll) delete body.hit;
  return body;
}
