// The buttons under Keep: link, layout, picture and numbers.

import { sentence } from "./answer.js";
import { ask, download } from "./api.js";
import { layoutText, takeLayout } from "./balls.js";
import { csv, pictureText, png, save } from "./keep.js";
import { gameIn, gameLines, gearBody, shotBody, toAddress } from "./state.js";

const by = (id) => document.getElementById(id);
/** Said beside the buttons of the layout, and beside those under Keep. */
const kept = (text) => { by("kept").textContent = text; };
const keptHere = (text) => { by("kept-here").textContent = text; };

/** Does something with a file and says what came of it. */
async function tell(say, done, work) {
  try {
    await work();
    say(done);
  } catch (error) {
    say(error.message);
  }
}

/** Copies what a field holds; gives whether it could. */
export async function copied(field) {
  try {
    await navigator.clipboard.writeText(field.value);
    return true;
  } catch {
    // A page that comes over plain HTTP from another machine has no clipboard but that of a selection.
    field.focus();
    field.select();
    return document.execCommand("copy");
  }
}

/** The link that was copied is of another shot now. */
export function oldLink() {
  if (by("link").hidden) return;
  by("link").hidden = true;
  keptHere("");
}

/** `page` has `state()`, `answer()`, `look()` (what a link for others needs), `svg`, `played(game)` (takes the game of a layout) and `loaded()`, called with a layout on the table. */
export function keeping(page) {
  const title = () => sentence(page.answer().headline);
  const picture = () => pictureText(page.svg, title());
  const saved = (name, make) => () => tell(keptHere, `${name} is saved.`, async () => save(name, await make()));

  by("copy-link").addEventListener("click", async () => {
    // Never with the coach's token: whoever gets the link may look and count.
    const look = page.look();
    const link = `${look?.root ?? location.origin}/${toAddress(page.state())}${look ? `#token=${look.token}` : ""}`;
    const where = look ? "It opens on any device in this network, to look and to count." : "It opens on this computer; for one that opens on others, start the page with --bind 0.0.0.0 --token.";
    const field = by("link");
    field.hidden = false;
    field.value = link;
    keptHere(`${await copied(field) ? "The link is copied." : "Copy the link from this field."} ${where}`);
  });
  by("save-layout").addEventListener("click", () => tell(kept, "layout.csv is saved; thincut choose reads it too.", async () => {
    save("layout.csv", new Blob([gameLines(page.state()) + layoutText(page.state())], { type: "text/csv" }));
  }));
  by("load-layout").addEventListener("change", async (e) => {
    const [file] = e.target.files;
    e.target.value = "";
    if (!file) return;
    try {
      const text = await file.text();
      const { balls } = await ask("layout", { layout: text, ...gearBody(page.state()) });
      takeLayout(page.state(), balls);
      page.played(gameIn(text));
      page.loaded();
      kept(`${file.name}: ${balls.length - 1} balls and the cue ball.`);
    } catch (error) {
      kept(`${file.name}: ${error.message}`);
    }
  });
  by("save-svg").addEventListener("click", saved("shot.svg", () => new Blob([picture()], { type: "image/svg+xml" })));
  by("save-png").addEventListener("click", saved("shot.png", () => png(picture(), 2400)));
  by("save-pdf").addEventListener("click", saved("shot.pdf", () => download("picture", { ...shotBody(page.state()), name: "shot", as: "pdf" })));
  by("save-csv").addEventListener("click", saved("shot.csv", () => new Blob([csv(page.answer())], { type: "text/csv" })));
}
