// The shelf: shots with a name, in an order, up to four beside each other.

import { sentence } from "../answer.js";
import { ask, download } from "../api.js";
import { mmOf } from "../balls.js";
import { button, field, make } from "../dom.js";
import { save } from "../keep.js";
import { asFile, fetchShelf, keep, load, move, remove, rename, shots } from "../shelf.js";
import { fromAddress, gearBody, shotBody } from "../state.js";
import { thumb } from "../tally/thumb.js";
import { said } from "../words.js";

/** Shots beside each other at most. */
const BESIDE = 4;

/** Where this tab keeps which shots were ticked. */
const TICKED = "beside";

/** The shots that are ticked, by their address. */
const chosen = new Set(JSON.parse(sessionStorage.getItem(TICKED) ?? "[]"));
const rememberTicks = () => sessionStorage.setItem(TICKED, JSON.stringify([...chosen]));

/** Tables and answers that were asked for, by what was asked. */
const known = new Map();

function once(path, body) {
  const key = JSON.stringify([path, body]);
  if (!known.has(key)) {
    const answer = ask(path, body);
    known.set(key, answer);
    answer.catch(() => known.delete(key));
  }
  return known.get(key);
}

/** A kept shot with its table and answer; `fault` where the program cannot answer it. */
async function solved({ name, shot }) {
  const state = fromAddress(shot);
  try {
    const gear = await once("gear", gearBody(state));
    for (const ball of ["cue", "object"]) state[ball] ??= gear.start[ball].split(",").map(Number);
    state.pocket ??= gear.start.pocket;
    const body = shotBody(state);
    const answer = await once("shot", body);
    const places = { cue: mmOf(gear.plan, state, "cue"), object: mmOf(gear.plan, state, "object"), pocket: state.pocket };
    return { name, shot, answer, body, picture: () => thumb(gear.plan, places, false) };
  } catch (error) {
    return { name, shot, fault: error.message };
  }
}

const column = (one) => make("li", {},
  make("h3", {}, one.name), one.picture(),
  make("p", { class: "beside-number" }, one.answer.headline.number),
  make("p", {}, [one.answer.headline.who, one.answer.headline.words].filter(Boolean).join(", ")),
  make("p", { class: "quiet" }, one.answer.shot.drop ? said(one.answer.lines[0]) : ""));

/** A column each of the shots that are ticked, or of the first where fewer than two are. */
export async function columns() {
  const ticked = shots().filter((s) => chosen.has(s.shot));
  const all = await Promise.all((ticked.length > 1 ? ticked : shots()).slice(0, BESIDE).map(solved));
  return all.filter((one) => one.answer).map(column);
}

export const shelf = {
  name: "shelf",
  title: "Shelf of shots",
  open(host, page, work) {
    const name = make("input", { type: "text", class: "shelf-new", id: "shelf-name", maxlength: 60, placeholder: "Shot 1", autocomplete: "off" });
    const form = make("form", { class: "view-top" }, field("Name of the shot on the table", name), make("button", { class: "main-button", id: "shelf-keep" }, "Keep it"));
    const list = make("ol", { class: "shelf", id: "shelf-list" });
    const none = make("p", { class: "finding" }, "Nothing is kept yet. Keep the shot on the table, move the balls, keep the next: then go through them before a class, or hold them beside each other.");
    const beside = make("ul", { class: "beside", id: "shelf-beside", "aria-label": "Beside each other" });
    const told = make("p", { class: "quiet", role: "status", id: "shelf-said" });
    const file = make("input", { type: "file", id: "shelf-load", accept: ".json,application/json" });
    const tools = make("p", { class: "row" },
      button("Save the shelf", () => save("shelf.json", new Blob([asFile()], { type: "application/json" })), { id: "shelf-save" }),
      make("label", { class: "file" }, file, make("span", {}, "Load a shelf")),
      button("Hand-out of the shelf, PDF", () => work(() => handOut("shelf", shots())), { id: "shelf-paper" }));
    host.append(form, none, list, beside, told, tools);

    form.addEventListener("submit", (event) => {
      event.preventDefault();
      work(async () => {
        await keep(name.value, page.address());
        name.value = "";
        await fill();
        told.textContent = `Kept as ${shots().at(-1).name}.`;
      });
    });
    file.addEventListener("change", () => work(async () => {
      const [given] = file.files;
      if (!given) return;
      try {
        const count = await load(await given.text());
        told.textContent = `${given.name}: ${count} ${count === 1 ? "shot" : "shots"} put on the shelf.`;
      } catch (error) {
        throw new Error(`${given.name}: ${error.message}`);
      } finally {
        file.value = "";
        await fill();
      }
    }));

    const changed = (does, focus) => work(async () => {
      await does();
      await fill();
      list.querySelector(focus)?.focus();
    });

    /** Each shot with its places filled in, since a link may leave the usual ones out. */
    async function handOut(called, list_) {
      const given = await Promise.all(list_.map(async ({ name: named, shot }) => {
        const one = await solved({ name: named, shot });
        if (one.fault) throw new Error(`${named}: ${one.fault}`);
        return { ...one.body, name: named, ...(page.shared() ? { link: page.shared()(shot) } : {}) };
      }));
      const title = list_.length === 1 ? list_[0].name : "Shots to take along";
      save(`${called.replace(/[^\p{L}\p{N}]+/gu, "-").toLowerCase()}.pdf`, await download("hand-out", { title, shots: given }));
    }

    function row(one, k, count) {
      const called = make("input", { type: "text", class: "shelf-name", maxlength: 60, "aria-label": `Name of shot ${k + 1}` });
      called.value = one.name;
      called.addEventListener("change", () => changed(() => rename(k, called.value)));
      const tick = make("input", { type: "checkbox", "aria-label": `${one.name} beside others` });
      tick.checked = chosen.has(one.shot);
      tick.disabled = !one.answer || (!tick.checked && chosen.size >= BESIDE);
      tick.addEventListener("change", () => work(async () => {
        if (tick.checked) chosen.add(one.shot);
        else chosen.delete(one.shot);
        rememberTicks();
        await fill();
        if (chosen.size > 1) beside.scrollIntoView({ block: "nearest" });
        list.querySelectorAll("input[type=checkbox]")[k]?.focus();
      }));
      const does = (text, what, work_, more = {}) => button(text, work_, { "aria-label": `${what} ${one.name}`, ...more });
      const up = does("↑", "Earlier:", () => changed(() => move(k, -1), `li:nth-child(${Math.max(k, 1)}) .shelf-up`), { class: "shelf-up", "aria-disabled": String(k === 0) });
      const down = does("↓", "Later:", () => changed(() => move(k, 1), `li:nth-child(${Math.min(k + 2, count)}) .shelf-down`), { class: "shelf-down", "aria-disabled": String(k === count - 1) });
      return make("li", { class: "shelf-shot", ...(one.shot === page.address() ? { "aria-current": "true" } : {}) },
        make("div", { class: "shelf-picture" }, one.picture?.() ?? ""),
        make("div", { class: "shelf-words" }, called,
          make("p", {}, one.fault ? make("span", { class: "fault" }, one.fault) : said(sentence(one.answer.headline)))),
        make("div", { class: "shelf-tools" },
          does("Put on", "Put on the table:", () => page.putOn(one.shot), { class: "main-button" }), up, down,
          make("label", { class: "tick" }, tick, make("span", {}, "Beside")),
          does("PDF", "Hand-out of", () => work(() => handOut(one.name, [one])), { class: "shelf-pdf" }),
          does("Remove", "Take off the shelf:", () => changed(() => remove(k), `li:nth-child(${Math.max(k, 1)}) .main-button`))));
    }

    let newest = 0;
    let first = true;
    async function fill() {
      newest += 1;
      const mine = newest;
      const all = await Promise.all(shots().map(solved));
      if (mine !== newest) return;
      for (const shot of chosen) if (!all.some((s) => s.shot === shot && s.answer)) chosen.delete(shot);
      list.replaceChildren(...all.map((one, k) => row(one, k, all.length)));
      none.hidden = all.length > 0;
      const picked = all.filter((s) => chosen.has(s.shot)).slice(0, BESIDE);
      beside.hidden = picked.length < 2;
      beside.replaceChildren(...(picked.length < 2 ? [] : picked.map(column)));
      name.placeholder = `Shot ${all.length + 1}`;
      for (const id of ["shelf-save", "shelf-paper"]) host.querySelector(`#${id}`).disabled = !all.length;
    }
    return async function refresh() {
      // What is being typed is not exchanged under the hand.
      if (list.contains(document.activeElement) && document.activeElement.matches(".shelf-name")) return;
      if (first) await fetchShelf();
      first = false;
      await fill();
    };
  },
};
