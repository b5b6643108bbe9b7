// A picture of the program's, and the ways to take it along.

import { ask, download } from "../api.js";
import { button, make } from "../dom.js";
import { save } from "../keep.js";

/** As wide as its place, CSS px; the program draws nothing narrower than the least. */
const LEAST = 320;
const MOST = 1200;
/** Narrower than this a chart stands upright. */
const UPRIGHT = 500;

/** What stands above a chart in the window, CSS px. */
const ABOVE = 130;

/** Width and height that suit a place: as wide as it, and whole in the window where that is wide. */
function sizeFor(host) {
  const wide = host.clientWidth - 2;
  const shape = wide < UPRIGHT ? 1.3 : wide < 700 ? 0.75 : 0.62;
  const seen = wide < UPRIGHT ? MOST : Math.max((window.innerHeight - ABOVE) / shape, UPRIGHT);
  const width = Math.round(Math.max(Math.min(wide, seen, MOST), LEAST));
  return [width, Math.round(width * shape)];
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
    this.box.style.maxWidth = `${drawn.width + 2}px`;
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
export async function draw(host, body) {
  const [width, height] = sizeFor(host);
  return { ...(await ask("chart", { ...body, size: `${width}x${height}` })), width };
}
