// The pickers: who plays, how, into which pocket, on which table.

import { inWords, pocketWords, said } from "./words.js";

const by = (id) => document.getElementById(id);

/** Entries are `[value, words]`, and whether it cannot be chosen. */
function fill(select, entries, value) {
  select.replaceChildren(...entries.map(([key, words, not]) => Object.assign(new Option(words, key), { disabled: Boolean(not) })));
  if (![...select.options].some((o) => o.value === value)) select.add(new Option(`${value}`, value));
  select.value = value;
}

/** The pace the page opens with. */
export const USUAL_PACE = "1m/s";
/** A pace that is no round number of lengths on this table. */
const paceWords = (pace) => pace.replace(/^\s*([\d.]+)\s*([a-z/]+)\s*$/i, "$1\u00a0$2 at the pocket");
/** Roll of the named hits; a centre-ball stroke brings what it brings. */
const ROLLS = { roll: "1", stun: "0", draw: "-0.5", follow: "1.25" };

/** Arm and picture of the student or the level chosen. */
export const whoAims = (state, gear, people) => people.students.find((s) => s.label === state.student)
  ?? gear.players.find((p) => p.name === state.level);

export function showPicks(state, gear, people) {
  const levels = gear.players.map((p) => [p.name, p.spoken]);
  const own = state.arm || state.picture ? [["own", "as entered under Controls"]] : [];
  const told = (s) => (s.arm ? `student ${s.label}, from ${s.counted ?? s.tries} tries` : `student ${s.label}, not told by ${s.tries} ${s.tries === 1 ? "try" : "tries"} yet`);
  const known = people.students.map((s) => [`student:${s.label}`, told(s), !s.arm && s.label !== state.student]);
  const student = state.student ? `student:${state.student}` : null;
  fill(by("player"), [["nobody", "nobody: margin only"], ...known, ...levels, ...own], own.length ? "own" : student ?? state.level);
  const pace = state.pace ?? USUAL_PACE;
  const other = gear.paces.some((p) => p.pace === pace) ? [] : [[pace, paceWords(pace)]];
  fill(by("pace"), [...other, ...gear.paces.map((p) => [p.pace, p.words])], pace);
  by("hit").value = state.hit || "centre";
  by("hit").disabled = Boolean(state.roll);
  fill(by("pocket"), gear.plan.pockets.map((p) => [p.name, pocketWords(p.name)]), state.pocket);
  fill(by("gear"), gear.names.map((name) => [name, inWords(gear, name)]), state.gear ?? gear.names[0]);
  by("gear-note").textContent = gear.note ?? "";
  const level = own.length || student ? null : gear.players.find((p) => p.name === state.level);
  by("level-note").textContent = level?.test_shot ? said(`A ${level.name.replace("-", " ")} player ${level.test_shot}.`) : "";
  by("snap").checked = state.snap;
  by("map").setAttribute("aria-pressed", String(state.map));
  by("hand").value = state.hand ?? "right";
  by("seated").checked = state.seated;
}

/** What the fields of the drawer hold when nothing is entered. */
export function usual(state, gear, people) {
  const player = whoAims(state, gear, people);
  return {
    pace: USUAL_PACE, roll: ROLLS[state.hit] ?? "", side: "0", bridge: "10in",
    arm: player?.arm ?? "", picture: player?.picture ?? "", reach: state.seated ? "700mm" : "1m",
  };
}

/** What a choice among the players means for the state: `[option, value]`. */
export function playerChosen(value) {
  const [kind, label] = value.split(":");
  return kind === "student" ? ["student", label] : ["level", value];
}
