// A picture of the program's, and the ways to take it along.

import { ask, download } from "../api.js";
import { button, make } from "../dom.js";
import { save } from "../keep.js";

/** As wide as its place, CSS px; the program draws nothing narrower than the least. */
const LEAST = 320;
const MOST = 1200;
/** Narrower than this a chart stands upright. */
const UPRIGHT = 500;

/** Size that suits a place. */
export function sizeFor(host) {
  const width = Math.round(Math.min(Math.max(host.clientWidth - 2, LEAST), MOST));
  return `${width}x${Math.round(width * (width < UPRIGHT ? 1.3 : width < 700 ? 0.75 : 0.62))}`;
}

/** A place for a picture: `show(drawn)` puts one in. */
export class Picture {
  constructor(attributes = {}) {
    this.image = make("img", { alt: "" });
    this.box = make("div", { class: "sheet" }, this.image);
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
