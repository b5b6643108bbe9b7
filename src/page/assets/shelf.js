// Shots that are kept: name, address, order. In the practice log where there is one and this is the coach's
// page, so that every browser has them; else in this browser. What the log had last is kept in the browser too.

import { ask } from "./api.js";

const KEY = "shelf";
/** Shots at most, letters of a name, and shots put into the log at a time. */
export const MOST = 200;
const LETTERS = 60;
const AT_ONCE = 50;

/** Shots of a list that are ones. */
const good = (list) => (Array.isArray(list) ? list : [])
  .filter((s) => s && typeof s.name === "string" && typeof s.shot === "string")
  .map(({ id, name, shot }) => ({ ...(Number.isInteger(id) ? { id } : {}), name: name.slice(0, LETTERS), shot: shot.startsWith("?") ? shot : `?${shot}` }))
  .slice(0, MOST);

export function shots() {
  try {
    return good(JSON.parse(localStorage.getItem(KEY) ?? "[]"));
  } catch {
    return [];
  }
}

function write(list) {
  try {
    localStorage.setItem(KEY, JSON.stringify(list));
  } catch {
    throw new Error("This browser gives no room to keep shots. Free some, or leave private browsing.");
  }
}

/** Whether the log has the shelf. */
let inLog = false;

/** Asks the log for one change and keeps what it then has. */
async function change(body) {
  const { shots: all } = await ask("shelf", body);
  write(all);
}

/** Puts shots into the log, some at a time, since a question may only be so long. */
async function addAll(list) {
  for (let k = 0; k < list.length; k += AT_ONCE) {
    await change({ add: list.slice(k, k + AT_ONCE).map(({ name, shot }) => ({ name, shot })) });
  }
}

/** From now on the log has the shelf. It is asked where the shelf is opened. */
export function shelfInLog() {
  inLog = true;
}

/** What the log has, with what other browsers did to it; what was kept in this one before goes there. */
export async function fetchShelf() {
  if (!inLog) return;
  const own = shots().filter((s) => s.id == null);
  await change({});
  const there = new Set(shots().map((s) => s.shot));
  await addAll(own.filter((s) => !there.has(s.shot)));
}

export async function keep(name, shot) {
  const list = shots();
  if (list.length >= MOST) throw new Error(`The shelf holds ${MOST} shots; take one away first.`);
  const one = { name: name.trim().slice(0, LETTERS) || `Shot ${list.length + 1}`, shot };
  if (inLog) await addAll([one]);
  else write([...list, one]);
}

export async function rename(k, name) {
  const list = shots();
  const called = name.trim().slice(0, LETTERS);
  if (!list[k] || !called) return;
  if (inLog) await change({ rename: { id: list[k].id, name: called } });
  else write(list.with(k, { ...list[k], name: called }));
}

export async function remove(k) {
  const list = shots();
  if (!list[k]) return;
  if (inLog) await change({ remove: list[k].id });
  else write(list.filter((_, at) => at !== k));
}

export async function move(k, by) {
  const list = shots();
  const to = k + by;
  if (!list[k] || to < 0 || to >= list.length) return;
  if (inLog) {
    await change({ [by < 0 ? "earlier" : "later"]: list[k].id });
    return;
  }
  [list[k], list[to]] = [list[to], list[k]];
  write(list);
}

/** The shelf as a file, and a file's shots behind those that are there. */
export const asFile = () => `${JSON.stringify({ thincut: "shelf", shots: shots().map(({ name, shot }) => ({ name, shot })) }, null, 1)}\n`;

export async function load(text) {
  let given;
  try {
    given = JSON.parse(text);
  } catch {
    throw new Error("this is no shelf: it is not JSON. Take a file that Save the shelf wrote.");
  }
  const list = good(given?.shots).map(({ name, shot }) => ({ name, shot }));
  if (given?.thincut !== "shelf" || !list.length) throw new Error("no shots of a shelf are in it. Take a file that Save the shelf wrote.");
  const all = [...shots(), ...list];
  if (all.length > MOST) throw new Error(`with it the shelf would hold ${all.length} shots, and it holds ${MOST}.`);
  if (inLog) await addAll(list);
  else write(all);
  return list.length;
}
