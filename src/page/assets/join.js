// The phones' link, large enough to be photographed across a room.

import { copied } from "./keeping.js";
import { element } from "./svg.js";

/** Light squares round a code (ISO/IEC 18004 asks for four). */
const QUIET = 4;

const by = (id) => document.getElementById(id);

export class Join {
  /** `opener` has the focus again when it closes. */
  constructor(opener) {
    this.opener = opener;
    by("join-close").addEventListener("click", () => this.open(null));
    by("join-copy").addEventListener("click", async () => {
      by("join-said").textContent = await copied(by("join-link")) ? "The link is copied." : "Copy the link from the field.";
    });
    by("join").addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      event.preventDefault();
      event.stopPropagation();
      this.open(null);
    });
  }

  /** Shows a link `{root, token, code}`; nothing closes it. */
  open(look) {
    const box = by("join");
    if (!look) {
      if (box.open) {
        box.close();
        this.opener.focus();
      }
      return;
    }
    by("join-said").textContent = "";
    by("join-link").value = `${look.root}/#token=${look.token}`;
    const svg = by("join-code");
    svg.toggleAttribute("hidden", !look.code.length);
    const side = look.code.length + 2 * QUIET;
    svg.setAttribute("viewBox", `0 0 ${side} ${side}`);
    const d = look.code.flatMap((row, y) => [...row].map((c, x) => (c === "#" ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : ""))).join("");
    svg.replaceChildren(element("path", { d, "shape-rendering": "crispEdges" }));
    // Not modal: what the phones see can be moved beside it.
    box.show();
    by("join-close").focus({ preventScroll: true });
  }
}
