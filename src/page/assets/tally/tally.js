// The tally: who made what, one touch a try, straight into the practice log.

import "../theme.js";
import { ask, latest, live } from "../api.js";
import { able, button, isAble, make, table } from "../dom.js";
import { inTheirWords, speakFor } from "../spoken.js";
import { fromAddress, shotBody } from "../state.js";
import { said, withArticle } from "../words.js";
import { Order } from "./order.js";
import { Queue } from "./queue.js";
import { stand, standWords } from "./series.js";
import { thumb } from "./thumb.js";

const by = (id) => document.getElementById(id);
const OUTCOMES = [["made", "Made"], ["full", "Too full"], ["thin", "Too thin"], ["unseen", "Missed"], ["short", "Short"], ["scratch", "Scratch"]];
const SPOKEN = { made: "made", full: "missed too full", thin: "missed too thin", unseen: "missed", short: "missed, it stopped short", scratch: "missed with a scratch" };
/** Kinds of misses as they stand beside the count. */
const SIDES = [["full", "full"], ["thin", "thin"], ["short", "short"], ["scratch", "scratch"]];

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

/** A try is being taken back or put back. */
let revising = false;

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
  const total = { tries: 0, made: 0, full: 0, thin: 0, short: 0, scratch: 0 };
  const known = sheet.counts.find((c) => c.student === student && c.rung === rung);
  for (const part of Object.keys(total)) total[part] = known?.[part] ?? 0;
  for (const outcome of outcomes(student, rung)) {
    total.tries += 1;
    if (outcome in total) total[outcome] += 1;
  }
  return total;
}

/** What a student did at a rung since the counts were fetched. */
const outcomes = (student, rung) => [...sent, ...fresh()]
  .filter((t) => t.student === student && (t.rung ?? null) === rung).map((t) => t.outcome);

/** How a student stands at a rung of a ladder with marks; nothing elsewhere. */
function standing(student, { rung, pass }) {
  if (!pass) return null;
  return stand(pass, sheet.standings.find((s) => s.student === student && s.rung === rung), outcomes(student, rung));
}

/** Where a student goes on, counted from 0: above the hardest rung passed, on marks to the own one; -1 where
 * the whole ladder is passed, nothing where there are no marks. */
function goesOn(student) {
  if (sheet.kind === "marks") return sheet.rungs.findIndex((r) => r.student === student);
  if (!sheet.rungs.some((r) => r.pass)) return null;
  const up = sheet.rungs.findLastIndex((r) => standing(student, r)?.passed) + 1;
  return up < sheet.rungs.length ? up : -1;
}

/** The same as the number of a rung; nothing where there is no further one. */
const upTo = (student) => sheet.rungs[goesOn(student) ?? -1]?.rung;

/** That nothing comes from the program any more, in words. */
let lost = "";

/** Touched here and not in the log yet, as far as this phone knows. */
const fresh = () => queue.pending(mine);

async function tap(student, outcome) {
  complain("");
  const rung = sheet.rungs[at].rung;
  // What was taken back before this one stays so: put back, it would be a try more.
  queue.leaveBack(mine);
  try {
    await queue.add({ ...subject, ...(rung ? { rung } : {}), student, outcome, when: now() });
  } catch (error) {
    complain(error.message);
  }
}

/** While a try waits, here or in another window of this browser, it may be in the counts already: they are
 * asked for again after, ms. */
const LATER = 1000;
let later = 0;

/** The counts of the log; what was sent before they were asked for is in them. */
const fetchCounts = latest(async () => {
  clearTimeout(later);
  if (fresh().length) {
    later = setTimeout(fetchCounts, LATER);
    return;
  }
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

/** Takes a try back, or puts it back; one at a time. */
async function revise(how) {
  if (!isAble(by("undo")) && how === queue.undo) return;
  if (revising) return;
  revising = true;
  complain("");
  try {
    await how.call(queue, mine);
    await fetchCounts();
  } catch (error) {
    complain(error.message);
  }
  revising = false;
  show();
}

// ── showing ───────────────────────────────────────────────────────────────────────────────────

/** Who plays this rung: on a marks sheet its owner, else who is at this screen's table. */
function players() {
  if (sheet.rungs[at].student) return [sheet.rungs[at].student];
  return order.here ? [order.here] : sheet.students;
}

const order = new Order({
  fault: complain,
  /** Whoever comes to this table goes on where they stopped. */
  changed(student) {
    if (!sheet) return;
    const on = student ? goesOn(student) : null;
    if (on != null && on >= 0) go(on);
    else show();
  },
  rung(student) {
    if (sheet?.kind !== "ladder") return "";
    const on = goesOn(student);
    if (on == null) return "";
    return on < 0 ? ", has the whole ladder" : `, rung ${sheet.rungs[on].rung}`;
  },
});

/** Rows by student, made once: what a finger is on may not be exchanged under it. */
const rows = new Map();

function makeRow(student) {
  const counted = make("span", { class: "count" });
  const sides = make("span", { class: "quiet" });
  const mark = make("p", { class: "mark" });
  const buttons = OUTCOMES.map(([outcome, words]) => button(words, () => tap(student, outcome), {
    class: `tap tap-${outcome}`, "data-outcome": outcome, "aria-label": `${student}: ${SPOKEN[outcome]}`,
  }));
  const box = make("li", { class: "player", "data-student": student },
    make("p", { class: "who" }, make("b", {}, student), counted, sides),
    mark, make("div", { class: "taps" }, ...buttons));
  return { box, counted, sides, mark, marked: "" };
}

/** How a student stands, with a way up, and at this screen's table the next one; made anew only where it is
 * another, since a finger may be on it. */
function showMark(row, student) {
  const rung = sheet.rungs[at];
  const stands = standing(student, rung);
  const up = upTo(student);
  const words = stands ? standWords(rung.pass, stands, up) : "";
  const next = order.here === student && (!stands || stands.passed || !stands.series.tries) ? order.waiting[0] ?? "" : "";
  const marked = JSON.stringify([words, up, next, order.table]);
  if (row.marked === marked) return;
  row.marked = marked;
  row.mark.hidden = !words && !next;
  row.mark.classList.toggle("passed", Boolean(stands?.passed));
  row.mark.replaceChildren(words, ...(stands?.passed && up ? [" ", button(`Rung ${up}`, () => go(goesOn(student)), { class: "up", "aria-label": `${student}: go to rung ${up}` })] : []),
    ...(next ? [" ", order.caller(order.table)] : []));
}

function showPlayers() {
  const rung = sheet.rungs[at].rung;
  const shown = players().map((student) => {
    if (!rows.has(student)) rows.set(student, makeRow(student));
    const row = rows.get(student);
    const counts = count(student, rung);
    row.counted.textContent = counts.tries ? `${counts.made} of ${counts.tries}` : "no try yet";
    row.sides.textContent = SIDES.filter(([side]) => counts[side]).map(([side, word]) => `${counts[side]} ${side === "full" ? inTheirWords("too full").replace("too ", "") : word}`).join(", ");
    showMark(row, student);
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
  if (waiting && queue.away) return `${waiting} not in the log yet, kept on this screen until the program answers.${full}`;
  if (lost) return lost;
  const last = queue.last(mine);
  if (!last) return "One touch a try. Each is in the log at once.";
  const where = last.rung ? `, ${named()} ${last.rung}` : "";
  const rung = sheet.rungs.find((r) => r.rung === last.rung);
  const stands = rung && standing(last.student, rung);
  if (stands?.passed && last.outcome === "made" && !stands.series.tries) return `${last.student}${where}: ${standWords(rung.pass, stands, upTo(last.student))}`;
  return `${last.student}${where}: ${SPOKEN[last.outcome]}.${waiting ? " Being recorded…" : ""}`;
}

function show() {
  const rung = sheet.rungs[at];
  const name = capital(named());
  by("title").textContent = rung.rung ? `${name} ${rung.rung} of ${sheet.rungs.length}` : "Your own shot";
  by("words").textContent = said(rung.words);
  showThumb(rung);
  by("easier").hidden = by("harder").hidden = sheet.rungs.length === 1;
  able(by("easier"), at > 0);
  able(by("harder"), at < sheet.rungs.length - 1);
  showPlayers();
  showEvening();
  by("add-form").hidden = !coach || sheet.kind === "marks";
  showGrid();
  order.draw();
  order.offer(sheet.students, sheet.students.filter((s) => sheet.counts.some((c) => c.student === s)));
  by("said").textContent = status();
  by("said").classList.toggle("away", Boolean(queue.away || lost));
  able(by("undo"), Boolean(queue.last(mine)));
  // What has the focus is not hidden under it.
  const back = queue.takenBack(mine);
  if (!back && document.activeElement === by("redo")) by("undo").focus();
  by("redo").hidden = !back;
  if (back) by("redo").textContent = `Put ${back.student}’s try back`;
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
    const sides = ["left", "right"].map((name) => make("span", { class: `end at-${name}`, "aria-hidden": "true" }, name));
    foot.classList.add("at-foot");
    head.classList.add("at-head");
    by("set-up").replaceChildren(head, foot, ...sides, picture);
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
    const text = tries ? `${made}/${tries}` : "·";
    const passed = standing(student, r)?.passed;
    if (!passed) return text;
    // The series that passed, and below it all tries of the day where there were more.
    const series = `${passed.made}/${passed.tries}`;
    return make("span", { class: "passed" }, `${series} `, make("span", { "aria-hidden": "true" }, "✓"), make("span", { class: "unseen" }, "passed"),
      tries && text !== series ? make("small", {}, make("span", { class: "unseen" }, ", today "), text) : "");
  };
  const tried = sheet.students.filter((s) => sheet.rungs.some((r) => count(s, r.rung).tries));
  by("grid").replaceChildren(tried.length
    ? table("Made of tries today", [capital(name), ...tried],
      [...sheet.rungs.map((r, k) => [head(r, k), ...tried.map((s) => cell(s, r))]),
        ...(sheet.rungs.some((r) => r.pass) ? [["Up to", ...tried.map((s) => String(upTo(s) ?? "all"))]] : [])])
    : make("p", { class: "quiet" }, "Nobody has tried it yet today."));
}

/** Misses as they stand on paper. */
const MISSED = [["full", "too full"], ["thin", "too thin"], ["short", "short"], ["scratch", "scratched"]];

/** Everybody's evening, for paper: what was made where, how it was missed, and where to go on. */
function showEvening() {
  const name = named();
  const tried = sheet.students.filter((s) => sheet.rungs.some((r) => count(s, r.rung).tries));
  by("print").hidden = !tried.length || !coach;
  by("for-class").hidden = !coach;
  const what = sheet.rungs[0].rung ? sheetWords({ ...sheet, rungs: sheet.rungs.length }) : sheet.title;
  by("evening-title").textContent = `${sheet.day}. ${what}${sheet.code ? ` (${sheet.code})` : ""}`;
  const rows = tried.map((student) => {
    const played = sheet.rungs.map((r) => ({ r, counts: count(student, r.rung) })).filter(({ counts }) => counts.tries);
    const sum = (part) => played.reduce((all, { counts }) => all + counts[part], 0);
    const [tries, made] = [sum("tries"), sum("made")];
    const missed = MISSED.map(([part, words]) => [sum(part), inTheirWords(words)]);
    const unsaid = tries - made - missed.reduce((all, [n]) => all + n, 0);
    const passed = (r) => standing(student, r)?.passed;
    return [student, `${made} of ${tries}`,
      played.map(({ r, counts }) => `${r.rung ? `${name} ${r.rung}: ` : ""}${counts.made} of ${counts.tries}${passed(r) ? " ✓" : ""}`).join(", "),
      [...missed, [unsaid, "not said how"]].filter(([n]) => n).map(([n, words]) => `${n} ${words}`).join(", ") || "nothing",
      goesOn(student) == null ? "" : upTo(student) ? `${name} ${upTo(student)}` : "the whole sheet is passed"];
  });
  by("evening-table").replaceChildren(table("The evening", ["Student", "Made", "Where (✓ passed)", "Missed", "Go on at"], rows));
}

/** For the class: who plays where and what was made, over the whole window. */
function forClass(on) {
  document.documentElement.toggleAttribute("data-class", on);
  by("for-class").setAttribute("aria-pressed", String(on));
}
by("for-class").addEventListener("click", () => forClass(!document.documentElement.hasAttribute("data-class")));
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") forClass(false);
  const undoes = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey && event.key.toLowerCase() === "z";
  if (!undoes || !sheet || event.target.closest("input, select, textarea")) return;
  event.preventDefault();
  revise(queue.undo);
});
by("print").addEventListener("click", () => window.print());

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
  order.coach = all;
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
  await order.fetch();
}

try {
  await start();
} catch (error) {
  complain(error.message);
}
// Every phone's tries at once, and the coach's.
if (sheet) {
  live({
    log: () => fetchCounts(),
    order: () => order.fetch(),
    lost(why) {
      if (!lost) lost = why || `No connection since ${now().slice(11, 16)}: what others count is not shown here. It goes on by itself.`;
      show();
    },
    found() {
      lost = "";
      show();
    },
  });
}
by("back").href = `/${sessionStorage.getItem("shot") ?? ""}`;
/** Pages of the tally since the table: its own history, with what was open and what can be undone, is so far back. */
const away = history.state?.away ?? (sessionStorage.getItem("away") === null ? null : Number(sessionStorage.getItem("away")) + 1);
if (away !== null) {
  history.replaceState({ ...history.state, away }, "");
  sessionStorage.setItem("away", String(away));
  by("back").addEventListener("click", (event) => {
    event.preventDefault();
    history.go(-away);
  });
}
document.documentElement.dataset.ready = "true";
