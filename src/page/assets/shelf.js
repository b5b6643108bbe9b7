// Shots that are kept in this browser: name, address, order. Read anew each time, since another tab may
// have changed them.

const KEY = "shelf";
/** Shots at most, and letters of a name. */
export const MOST = 200;
const LETTERS = 60;

/** Shots of a list that are ones. */
const good = (list) => (Array.isArray(list) ? list : [])
  .filter((s) => s && typeof s.name === "string" && typeof s.shot === "string")
  .map(({ name, shot }) => ({ name: name.slice(0, LETTERS), shot: shot.startsWith("?") ? shot : `?${shot}` }))
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

export function keep(name, shot) {
  const list = shots();
  if (list.length >= MOST) throw new Error(`The shelf holds ${MOST} shots; take one away first.`);
  write([...list, { name: name.trim().slice(0, LETTERS) || `Shot ${list.length + 1}`, shot }]);
}

export function rename(k, name) {
  const list = shots();
  if (list[k] && name.trim()) list[k].name = name.trim().slice(0, LETTERS);
  write(list);
}

export function remove(k) {
  write(shots().filter((_, at) => at !== k));
}

export function move(k, by) {
  const list = shots();
  const to = k + by;
  if (!list[k] || to < 0 || to >= list.length) return;
  [list[k], list[to]] = [list[to], list[k]];
  write(list);
}

/** The shelf as a file, and a file's shots behind those that are there. */
export const asFile = () => `${JSON.stringify({ thincut: "shelf", shots: shots() }, null, 1)}\n`;

export function load(text) {
  let given;
  try {
    given = JSON.parse(text);
  } catch {
    throw new Error("this is no shelf: it is not JSON. Take a file that Save the shelf wrote.");
  }
  const list = good(given?.shots);
  if (given?.thincut !== "shelf" || !list.length) throw new Error("no shots of a shelf are in it. Take a file that Save the shelf wrote.");
  const all = [...shots(), ...list];
  if (all.length > MOST) throw new Error(`with it the shelf would hold ${all.length} shots, and it holds ${MOST}.`);
  write(all);
  return list.length;
}
