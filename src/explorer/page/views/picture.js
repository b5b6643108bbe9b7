// A picture of the program's, and the ways to take it along.

import { ask, download } from "../api.js";
import { button, make, wide } from "../dom.js";
import { save } from "../keep.js";

/** As wide as its place, but never so small that its letters cannot be read, CSS px: on a phone it
 * scrolls in its own box. */
const LEAST = 600;
const MOST = 1200;

/** Size that suits a place. */
export function sizeFor(host) {
  const width = Math.round(Math.min(Math.max(host.clientWidth, LEAST), MOST));
  return `${width}x${Math.round(width * (width < 700 ? 0.75 : 0.62))}`;
}

/** A place for a picture: `show(drawn)` puts one in. */
export class Picture {
  constructor(attributes = {}) {
    this.image = make("img", { alt: "" });
    this.box = wide("Chart", this.image);
    this.box.classList.add("sheet");
    for (const [key, value] of Object.entries(attributes)) this.box.setAttribute(key, value);
    this.box.hidden = true;
    this.address = "";
  }

  show(drawn) {
    this.box.hidden = !drawn;
    URL.revokeObjectURL(this.address);
    if (!drawn) return;
    this.address = URL.createObjectURL(new Blob([drawn.svg], { type: "image/svg+xml" }));
    this.image.src = this.address;
    this.box.setAttribute("aria-label", `Chart: ${drawn.title}`);
    this.image.alt = `${drawn.title}. ${drawn.desc}`;
  }
}

/** Buttons that fetch the picture `body()` asks for as a file. */
export function takeAlong(name, body, work) {
  const files = ["pdf", "png", "svg"].map((kind) => button(kind.toUpperCase(), () => work(async () => {
    save(`${name()}.${kind}`, await download("picture", { ...body(), as: kind }));
  }), { "data-as": kind, "aria-label": `Save this chart as ${kind.toUpperCase()}` }));
  return make("p", { class: "row" }, make("span", { class: "quiet" }, "Save"), ...files);
}

/** Draws a chart for a place. */
export const draw = (host, body) => ask("chart", { ...body, size: sizeFor(host) });
