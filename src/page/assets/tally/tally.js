// The tally: who made what, one touch a try, straight into the practice log.

import "../theme.js";
import { ask, latest, live } from "../api.js";
import { button, make, table } from "../dom.js";
import { inTheirWords, speakFor } from "../spoken.js";
import { fromAddress, shotBody } from "../state.js";
import { said, withArticle } from "../words.js";
import { Queue } from "./queue.js";
import { thumb } from "./thumb.js";

const by = (id) => document.getElementById(id);
const OUTCOMES = [["made", "Made"], ["full", "Too full"], ["thin", "Too thin"], ["unseen", "Missed"]];
const SPOKEN = { made: "made", full: "missed too full", thin: "missed too thin", unseen: "missed" };

const address = new URLSearchParams(location.search);
const code = address.get("code")?.trim().toUpperCase() ?? null;
let sheet = null;
/** The rung played, counted from 0; kept over a reload. */
let at = 0;

function complain(message) {
  by("fault").hidden = !message;
  by("fault").textContent = message;
}

/** What is tallied, as the program takes it: a code, or the shot in the address. */
let subject = null;
const key = () => JSON.stringify(subject);
const mine = (tap) => JSON.stringify(tap.code ? { code: tap.code } : { shot: tap.shot }) === key();

/** Whether this link may do everything, or only count. */
let coach = true;

/** In the log, but not yet in the counts that were fetched. */
let sent = [];

const queue = new Queue(ask, {
  changed() {
    showRefused();
    if (sheet) show();
  },
  sent: (tap) => { if (mine(tap)) sent.push(tap); },
  back: (tap) => { sent = sent.filter((s) => s.when !== tap.when || s.student !== tap.student); },
  emptied: () => { if (sheet) fetchCounts(); },
});
window.addEventListener("online", () => queue.send());

/** The time here to the millisecond, with its offset. */
function now() {
  const time = new Date();
  const two = (n) => String(n).padStart(2, "0");
  const offset = -time.getTimezoneOffset();
  const zone = `${offset < 0 ? "-" : "+"}${two(Math.floor(Math.abs(offset) / 60))}:${two(Math.abs(offset) % 60)}`;
  const local = new Date(time.getTime() + offset * 60_000).toISOString().slice(0, 23);
  return local + zone;
}

// ── counting ──────────────────────────────────────────────────────────────────────────────────

/** Tries of a student on a rung: what the log had, and what was touched since. */
function count(student, rung) {
  const total = { tries: 0, made: 0, full: 0, thin: 0 };
  const known = sheet.counts.find((c) => c.student === student && c.rung === rung);
  for (const part of Object.keys(total)) total[part] = known?.[part] ?? 0;
  for (const tap of [...sent, ...fresh()]) {
    if (tap.student !== student || (tap.rung ?? null) !== rung) continue;
    total.tries += 1;
    if (tap.outcome in total) total[tap.outcome] += 1;
  }
  return total;
}

/** Touched here and not in the log yet, as far as this phone knows. */
const fresh = () => queue.pending(mine);

async function tap(student, outcome) {
  complain("");
  const rung = sheet.rungs[at].rung;
  try {
    await queue.add({ ...subject, ...(rung ? { rung } : {}), student, outcome, when: now() });
  } catch (error) {
    complain(error.message);
  }
}

/** The counts of the log; what was sent before they were asked for is in them. */
const fetchCounts = latest(async () => {
  if (fresh().length) return;
  const before = sent.length;
  try {
    sheet = await ask("tally", subject);
    sent = sent.slice(before);
    show();
  } catch (error) {
    // That the program is away stands beside the tries that wait for it.
    if (!error.away) complain(error.message);
  }
});

/** Takes a try back, or puts it back. */
async function revise(how) {
  by("undo").disabled = by("redo").disabled = true;
  complain("");
  try {
    await how.call(queue, mine);
    await fetchCounts();
  } catch (error) {
    complain(error.message);
  }
  show();
}

// ── showing ───────────────────────────────────────────────────────────────────────────────────

/** Who plays this rung: on a marks sheet its owner. */
const players = () => (sheet.rungs[at].student ? [sheet.rungs[at].student] : sheet.students);

/** Rows by student, made once: what a finger is on may not be exchanged under it. */
const rows = new Map();

function makeRow(student) {
  const counted = make("span", { class: "count" });
  const sides = make("span", { class: "quiet" });
  const buttons = OUTCOMES.map(([outcome, words]) => button(words, () => tap(student, outcome), {
    class: `tap tap-${outcome}`, "data-outcome": outcome, "aria-label": `${student}: ${SPOKEN[outcome]}`,
  }));
  const box = make("li", { class: "player", "data-student": student },
    make("p", { class: "who" }, make("b", {}, student), counted, sides),
    make("div", { class: "taps" }, ...buttons));
  return { box, counted, sides };
}

function showPlayers() {
  const rung = sheet.rungs[at].rung;
  const shown = players().map((student) => {
    if (!rows.has(student)) rows.set(student, makeRow(student));
    const row = rows.get(student);
    const { tries, made, full, thin } = count(student, rung);
    row.counted.textContent = tries ? `${made} of ${tries}` : "no try yet";
    row.sides.textContent = [full && `${full} ${inTheirWords("too full").replace("too ", "")}`, thin && `${thin} thin`].filter(Boolean).join(", ");
    return row.box;
  });
  const list = by("players");
  if (shown.length !== list.children.length || shown.some((box, k) => box !== list.children[k])) list.replaceChildren(...shown);
}

/** What a shot of this sheet is called. */
const named = () => ({ marks: "mark", lesson: "shot" })[sheet.kind] ?? "rung";
const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** The last try and what waits, in words. */
function status() {
  const waiting = fresh().length;
  const full = queue.full ? " This phone can keep no more than these." : "";
  if (waiting && queue.away) return `${waiting} not in the log yet: ${queue.away} They are kept here and sent again.${full}`;
  const last = queue.last(mine);
  if (!last) return "One touch a try. Each is in the log at once.";
  const where = last.rung ? `, ${named()} ${last.rung}` : "";
  return `${last.student}${where}: ${SPOKEN[last.outcome]}.${waiting ? " Being recorded…" : ""}`;
}

function show() {
  const rung = sheet.rungs[at];
  const name = capital(named());
  by("title").textContent = rung.rung ? `${name} ${rung.rung} of ${sheet.rungs.length}` : "Your own shot";
  by("words").textContent = said(rung.words);
  showThumb(rung);
  by("easier").hidden = by("harder").hidden = sheet.rungs.length === 1;
  by("easier").disabled = at === 0;
  by("harder").disabled = at === sheet.rungs.length - 1;
  showPlayers();
  by("add-form").hidden = !coach || sheet.kind === "marks";
  showGrid();
  by("said").textContent = status();
  by("said").classList.toggle("away", Boolean(queue.away));
  by("undo").disabled = !queue.last(mine);
  by("redo").hidden = !queue.takenBack(mine);
  by("redo").disabled = false;
}

/** Tries that the program did not take, until somebody has seen them. */
function showRefused() {
  const all = queue.refused;
  by("refused").hidden = !all.length;
  by("refused-tries").replaceChildren(...all.map(({ tap, words, back }) => make("li", {},
    `${tap.student}, ${SPOKEN[tap.outcome]}, ${tap.when.slice(0, 16).replace("T", " ")}: ${back ? "stays in the log" : "not in the log"}. ${words}`)));
}

/** Tables that were asked for, by what they are. */
const plans = new Map();

/** The rung as a picture, where its places are known; drawn when its table has been asked for. */
async function showThumb(rung) {
  const { places, gear, set } = rung;
  by("set-up").hidden = !places;
  const wanted = JSON.stringify([places, gear, set]);
  if (!places || by("set-up").dataset.shown === wanted) return;
  by("set-up").dataset.shown = wanted;
  const table = JSON.stringify([gear, set]);
  if (!plans.has(table)) plans.set(table, ask("gear", { table: gear, ...(set.length ? { set } : {}) }));
  try {
    const { plan, pairs } = await plans.get(table);
    speakFor(pairs);
    if (by("set-up").dataset.shown !== wanted) return;
    // As the table lies on the page.
    const standing = window.innerWidth < 768 && window.innerHeight > window.innerWidth;
    const [head, foot] = (plan.marks === "diamonds" ? ["head", "foot"] : ["baulk", "top"]).map((name) => make("span", { class: "end", "aria-hidden": "true" }, name));
    const picture = thumb(plan, places, standing);
    by("set-up").classList.toggle("standing", standing);
    by("set-up").replaceChildren(...(standing ? [foot, picture, head] : [head, picture, foot]));
  } catch {
    // The words say it too; asked again with the next rung.
    plans.delete(table);
    delete by("set-up").dataset.shown;
    by("set-up").hidden = true;
  }
}

/** A row a rung, so that all of them fit a phone; a column for everybody who has tried today. */
function showGrid() {
  const name = named();
  const head = (r, k) => (r.rung
    ? button(String(r.rung), () => go(k), { "aria-label": `Go to ${name} ${r.rung}`, ...(k === at ? { "aria-current": "true" } : {}) })
    : "this shot");
  const cell = (student, r) => {
    const { tries, made } = count(student, r.rung);
    return tries ? `${made}/${tries}` : "·";
  };
  const tried = sheet.students.filter((s) => sheet.rungs.some((r) => count(s, r.rung).tries));
  by("grid").replaceChildren(tried.length
    ? table("Made of tries today", [capital(name), ...tried],
      sheet.rungs.map((r, k) => [head(r, k), ...tried.map((s) => cell(s, r))]))
    : make("p", { class: "quiet" }, "Nobody has tried it yet today."));
}

function go(k) {
  at = Math.min(Math.max(k, 0), sheet.rungs.length - 1);
  sessionStorage.setItem(`rung ${key()}`, String(at));
  show();
}

/** `Ladder for a club player, assumed: mixed, 6 rungs`. */
function sheetWords({ kind, title, rungs }) {
  const [, practise, who] = /^(\S+) for (.+)$/.exec(title) ?? [];
  const count = (one) => `${rungs} ${one}${rungs === 1 ? "" : "s"}`;
  if (kind === "marks") return `${title}, ${count("mark")}`;
  if (kind === "lesson") return `${title}, ${count("shot")}`;
  return who ? `Ladder for ${withArticle(who)}: ${practise.replaceAll("-", " ")}, ${count("rung")}` : `Ladder: ${title}, ${count("rung")}`;
}

// ── choosing ──────────────────────────────────────────────────────────────────────────────────

async function choose() {
  // What lies on the page's table, kept there for this tab.
  const own = sessionStorage.getItem("shot");
  by("free").href = `/tally${own || "?free=1"}`;
  by("free").textContent = own ? "Count tries of the shot on the table" : "Count tries of a half-ball shot";
  by("choose").hidden = false;
  const { sheets } = await ask("sheets", {});
  by("sheets").replaceChildren(sheets.length
    ? make("ul", { class: "kept-sheets" }, ...sheets.map((s) => make("li", {}, make("a", { href: `/tally?code=${s.code}` },
      make("b", { class: "code" }, s.code), ` ${sheetWords(s)}`))))
    : make("p", { class: "quiet" }, "No sheet is kept yet: draw one up on the page under Ladder or Marks and keep it."));
}

/** The shot in the address, or the one the page opens on. */
async function ownShot() {
  const state = fromAddress(location.search);
  const { start } = await ask("gear", {});
  for (const ball of ["cue", "object"]) state[ball] ??= start[ball].split(",").map(Number);
  state.pocket ??= start.pocket;
  const whole = shotBody(state);
  const kept = ["cue", "object", "pocket", "pace", "roll", "hit", "side", "bridge", "table", "set"];
  return Object.fromEntries(kept.filter((k) => k in whole).map((k) => [k, whole[k]]));
}

by("code-form").addEventListener("submit", (event) => {
  event.preventDefault();
  location.href = `/tally?code=${encodeURIComponent(by("code").value.trim())}`;
});
by("add-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    await ask("student", { label: by("label").value.trim() });
    by("label").value = "";
    complain("");
    await fetchCounts();
  } catch (error) {
    complain(error.message);
  }
});
by("easier").addEventListener("click", () => go(at - 1));
by("harder").addEventListener("click", () => go(at + 1));
by("undo").addEventListener("click", () => revise(queue.undo));
by("redo").addEventListener("click", () => revise(queue.redo));
by("seen").addEventListener("click", () => queue.seen());

// ── start ─────────────────────────────────────────────────────────────────────────────────────

async function start() {
  const { log, all } = await ask("students", {});
  coach = all;
  showRefused();
  if (!log) {
    complain("This page was started without a practice log. Start it with: thincut explore --log FILE");
    return;
  }
  if (!code && !address.has("cue") && !address.has("free")) {
    await choose();
    return;
  }
  subject = code ? { code } : { shot: await ownShot() };
  // What an earlier visit left behind goes first.
  await queue.send();
  try {
    sheet = await ask("tally", subject);
    sent = [];
  } catch (error) {
    // What was typed stays to be mended, and what is wrong stands beside it.
    by("code").value = code ?? "";
    by("code-form").after(by("fault"));
    await choose();
    throw error;
  }
  if (code) subject = { code: sheet.code };
  at = Math.min(Number(sessionStorage.getItem(`rung ${key()}`) ?? 0), sheet.rungs.length - 1);
  by("playing").hidden = false;
  by("foot").hidden = false;
  show();
}

try {
  await start();
} catch (error) {
  complain(error.message);
}
// Every phone's tries at once, and the coach's.
if (sheet) live({ log: () => fetchCounts() });
by("back").href = `/${sessionStorage.getItem("shot") ?? ""}`;
document.documentElement.dataset.ready = "true";
