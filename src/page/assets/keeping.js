// The buttons under Keep: link, layout, picture and numbers.

import { sentence } from "./answer.js";
import { ask, download } from "./api.js";
import { layoutText, takeLayout } from "./balls.js";
import { csv, pictureText, png, save } from "./keep.js";
import { gameIn, gameLines, gearBody, shotBody, toAddress } from "./state.js";

const by = (id) => document.getElementById(id);
const kept = (text) => { by("kept").textContent = text; };

/** Does something with a file and says what came of it. */
async function tell(done, work) {
  try {
    await work();
    kept(done);
  } catch (error) {
    kept(error.message);
  }
}

/** `page` has `state()`, `answer()`, `look()` (what a link for others needs), `svg`, `played(game)` (takes the game of a layout) and `loaded()`, called with a layout on the table. */
export function keeping(page) {
  const title = () => sentence(page.answer().headline);
  const picture = () => pictureText(page.svg, title());
  const saved = (name, make) => () => tell(`${name} is saved.`, async () => save(name, await make()));

  by("copy-link").addEventListener("click", async () => {
    // Never with the coach's token: whoever gets the link may look and count.
    const look = page.look();
    const link = `${look?.root ?? location.origin}/${toAddress(page.state())}${look ? `#token=${look.token}` : ""}`;
    const where = look ? "It opens on any device in this network, to look and to count." : "It opens on this computer; for one that opens on others, start the page with --bind 0.0.0.0 --token.";
    try {
      await navigator.clipboard.writeText(link);
      kept(`The link is copied. ${where}`);
    } catch {
      kept(`${link} ${where}`);
    }
  });
  by("save-layout").addEventListener("click", () => tell("layout.csv is saved; thincut choose reads it too.", async () => {
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
