// The page: state, one question to the program per change, and what is shown of the answer.

import "./theme.js";
import { ask, latest } from "./api.js";
import {
  addBall, diamond, isOther, keys, labelOf, mmOf, nameOf, objectName, otherKey, placeOf, playBall, putAt, reachable, removeBall,
} from "./balls.js";
import { Drawer } from "./drawer.js";
import { listen } from "./hands.js";
import { ghostView, pocketView } from "./inset.js";
import { keeping } from "./keeping.js";
import { Others } from "./others.js";
import { drawMap } from "./places.js";
import { drawBefore, drawShot } from "./shot.js";
import { fromAddress, gearBody, shotBody, toAddress } from "./state.js";
import { Table } from "./table.js";
import { Views } from "./views/views.js";

const by = (id) => document.getElementById(id);
const table = new Table(by("table"));
const legend = { box: by("legend"), bar: by("legend-bar"), low: by("legend-low"), high: by("legend-high"), words: by("legend-words") };

let state = fromAddress(location.search);
let gear = null;
let answer = null;
let pinned = null;
/** The answer before the present move, for "was 6 in 10". */
let previous = null;
let moving = false;
let selected = "cue";
let people = { log: false, students: [] };

/** A window taller than wide stands the table up. */
const standing = () => window.innerWidth < 768 && window.innerHeight > window.innerWidth;

// ── places ────────────────────────────────────────────────────────────────────────────────────

const mm = (key) => mmOf(gear.plan, state, key);

/** A change begins: what is shown now is what it was before. */
function begin() {
  if (!moving) previous = answer;
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
  tellSoon();
}

window.addEventListener("popstate", async () => {
  state = fromAddress(location.search);
  previous = null;
  by("undo").disabled = !(history.state?.depth > 0);
  await loadGear();
  refresh();
  views.show(state.view);
  tellSoon();
});

// ── asking ────────────────────────────────────────────────────────────────────────────────────

const solve = latest(async () => {
  try {
    const got = await ask("shot", shotBody(state));
    answer = got;
    complain("");
    showAnswer();
  } catch (error) {
    complain(error.message);
  }
  if (state.map) mapSoon();
  views.changed();
});

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
  const named = (key) => key !== "cue" && state.balls.length > 0;
  table.put(keys(state).map((key) => ({
    key, label: labelOf(state, key), at: mm(key), name: named(key) ? nameOf(state, key) : "",
  })), state.pocket, selected);
  others.show(state, selected);
}

function showAnswer() {
  by("number").textContent = answer.headline.number;
  by("words").textContent = answer.headline.words;
  const was = previous?.headline.number;
  by("was").textContent = was && was !== answer.headline.number ? `was ${was}` : "";
  by("room").textContent = answer.shot.drop ? answer.lines[0] : "";
  const hard = answer.chance ? [answer.chance] : [];
  by("lines").replaceChildren(...hard.concat(answer.lines.slice(1)).map((line) => {
    const item = document.createElement("li");
    item.textContent = line;
    return item;
  }));
  by("before").hidden = !pinned;
  if (pinned) {
    by("before-number").textContent = pinned.headline.number;
    by("before-words").textContent = pinned.headline.words;
    by("before-room").textContent = pinned.shot.drop ? pinned.lines[0] : "";
  }
  by("around").textContent = answer.around.join(" ");
  by("around").classList.toggle("careful", answer.cue?.end === "scratch");
  table.mark(answer.others.blockers.map(otherKey));
  drawShot(table.shotLayer, answer.drawing, answer.cue);
  drawBefore(table.wasLayer, (pinned ?? previous)?.drawing);
  showCloseUps();
  if (!by("drawer").hidden) showDrawer();
}

function showCloseUps() {
  if (!answer) return;
  ghostView(by("at-ghost"), by("ghost-caption"), table, answer);
  pocketView(by("at-pocket"), by("pocket-caption"), table, answer);
}
new ResizeObserver(showCloseUps).observe(by("at-ghost"));

/** Read out once the hand is still. */
let telling = 0;
function tellSoon() {
  clearTimeout(telling);
  telling = setTimeout(() => {
    by("live").textContent = by("fault").hidden ? `${answer?.headline.number ?? ""} ${answer?.headline.words ?? ""}` : "";
  }, 600);
}

function fill(select, entries, value) {
  select.replaceChildren(...entries.map(([key, words]) => new Option(words, key)));
  if (![...select.options].some((o) => o.value === value)) select.add(new Option(`${value}`, value));
  select.value = value;
}

function showPicks() {
  const levels = gear.players.map((p) => [p.name, p.spoken]);
  const own = state.arm || state.picture ? [["own", "as entered under Controls"]] : [];
  const known = people.students.filter((s) => s.arm).map((s) => [`student:${s.label}`, `student ${s.label}, from ${s.tries} tries`]);
  const student = state.student ? `student:${state.student}` : null;
  fill(by("player"), [["nobody", "nobody: room only"], ...known, ...levels, ...own], own.length ? "own" : student ?? state.level);
  const paces = gear.paces.map((p) => [p.pace, p.words]);
  fill(by("pace"), paces, state.pace ?? "1m/s");
  by("hit").value = state.hit ?? "roll";
  by("hit").disabled = Boolean(state.roll);
  fill(by("pocket"), gear.plan.pockets.map((p) => [p.name, p.name.replace("-", " ")]), state.pocket);
  fill(by("gear"), gear.names.map((n) => [n, n]), state.gear ?? gear.names[0]);
  by("gear-note").textContent = gear.note ?? "";
  by("snap").checked = state.snap;
  by("map").setAttribute("aria-pressed", String(state.map));
  by("hand").value = state.hand ?? "right";
  by("seated").checked = state.seated;
}

/** Arm and picture of the student or the level chosen. */
const whoAims = () => people.students.find((s) => s.label === state.student) ?? gear.players.find((p) => p.name === state.level);

function showDrawer() {
  const player = whoAims();
  drawer.show(state, gear, {
    pace: "1m/s", roll: { stun: "0", draw: "-0.5", follow: "1.25" }[state.hit] ?? "1", side: "0", bridge: "10in",
    arm: player?.arm ?? "", picture: player?.picture ?? "", reach: state.seated ? "700mm" : "1m",
  });
}

/** Everything anew: after a change of equipment, window or history. */
function refresh() {
  table.lay(gear.plan, standing());
  showPicks();
  showBalls();
  showDrawer();
  if (!state.map) drawMap(table.mapLayer, legend, null);
  if (answer) showAnswer();
  return solve();
}

// ── changing ──────────────────────────────────────────────────────────────────────────────────

function option(key, value) {
  begin();
  if (value) state[key] = value;
  else delete state[key];
  // One part of the aim given, the other is the level's.
  if (key === "arm" || key === "picture") {
    const known = whoAims();
    const other = key === "arm" ? "picture" : "arm";
    if (value && known) state[other] ??= known[other];
    if (value) delete state.student;
  }
  showPicks();
  showDrawer();
  solve();
  settle();
}

async function change(key, value) {
  const before = { ...state.set };
  if (value) state.set[key] = value;
  else delete state.set[key];
  try {
    await loadGear();
    await refresh();
    settle();
  } catch (error) {
    state.set = before;
    complain(error.message);
  }
}

const drawer = new Drawer({
  coordinate,
  option,
  change,
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
  showPicks();
  showBalls();
  solve();
  settle();
}

listen(table, { mm, selected: () => selected, diamond: () => diamond(gear.plan) }, { select, moved: move, settled: settle, pocket: choosePocket, remove });

by("player").addEventListener("change", (e) => {
  if (e.target.value === "own") return;
  delete state.arm;
  delete state.picture;
  delete state.student;
  const [kind, label] = e.target.value.split(":");
  if (kind === "student") option("student", label);
  else option("level", e.target.value);
});
by("hit").addEventListener("change", (e) => option("hit", e.target.value === "roll" ? "" : e.target.value));
by("pace").addEventListener("change", (e) => option("pace", e.target.value === "1m/s" ? "" : e.target.value));
by("pocket").addEventListener("change", (e) => choosePocket(e.target.value));
by("hand").addEventListener("change", (e) => option("hand", e.target.value === "right" ? "" : e.target.value));
by("seated").addEventListener("change", (e) => option("seated", e.target.checked));
by("snap").addEventListener("change", (e) => { state.snap = e.target.checked; settle(); });
by("gear").addEventListener("change", async (e) => {
  const before = { gear: state.gear, set: state.set };
  Object.assign(state, { gear: e.target.value, set: {} });
  try {
    await loadGear();
    await refresh();
    settle();
  } catch (error) {
    Object.assign(state, before);
    complain(error.message);
  }
});
by("map").addEventListener("click", () => {
  state.map = !state.map;
  showPicks();
  mapSoon();
  settle();
});
by("compare").addEventListener("click", () => {
  pinned = pinned ? null : answer;
  by("compare").setAttribute("aria-pressed", String(Boolean(pinned)));
  showAnswer();
});
by("undo").addEventListener("click", () => history.back());
by("start-over").addEventListener("click", async () => {
  state = fromAddress("");
  previous = null;
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

keeping({ state: () => state, answer: () => answer, svg: by("table"), loaded: () => ballsChanged("cue") });

// ── start ─────────────────────────────────────────────────────────────────────────────────────

let resizing = 0;
window.addEventListener("resize", () => {
  cancelAnimationFrame(resizing);
  resizing = requestAnimationFrame(() => {
    if (!gear) return;
    if (table.standing !== standing()) refresh();
    else {
      table.fit();
      if (answer) showAnswer();
    }
  });
});

try {
  [people] = await Promise.all([ask("students", {}), loadGear()]);
  views.build(people.log);
  by("tally-link").hidden = !people.log;
  by("undo").disabled = !(history.state?.depth > 0);
  by("tally-link").addEventListener("click", () => sessionStorage.setItem("shot", toAddress({ ...state, map: false, view: null })));
  await refresh();
  views.show(state.view);
  document.documentElement.dataset.ready = "true";
} catch (error) {
  complain(error.message);
}
