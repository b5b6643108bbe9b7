// The page: its state, one question to the program per change, and who is told of it.

import "./theme.js";
import { Answer } from "./answer.js";
import { ask, latest } from "./api.js";
import { addBall, diamond, isOther, keys, labelOf, mmOf, nameOf, objectName, placeOf, playBall, putAt, reachable, removeBall } from "./balls.js";
import { Drawer } from "./drawer.js";
import { listen } from "./hands.js";
import { keeping } from "./keeping.js";
import { Others } from "./others.js";
import { USUAL_PACE, playerChosen, showPicks, usual, whoAims } from "./picks.js";
import { drawMap } from "./places.js";
import { fromAddress, gearBody, shotBody, toAddress } from "./state.js";
import { Table } from "./table.js";
import { Views } from "./views/views.js";

const by = (id) => document.getElementById(id);
const table = new Table(by("table"));
const answer = new Answer(table);
const legend = { table, box: by("legend"), bar: by("legend-bar"), low: by("legend-low"), high: by("legend-high"), words: by("legend-words") };

let state = fromAddress(location.search);
let gear = null;
let moving = false;
let selected = "cue";
let people = { log: false, all: true, students: [] };

/** A window taller than wide stands the table up. */
const standing = () => window.innerWidth < 768 && window.innerHeight > window.innerWidth;

// ── places ────────────────────────────────────────────────────────────────────────────────────

const mm = (key) => mmOf(gear.plan, state, key);

/** A change begins: what is shown now is what it was before. */
function begin() {
  if (!moving) answer.before = answer.now;
  moving = true;
}

function move(key, at, { exact = false } = {}) {
  let [x, y] = at;
  if (state.snap && !exact) [x, y] = at.map((v, k) => (Math.round((4 * v) / diamond(gear.plan)[k]) * diamond(gear.plan)[k]) / 4);
  const place = reachable(gear.plan, state, key, [x, y]);
  if (!place) return;
  begin();
  putAt(state, key, place);
  showBalls();
  solve();
}

// ── history ───────────────────────────────────────────────────────────────────────────────────

/** Keeps the present state in the address, as a step one can go back from. */
function settle() {
  moving = false;
  const address = toAddress(state);
  if (address !== location.search) {
    const depth = (history.state?.depth ?? 0) + 1;
    history.pushState({ depth }, "", address);
    by("undo").disabled = false;
  }
  askRange();
  answer.tellSoon();
}

window.addEventListener("popstate", async () => {
  state = fromAddress(location.search);
  answer.before = null;
  by("undo").disabled = !(history.state?.depth > 0);
  await loadGear();
  refresh();
  views.show(state.view);
  answer.tellSoon();
});

// ── asking ────────────────────────────────────────────────────────────────────────────────────

const askShot = latest(async () => {
  try {
    answer.now = await ask("shot", shotBody(state));
    complain("");
    answer.show();
  } catch (error) {
    complain(error.message);
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

/** Done when the newest shot has been answered. */
let solved = Promise.resolve();
function solve() {
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
  gear = await ask("gear", gearBody(state));
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
  const named = (key) => key !== "cue";
  table.put(keys(state).map((key) => ({
    key, label: labelOf(state, key), at: mm(key), name: named(key) ? nameOf(state, key) : "",
  })), state.pocket, selected);
  others.show(state, selected);
  // Also while it is closed: its steps start from what it holds.
  showDrawer();
}

const showChoices = () => showPicks(state, gear, people);
const showDrawer = () => drawer.show(state, gear, usual(state, gear, people));

/** Everything anew: after a change of equipment, window or history. */
function refresh() {
  table.lay(gear.plan, standing());
  showChoices();
  showBalls();
  if (!state.map) drawMap(table.mapLayer, legend, null);
  answer.show();
  solve();
  askRange();
  return solved;
}

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
    begin();
    await refresh();
    settle();
  } catch (error) {
    Object.assign(state, before);
    complain(error.message);
  }
}

function change(key, value) {
  const set = { ...state.set };
  if (value) set[key] = value;
  else delete set[key];
  return otherGear({ set });
}

const drawer = new Drawer({ coordinate, option, change });

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
    const key = addBall(gear.plan, state);
    if (!key) complain("There is no room for another ball; take one away first.");
    else ballsChanged(key);
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
  showChoices();
  mapSoon();
  settle();
});
by("compare").addEventListener("click", () => {
  answer.pin();
  by("compare").setAttribute("aria-pressed", String(Boolean(answer.pinned)));
});
by("undo").addEventListener("click", () => history.back());
by("start-over").addEventListener("click", async () => {
  state = fromAddress("");
  answer.before = null;
  await loadGear();
  await refresh();
  settle();
});

// ── more about this shot ──────────────────────────────────────────────────────────────────────

const views = new Views({
  state: () => state,
  gear: () => gear,
  students: () => people.students,
  hasLog: () => people.log,
  body: () => shotBody(state),
  objectName: () => objectName(state),
  async noShot() {
    await solved;
    return answer.noShot;
  },
  play({ ball, pocket }) {
    begin();
    playBall(state, ball);
    state.pocket = pocket;
    selected = "cue";
    refresh();
    settle();
    by("headline").scrollIntoView({ block: "nearest" });
  },
  place({ cue, object, pocket }) {
    begin();
    Object.assign(state, { cue: cue.split(",").map(Number), object: object.split(",").map(Number), pocket });
    refresh();
    settle();
    by("table").scrollIntoView({ block: "nearest" });
  },
  keep(name) {
    if (name) state.view = name;
    else delete state.view;
    views.show(state.view);
    settle();
  },
});

keeping({ state: () => state, answer: () => answer.now, svg: by("table"), loaded: () => ballsChanged("cue") });

// ── start ─────────────────────────────────────────────────────────────────────────────────────

let resizing = 0;
window.addEventListener("resize", () => {
  cancelAnimationFrame(resizing);
  resizing = requestAnimationFrame(() => {
    if (!gear) return;
    if (table.standing !== standing()) refresh();
    else {
      table.fit();
      answer.show();
    }
  });
});

try {
  [people] = await Promise.all([ask("students", {}), loadGear()]);
  views.build(people);
  by("tally-link").hidden = !people.log;
  by("undo").disabled = !(history.state?.depth > 0);
  by("tally-link").addEventListener("click", () => sessionStorage.setItem("shot", toAddress({ ...state, map: false, view: null })));
  await refresh();
  views.show(state.view);
  document.documentElement.dataset.ready = "true";
} catch (error) {
  complain(error.message);
}
