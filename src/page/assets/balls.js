// The balls on the table: the cue ball, the object ball, and others that stand where they stand.
// Each has a key: `cue`, `object`, or `other:NAME`.

const OTHER = "other:";
/** Space left between balls that are pushed apart, mm: more than the rounding of a place. */
const APART = 0.5;
/** Times a ball is pushed off its neighbours before its place counts as taken. */
const PUSHES = 12;
/** A name such as 7 or the black: it goes into a row of a layout as it is. */
const NAME = /^[^\s",#]([^",\r\n]{0,22}[^\s",])?$/u;

export const otherKey = (name) => OTHER + name;
export const isOther = (key) => key.startsWith(OTHER);
export const nameOf = (state, key) => (isOther(key) ? key.slice(OTHER.length) : objectName(state));
export const goodName = (name) => NAME.test(name);

/** What the object ball is called. */
export const objectName = (state) => state.called ?? "1";

/** All keys; the balls drawn last are on top. */
export const keys = (state) => [...state.balls.map((b) => otherKey(b.name)), "object", "cue"];

const entry = (state, key) => state.balls.find((b) => otherKey(b.name) === key);

/** A ball's place, diamonds. */
export const placeOf = (state, key) => (isOther(key) ? entry(state, key)?.at : state[key]);

export function putAt(state, key, at) {
  if (isOther(key)) entry(state, key).at = at;
  else state[key] = at;
}

/** `red-2` is read as red 2. */
export const spokenName = (name) => name.replace(/^(red|yellow)-(?=\d)/, "$1 ");
const isWord = (name) => /^\p{L}/u.test(name);
const large = (text) => text[0].toUpperCase() + text.slice(1);

/** As people read it: `Ball 7`, but `Red 2`. */
export function calledBall(name) {
  const spoken = spokenName(name);
  return isWord(spoken) ? large(spoken) : `Ball ${spoken}`;
}

export function labelOf(state, key) {
  if (key === "cue") return "Cue ball";
  if (key === "object") return state.balls.length ? `Object ball ${spokenName(objectName(state))}` : "Object ball";
  return calledBall(nameOf(state, key));
}

/** Millimetres a diamond takes along and across. */
export const diamond = (plan) => [plan.length_mm / plan.diamonds[0], plan.width_mm / plan.diamonds[1]];

export const mmOf = (plan, state, key) => placeOf(state, key).map((v, k) => v * diamond(plan)[k]);

/** Nearest two centres can be. */
function need(plan, one, other) {
  return (one === "cue" || other === "cue" ? plan.contact_mm : 2 * plan.object_radius_mm) + APART;
}

/**
 * Nearest place a ball can have to `at` (mm), in thousandths of a diamond: inside the rails and off
 * the other balls. `null` where there is no room.
 */
export function reachable(plan, state, key, at) {
  const edge = key === "cue" ? plan.cue_edge_mm : plan.object_edge_mm;
  const sizes = [plan.length_mm, plan.width_mm];
  const inside = (p) => p.map((v, k) => Math.min(Math.max(v, edge), sizes[k] - edge));
  const others = keys(state).filter((k) => k !== key && placeOf(state, k)).map((k) => ({ at: mmOf(plan, state, k), least: need(plan, key, k) }));
  const overlap = (p) => others
    .map((o) => ({ o, by: o.least - Math.hypot(p[0] - o.at[0], p[1] - o.at[1]) }))
    .filter(({ by }) => by > 1e-6)
    .sort((a, b) => b.by - a.by)[0]?.o;
  let p = inside(at);
  for (let k = 0; k < PUSHES; k += 1) {
    const hit = overlap(p);
    if (!hit) break;
    const far = Math.hypot(p[0] - hit.at[0], p[1] - hit.at[1]);
    const away = far > 0 ? [(p[0] - hit.at[0]) / far, (p[1] - hit.at[1]) / far] : [-1, 0];
    p = inside([hit.at[0] + away[0] * hit.least, hit.at[1] + away[1] * hit.least]);
  }
  if (overlap(p)) return null;
  // Rounded inwards, so that a ball at a rail touches it and no more.
  return p.map((v, k) => {
    const unit = diamond(plan)[k];
    const low = Math.ceil((edge / unit) * 1000) / 1000;
    const high = Math.floor(((sizes[k] - edge) / unit) * 1000) / 1000;
    return Math.min(Math.max(Math.round((v / unit) * 1000) / 1000, low), high);
  });
}

/** All names that the balls of a game have, in the order they are put on the table. */
const namesOf = (game) => game.balls.flatMap(({ name, most }) => (most > 1
  ? Array.from({ length: most }, (_, k) => `${name}-${k + 1}`) : [name]));

/** Whether a game has a ball of that name; `red` is one of several too. */
const isOf = (game, name) => game.balls.some((b) => b.name === name) || namesOf(game).includes(name);

/** The first name no ball is called by: of the game's balls where one is played, else the smallest number;
 * nothing where all balls of the game are on the table. */
function freeName(state, more = [], game = null) {
  const taken = new Set([objectName(state), ...state.balls.map((b) => b.name), ...more]);
  if (game) return namesOf(game).find((name) => !taken.has(name));
  let number = 1;
  while (taken.has(String(number))) number += 1;
  return String(number);
}

/** Calls the balls on the table by names of a game; those it has not so many of go. */
export function nameFor(state, game) {
  const all = [{ name: objectName(state) }, ...state.balls];
  if (all.every((b) => isOf(game, b.name))) return;
  const known = all.filter((b) => isOf(game, b.name)).map((b) => b.name);
  const free = namesOf(game).filter((name) => !known.includes(name));
  for (const ball of all) if (!isOf(game, ball.name)) ball.name = free.shift();
  state.called = all[0].name ?? known[0];
  state.balls = all.slice(1).filter((b) => b.name && b.name !== state.called);
}

/** Puts the balls of a game that have a spot on it, as far as they are not on the table and there is room. */
export function onSpots(plan, state, game) {
  for (const { name, most } of game.balls) {
    const own = plan.spots?.find((s) => s.name === `${name}-spot`) ?? (name === "black" ? plan.spots?.[0] : null);
    const there = [objectName(state), ...state.balls.map((b) => b.name)].includes(name);
    if (most > 1 || !own || there || plan.marks === "diamonds") continue;
    const key = otherKey(name);
    const at = own.at.map((v, k) => v / diamond(plan)[k]);
    state.balls.push({ name, at });
    const place = reachable(plan, state, key, own.at);
    const near = place && Math.hypot(...place.map((v, k) => (v - at[k]) * diamond(plan)[k])) < 1;
    if (!near) removeBall(state, key);
    else putAt(state, key, place);
  }
}

/** Puts one more ball on the table, where there is room nearest its middle; gives its key. */
export function addBall(plan, state, game = null) {
  const name = freeName(state, [], game);
  if (!name) return null;
  const key = otherKey(name);
  const middle = [plan.length_mm / 2, plan.width_mm / 2];
  const far = (k) => {
    const [x, y] = mmOf(plan, state, k);
    return (p) => Math.hypot(p[0] - x, p[1] - y);
  };
  const distances = keys(state).map(far);
  const [along, across] = diamond(plan);
  const free = [];
  for (let x = 0.5; x < plan.diamonds[0]; x += 0.25) {
    for (let y = 0.5; y < plan.diamonds[1]; y += 0.25) {
      const p = [x * along, y * across];
      if (distances.every((d) => d(p) > 4 * plan.object_radius_mm)) free.push({ at: [x, y], from: Math.hypot(p[0] - middle[0], p[1] - middle[1]) });
    }
  }
  free.sort((a, b) => a.from - b.from);
  if (!free.length) return null;
  state.balls.push({ name, at: free[0].at });
  return key;
}

export function removeBall(state, key) {
  state.balls = state.balls.filter((b) => otherKey(b.name) !== key);
}

/** Makes another ball the object ball; the one there was stays where it is. */
export function playBall(state, name) {
  if (name === objectName(state)) return;
  const index = state.balls.findIndex((b) => b.name === name);
  if (index < 0) return;
  const [chosen] = state.balls.splice(index, 1);
  state.balls.push({ name: objectName(state), at: state.object });
  state.object = chosen.at;
  state.called = chosen.name;
}

const row = (name, at) => `${name},${at.map((v) => String(Math.round(v * 1000) / 1000)).join(",")}`;

/** The other balls as the program takes them. */
export const rows = (state) => state.balls.map((b) => row(b.name, b.at));

/** All balls as a layout file. */
export const layoutText = (state) => `${["ball,x,y", row("cue", state.cue), row(objectName(state), state.object), ...rows(state)].join("\n")}\n`;

/** Takes a read layout over: its first ball is the object ball. */
export function takeLayout(state, balls) {
  const [cue, object, ...others] = balls;
  state.cue = cue.at;
  state.object = object.at;
  state.balls = [];
  state.called = goodName(object.ball) ? object.ball : "1";
  const taken = others.map((b) => b.ball).concat(state.called);
  for (const { ball, at } of others) {
    // A name that no row can carry becomes a number.
    const name = goodName(ball) ? ball : freeName(state, taken);
    state.balls.push({ name, at });
  }
}
