// The page: its state, one question to the program per change, and who is told of it.

import "./theme.js";
import { Answer } from "./answer.js";
import { ask, latest, live, onAway } from "./api.js";
import { addBall, diamond, isOther, keys, labelOf, mmOf, nameFor, nameOf, objectName, onSpots, placeOf, playBall, putAt, reachable, removeBall } from "./balls.js";
import { Drawer } from "./drawer.js";
import { GamePicker, gameOf } from "./game.js";
import { listen } from "./hands.js";
import { Join } from "./join.js";
import { keeping, oldLink } from "./keeping.js";
import { measureOn, snapped } from "./measure.js";
import { keepAnswer, keepFiles, keepTable, lastTime } from "./offline.js";
import { Others } from "./others.js";
import { inscription, paintOf } from "./paint.js";
import { Period } from "./period.js";
import { USUAL_PACE, playerChosen, showPicks, usual, whoAims } from "./picks.js";
import { drawMap } from "./places.js";
import { Presentation } from "./present.js";
import { fetchShelf, shelfInLog, shots } from "./shelf.js";
import { fromAddress, gearBody, playGame, shotBody, toAddress } from "./state.js";
import { speakFor } from "./spoken.js";
import { Table } from "./table.js";
import { Views } from "./views/views.js";

/** A program that is away is asked again after, ms. */
const AGAIN = 2000;

const by = (id) => document.getElementById(id);
const table = new Table(by("table"));
const answer = new Answer(table);
const legend = { table, box: by("legend"), bar: by("legend-bar"), low: by("legend-low"), high: by("legend-high"), words: by("legend-words") };

let state = fromAddress(location.search);
let gear = null;
/** What a link for others needs, where the page is shared. */
let look = null;
let moving = false;
let selected = "cue";
let people = { log: false, all: true, students: [] };

/** Whether something stands below the table. */
const reading = () => ["drawer", "view", "presenting"].some((id) => !by(id).hidden);

/** A window taller than wide stands the table up, until something is read below it. */
const standing = () => window.innerWidth < 768 && window.innerHeight > window.innerWidth && !reading();

// ── places ────────────────────────────────────────────────────────────────────────────────────

const mm = (key) => mmOf(gear.plan, state, key);

/** A change begins: what is shown now is what it was before. Who changes something on a phone follows
 * the coach no longer. */
function begin(own = true) {
  if (own && following) {
    following = false;
    showStep();
  }
  if (!moving) answer.before = answer.now;
  moving = true;
}

function move(key, at, { exact = false } = {}) {
  let [x, y] = at;
  if (state.snap && !exact) [x, y] = snapped(at);
  const place = reachable(gear.plan, state, key, [x, y]);
  if (!place) return;
  begin();
  putAt(state, key, place);
  showBalls();
  solve();
}

// ── history ───────────────────────────────────────────────────────────────────────────────────

// ── in step ───────────────────────────────────────────────────────────────────────────────────

/** Whether this is the coach's page, and the phones see what is on it. */
let showing = false;
/** Whether this is a phone's page, and it shows what the coach shows. */
let following = false;

const show = latest(async () => {
  await ask("show", { shot: showing ? shotAddress() : null }).catch((error) => { if (!error.away) complain(error.message); });
});

function showStep() {
  by("show-phones").hidden = !(look && people.all);
  by("show-phones").setAttribute("aria-pressed", String(showing));
  by("follow").hidden = people.all;
  by("follow").setAttribute("aria-pressed", String(following));
}

/** Where this tab keeps that it shows, over a reload and a visit to the tally. */
const SHOWING = "showing";

by("show-phones").addEventListener("click", () => {
  showing = !showing;
  if (showing) sessionStorage.setItem(SHOWING, "1");
  else sessionStorage.removeItem(SHOWING);
  showStep();
  show();
  join.open(showing && look);
});
const join = new Join(by("show-phones"));
by("follow").addEventListener("click", () => {
  following = !following;
  showStep();
  if (following && shownLast) putOn(shownLast).catch((error) => complain(error.message));
});

/** What the coach showed last. */
let shownLast = "";
function inStep() {
  showing = people.all && Boolean(look) && sessionStorage.getItem(SHOWING) !== null;
  showStep();
  if (showing) show();
  if (people.all) return;
  following = true;
  showStep();
  live({
    show(address) {
      const first = !shownLast;
      shownLast = address;
      if (following) putOn(address, { first }).catch((error) => complain(error.message));
    },
  });
}

/** Keeps the present state in the address, as a step one can go back from. */
function settle() {
  const moved = moving;
  moving = false;
  const address = toAddress(state);
  if (address !== location.search) {
    const depth = (history.state?.depth ?? 0) + 1;
    oldLink();
    history.pushState({ depth, pinned: Boolean(answer.pinned) }, "", address);
    sessionStorage.setItem(MOST, String(depth));
    showUndo();
  }
  askRange();
  solved.then(() => keepAnswer(toAddress(state), answer.now));
  if (moved) solved.then(() => views.settled());
  answer.tellSoon();
}

window.addEventListener("popstate", async () => {
  state = fromAddress(location.search);
  answer.before = null;
  showUndo();
  await loadGear();
  views.show(state.view);
  refresh();
  answer.tellSoon();
});

/** Never disabled while it has the focus: that would throw a keyboard back to the top of the page. */
function showUndo() {
  const depth = history.state?.depth ?? 0;
  by("undo").setAttribute("aria-disabled", String(depth === 0));
  const more = depth < Number(sessionStorage.getItem(MOST) ?? 0);
  if (!more && document.activeElement === by("redo")) by("undo").focus();
  by("redo").hidden = !more;
}
const undo = () => { if (history.state?.depth > 0) history.back(); };
const redo = () => history.forward();
/** Where this tab keeps how many steps there are, those taken back included. */
const MOST = "steps";

/** Undo and redo by the keys of every program; in a field they are the field's. */
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.target.closest("input, select, textarea")) return;
  const key = event.key.toLowerCase();
  const again = key === "y" || (key === "z" && event.shiftKey);
  if (!again && key !== "z") return;
  event.preventDefault();
  if (again) redo();
  else undo();
});

// ── asking ────────────────────────────────────────────────────────────────────────────────────

const askShot = latest(async () => {
  try {
    answer.now = await ask("shot", shotBody(state));
    complain("");
    answer.show();
  } catch (error) {
    // That the program is away is said where it is seen, with what it makes of the number.
    if (!error.away) complain(error.message);
  }
  if (state.map) mapSoon();
  views.changed();
});

/** How far the chance rests on the bounce of jaws and rails: nine times the work, so once the hand
 * is still. */
const askRange = latest(async () => {
  const asked = solved;
  await asked;
  const { now } = answer;
  if (moving || asked !== solved || now?.shot.chance == null || now.shot.chance_low != null) return;
  const ranged = await ask("shot", { ...shotBody(state), range: true }).catch(() => null);
  // A newer answer has a range of its own to come.
  if (!ranged || moving || asked !== solved) return;
  Object.assign(now, ranged);
  answer.show();
});

/** While the program is away the number is of before, and greyed; asked again until it is back. */
let asking = 0;
/** The page was opened while the program was away. */
let without = false;
onAway((away) => {
  by("stage").classList.toggle("gone", away);
  by("gone").hidden = !away;
  by("gone").textContent = away ? "The program has stopped, so this is the answer of before. Start it again (thincut explore); the page then goes on." : "";
  clearTimeout(asking);
  if (!away && without) location.reload();
  if (away) asking = setTimeout(solve, AGAIN);
});

/** Done when the newest shot has been answered. */
let solved = Promise.resolve();
function solve() {
  if (showing) show();
  solved = askShot();
  return solved;
}

const mapSoon = latest(async () => {
  try {
    drawMap(table.mapLayer, legend, state.map ? await ask("places", shotBody(state)) : null);
  } catch (error) {
    drawMap(table.mapLayer, legend, null);
    complain(error.message);
  }
});

async function loadGear() {
  takeGear(await ask("gear", gearBody(state)));
  keepTable(gear);
}

function takeGear(given) {
  gear = given;
  measureOn(gear.plan);
  speakFor(gear.pairs ?? []);
  for (const key of ["cue", "object"]) state[key] ??= gear.start[key].split(",").map(Number);
  state.pocket ??= gear.start.pocket;
  state.level ??= "club";
  for (const key of keys(state)) putAt(state, key, reachable(gear.plan, state, key, mm(key)) ?? placeOf(state, key));
}

// ── showing ───────────────────────────────────────────────────────────────────────────────────

function complain(message) {
  by("fault").hidden = !message;
  by("fault").textContent = message;
}

function showBalls() {
  if (!placeOf(state, selected)) selected = "cue";
  const ball = (key) => {
    const name = key === "cue" ? "" : nameOf(state, key);
    const paint = name ? paintOf(name, state.game) : null;
    return { key, label: labelOf(state, key), at: mm(key), name: name && inscription(name), paint };
  };
  table.put(keys(state).map(ball), state.pocket, selected);
  // The close-ups show it too.
  const object = paintOf(objectName(state), state.game)?.fill ?? "";
  const { style } = document.documentElement;
  if (style.getPropertyValue("--object") !== object) style.setProperty("--object", object);
  others.show(state, selected);
  // Also while it is closed: its steps start from what it holds.
  showDrawer();
}

function showChoices() {
  showPicks(state, gear, people);
  games.show(state, gear);
  period.show(people.students.find((s) => s.label === state.student), people.usual);
}
const showDrawer = () => drawer.show(state, gear, usual(state, gear, people));

/** Everything anew: after a change of equipment, window or history. */
function showTable() {
  table.lay(gear.plan, standing());
  showChoices();
  showBalls();
  if (!state.map) drawMap(table.mapLayer, legend, null);
}

function refresh() {
  showTable();
  answer.show();
  solve();
  askRange();
  return solved;
}

// ── whose tries ───────────────────────────────────────────────────────────────────────────────

/** Other tries of a student count now: whatever the page says of students is asked anew. */
async function otherPeriod() {
  people = await ask("students", {});
  showChoices();
  showDrawer();
  answer.before = answer.now;
  await solve();
  askRange();
  views.changed();
}

const period = new Period("period", otherPeriod, (words) => complain(words));
by("period-place").append(period.box);

// ── changing ──────────────────────────────────────────────────────────────────────────────────

function option(key, value) {
  begin();
  if (value) state[key] = value;
  else delete state[key];
  // One part of the aim given, the other is the level's.
  if (key === "arm" || key === "picture") {
    const known = whoAims(state, gear, people);
    const other = key === "arm" ? "picture" : "arm";
    if (value && known) state[other] ??= known[other];
    if (value) delete state.student;
  }
  showChoices();
  showDrawer();
  solve();
  settle();
}

/** Other equipment; where the program refuses it, all stays as it was. */
async function otherGear(wanted) {
  const before = { gear: state.gear, set: state.set };
  Object.assign(state, wanted);
  try {
    await loadGear();
    // Its balls are of another table.
    if (state.game && gameOf(gear, state)?.marks !== gear.plan.marks) playGame(state, "");
    begin();
    await refresh();
    settle();
  } catch (error) {
    Object.assign(state, before);
    complain(error.message);
  }
}

/** Another game: its table where this one is marked for others, its balls, those with a spot on it. */
async function otherGame(name) {
  const before = structuredClone(state);
  playGame(state, name);
  const game = gameOf(gear, state);
  try {
    if (game && game.marks !== gear.plan.marks) {
      Object.assign(state, { gear: game.table, set: {} });
      await loadGear();
    }
    begin();
    if (game) {
      nameFor(state, game);
      onSpots(gear.plan, state, game);
    }
    if (!placeOf(state, selected)) selected = "cue";
    await refresh();
    settle();
  } catch (error) {
    state = before;
    complain(error.message);
  }
}

const games = new GamePicker({ play: otherGame, state: (key, value) => option(key, value) });

function change(key, value) {
  const set = { ...state.set };
  if (value) set[key] = value;
  else delete set[key];
  return otherGear({ set });
}

/** Something to read has opened or closed: the table may have to stand up or lie down. */
function laidOut() {
  measure();
  if (table.plan && table.standing !== standing()) refresh();
}

const drawer = new Drawer({ coordinate, option, change, opened: laidOut });

// The balls as fields, for whoever does not use the picture.
by("to-fields").addEventListener("click", (event) => {
  event.preventDefault();
  drawer.open(true);
});

function coordinate(key, axis, value) {
  const at = [...placeOf(state, key)];
  at[axis] = value;
  move(key, at.map((v, k) => v * diamond(gear.plan)[k]), { exact: true });
  settle();
}

/** After a change of which balls there are. */
function ballsChanged(chosen) {
  begin();
  selected = chosen;
  showBalls();
  solve();
  settle();
}

const others = new Others({
  add() {
    const key = addBall(gear.plan, state, gameOf(gear, state));
    if (!key) {
      complain("There is no other ball to add, or no room for one.");
      return;
    }
    const byKeys = by("add-ball").matches(":focus-visible");
    ballsChanged(key);
    // Whoever adds by keys moves it by keys.
    if (byKeys) table.balls[key]?.focus({ preventScroll: true });
  },
  remove,
  play(name) {
    playBall(state, name);
    ballsChanged("object");
  },
  select,
  coordinate,
});

function remove(key) {
  if (!isOther(key)) return;
  const focused = table.svg.contains(document.activeElement);
  removeBall(state, key);
  ballsChanged("object");
  if (focused) table.balls.object.focus({ preventScroll: true });
}

function select(ball) {
  selected = ball;
  showBalls();
}

function choosePocket(name) {
  begin();
  state.pocket = name;
  showChoices();
  showBalls();
  solve();
  settle();
}

listen(table, { mm, selected: () => selected, diamond: () => diamond(gear.plan) }, { select, moved: move, settled: settle, pocket: choosePocket, remove });

const chosen = (id, tell) => by(id).addEventListener("change", (e) => tell(e.target));
chosen("player", ({ value }) => {
  if (value === "own") return;
  for (const key of ["arm", "picture", "student"]) delete state[key];
  option(...playerChosen(value));
});
chosen("hit", ({ value }) => option("hit", value === "centre" ? "" : value));
chosen("pace", ({ value }) => option("pace", value === USUAL_PACE ? "" : value));
chosen("pocket", ({ value }) => choosePocket(value));
chosen("hand", ({ value }) => option("hand", value === "right" ? "" : value));
chosen("seated", ({ checked }) => option("seated", checked));
chosen("snap", ({ checked }) => { state.snap = checked; settle(); });
chosen("gear", ({ value }) => otherGear({ gear: value, set: {} }));
by("map").addEventListener("click", () => {
  state.map = !state.map;
  by("map").setAttribute("aria-pressed", String(state.map));
  mapSoon();
  settle();
});
by("compare").addEventListener("click", () => {
  answer.pin();
  by("compare").setAttribute("aria-pressed", String(Boolean(answer.pinned)));
  // A reload keeps this, another visit does not.
  history.replaceState({ ...history.state, pinned: Boolean(answer.pinned) }, "");
});
by("undo").addEventListener("click", undo);
by("redo").addEventListener("click", redo);
by("start-over").addEventListener("click", async () => {
  state = fromAddress("");
  answer.before = null;
  await loadGear();
  await refresh();
  settle();
});

// ── more about this shot ──────────────────────────────────────────────────────────────────────

/** The shot without what is shown of it. */
const shotAddress = () => toAddress({ ...state, map: false, snap: false, view: null });

/** Puts another shot on the table; what is open beside it stays. */
async function putOn(address, { first = false, ours = false } = {}) {
  const { student } = state;
  const { map, snap, view } = state;
  begin(false);
  // What somebody finds when they come differs from nothing.
  if (first) answer.before = null;
  const before = JSON.stringify(gearBody(state));
  state = { ...fromAddress(address), map, snap, view };
  // What somebody of ours makes of it is the question, whoever it was kept for.
  if (ours && student) {
    for (const key of ["level", "arm", "picture"]) delete state[key];
    state.student = student;
  }
  state.level ??= "club";
  selected = "cue";
  const whole = state.cue && state.object && state.pocket && state.level;
  // The same table with all that is to be on it is not asked for again.
  if (JSON.stringify(gearBody(state)) === before && whole) {
    showChoices();
    showBalls();
    await solve();
  } else {
    await loadGear();
    await refresh();
  }
  settle();
}

let placed = -1;
/** A shot of the shelf further on or back, round and round. */
function fromShelf(step) {
  const all = shots();
  if (!all.length) return null;
  const here = all.findIndex((s) => s.shot === shotAddress() || (state.student && all[placed] === s));
  const from = here >= 0 ? here : placed;
  placed = from < 0 ? (step > 0 ? 0 : all.length - 1) : (from + step + all.length) % all.length;
  putOn(all[placed].shot, { ours: true }).catch((error) => complain(error.message));
  return { name: all[placed].name, at: placed + 1, of: all.length };
}

const presentation = new Presentation({
  table,
  answer: () => answer.now,
  body: () => shotBody(state),
  shelf: fromShelf,
  opened: () => fetchShelf().catch((error) => { if (!error.away) complain(error.message); }),
  shown: () => fit(),
  complain,
});
answer.shown = () => presentation.answered();

const views = new Views({
  address: shotAddress,
  moving: () => moving,
  shared: () => look && ((address) => `${look.root}/${address}#token=${look.token}`),
  putOn: (address) => putOn(address, { ours: true }).catch((error) => complain(error.message)),
  state: () => state,
  gear: () => gear,
  students: () => people.students,
  usualPeriod: () => people.usual,
  otherPeriod,
  hasLog: () => people.log,
  body: () => shotBody(state),
  objectName: () => objectName(state),
  async noShot() {
    // While a ball moves the answer shown is the newest there is.
    if (!answer.now) await solved;
    return answer.noShot;
  },
  play({ ball, pocket, kind, pace_m_s: pace, roll, side }) {
    begin();
    playBall(state, ball);
    state.pocket = pocket;
    // A stroke that was found for it goes with it.
    if (kind) {
      for (const key of ["hit", "roll", "side"]) delete state[key];
      state.pace = `${pace}m/s`;
      if (kind !== "centre" || side) Object.assign(state, { roll: String(roll), side: String(side) });
    }
    selected = "cue";
    refresh();
    settle();
    by("headline").scrollIntoView({ block: "nearest" });
  },
  playOn: (wanted) => otherGear(wanted),
  place({ cue, object, pocket }) {
    begin();
    Object.assign(state, { cue: cue.split(",").map(Number), object: object.split(",").map(Number), pocket });
    refresh();
    settle();
    by("stage").scrollIntoView({ block: "nearest" });
  },
  keep(name) {
    if (name) state.view = name;
    else delete state.view;
    views.show(state.view);
    laidOut();
    settle();
  },
});

/** The game of a layout, where it is one of this table. */
function played(given) {
  const game = gameOf(gear, given);
  playGame(state, game?.marks === gear.plan.marks ? game.name : "");
  if (state.game) Object.assign(state, given, { game: game.name });
}

keeping({ look: () => look, state: () => state, answer: () => answer.now, svg: by("table"), played, loaded: () => ballsChanged("cue") });

// ── start ─────────────────────────────────────────────────────────────────────────────────────

/** The table anew for its place: laid down or stood up, or as large as there is room. */
function fit() {
  if (!table.plan) return;
  if (table.standing !== standing()) refresh();
  else {
    table.fit();
    answer.show();
  }
}

let resizing = 0;
new ResizeObserver(() => {
  cancelAnimationFrame(resizing);
  resizing = requestAnimationFrame(fit);
}).observe(by("table"));
window.addEventListener("resize", () => {
  cancelAnimationFrame(resizing);
  resizing = requestAnimationFrame(fit);
});

/** What is above the panel for good, so that nothing with the focus is hidden behind it. */
function measure() {
  const { style } = document.documentElement;
  const over = getComputedStyle(by("stage")).position === "sticky" && window.innerHeight > window.innerWidth;
  style.setProperty("--covered", `${over ? by("stage").offsetHeight : 0}px`);
  style.setProperty("--bar", `${document.querySelector(".bar").offsetHeight + 10}px`);
}
new ResizeObserver(measure).observe(by("stage"));

/** What a link asks for and this program does not have is said, and the rest of the link is shown. */
const MENDS = [
  ["student", (s) => delete s.student],
  ["table", (s) => { delete s.gear; s.set = {}; }],
  ["player", (s) => { for (const key of ["level", "arm", "picture"]) delete s[key]; }],
  ["stroke", (s) => { for (const key of ["hit", "pace", "roll", "side", "bridge", "reach"]) delete s[key]; }],
  ["balls", (s) => Object.assign(s, { balls: [], cue: undefined, object: undefined, pocket: undefined })],
];

function mended(words) {
  by("mended").hidden = !words;
  by("mended-words").textContent = words;
}
by("mended-seen").addEventListener("click", () => mended(""));

/** Opens what the address says, or as much of it as there is; gives the answer. */
async function openLink() {
  const opened = await mend(() => ask("open", gearBody(state)));
  people = opened.people;
  look = opened.look ?? null;
  takeGear(opened.gear);
  await mendGame();
  return mend(() => ask("shot", { ...shotBody(state), range: true }), () => takeGear(gear));
}

/** The game of a link: on its own table where the link names none, else left out where it is not to be had. */
async function mendGame() {
  if (!state.game) return;
  const game = gameOf(gear, state);
  if (game && game.marks !== gear.plan.marks && !state.gear) {
    state.gear = game.table;
    await loadGear();
  }
  if (game?.marks === gear.plan.marks) {
    nameFor(state, game);
    return;
  }
  mended(game ? `Part of this link is not to be had here: ${game.spoken} is played on another table. Shown without its game.`
    : `Part of this link is not to be had here: no game is called “${state.game}”. Shown without its game.`);
  playGame(state, "");
}

/** Does it; where the program refuses, without one part of the link, or else without all of them. */
async function mend(work, after = () => {}) {
  const given = structuredClone(state);
  let why = "";
  const all = ["parts", (s) => MENDS.forEach(([, leaveOut]) => leaveOut(s))];
  for (const [part, leaveOut] of [["", () => {}], ...MENDS, all]) {
    state = structuredClone(given);
    leaveOut(state);
    // A part that the link did not have is not what is wrong.
    if (part && JSON.stringify(state) === JSON.stringify(given)) continue;
    if (part) after();
    try {
      const done = await work();
      if (part) mended(`Part of this link is not to be had here: ${why}. Shown without its ${part}.`);
      return done;
    } catch (error) {
      if (!(error.status >= 400 && error.status < 500) || error.status === 401) throw error;
      why ||= error.message.replace(/\.$/, "");
    }
  }
  throw new Error(why);
}

try {
  const opened = await openLink();
  views.build(people);
  if (people.log && people.all) shelfInLog();
  by("tally-link").hidden = !people.log;
  showUndo();
  by("tally-link").addEventListener("click", () => {
    sessionStorage.setItem("shot", shotAddress());
    sessionStorage.setItem("away", "0");
  });
  if (state.view && !views.has(state.view)) {
    mended("This link opens a view that this page does not have.");
    state.view = null;
  }
  views.show(state.view);
  showTable();
  answer.now = opened;
  by("compare").setAttribute("aria-pressed", String(Boolean(history.state?.pinned) && answer.pinAgain()));
  answer.show();
  if (state.map) mapSoon();
  keepTable(gear);
  keepAnswer(toAddress(state), answer.now);
  inStep();
  document.documentElement.dataset.ready = "true";
} catch (error) {
  if (!error.away) complain(error.message);
  else openWithout();
}
keepFiles();

/** The program is away: the last table, and its number greyed where it is that of the link. */
function openWithout() {
  const last = lastTime(location.search || toAddress(state));
  without = true;
  if (!last) {
    asking = setTimeout(() => ask("open", {}).catch(() => {}), AGAIN);
    return;
  }
  takeGear(last.gear);
  showTable();
  answer.now = last.answer;
  answer.show();
  document.documentElement.dataset.ready = "true";
}
