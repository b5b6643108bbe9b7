// Small helpers for what is not drawn.

/** An element with attributes and content; texts stay texts. */
export function make(tag, attributes = {}, ...content) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...content.flat().filter((c) => c !== "" && c != null));
  return made;
}

/** A button that does `work` and says what went wrong. */
export function button(label, work, attributes = {}) {
  const made = make("button", { type: "button", ...attributes }, label);
  made.addEventListener("click", () => work(made));
  return made;
}

/** Gives an element a text; one that it has already costs nothing. */
export function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Whether a button does something now. One that does not keeps the focus it has: disabling it would throw a
 * keyboard back to the top of the page. */
export function able(button, can) {
  if (button.getAttribute("aria-disabled") !== String(!can)) button.setAttribute("aria-disabled", String(!can));
}
export const isAble = (button) => button.getAttribute("aria-disabled") !== "true";

/** A labelled control. */
export const field = (label, control) => make("label", { class: "field" }, make("span", {}, label), control);

/** A choice; entries are `[value, words]`. */
export function choice(entries, value, attributes = {}) {
  const made = make("select", attributes, ...entries.map(([key, words]) => new Option(words, key)));
  if (value != null) made.value = value;
  return made;
}

/** A table of texts and elements under a heading each; the first of a row is its name. */
export function table(caption, heads, rows) {
  return make("table", {},
    make("caption", { class: "unseen" }, caption),
    make("thead", {}, make("tr", {}, ...heads.map((h) => make("th", { scope: "col" }, h)))),
    make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map((cell, k) =>
      make(k ? "td" : "th", k ? {} : { scope: "row" }, cell))))));
}

/** Whether a table or picture may be wider than the window: it scrolls in its own box, by keys too. */
export const wide = (label, ...content) => make("div", { class: "wide", tabindex: 0, role: "region", "aria-label": label }, ...content);

/** Rows as CSV. */
export function csvText(rows) {
  const cell = (v) => {
    const text = v == null ? "" : String(v);
    return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}
