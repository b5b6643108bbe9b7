// Asking the program. The token, where there is one, comes in the link's fragment, which browsers
// never send, and stays in this tab; other tabs of this browser begin with the one given last.

function readToken() {
  const given = /(?:^#|&)token=([\w-]+)/.exec(location.hash);
  if (given) {
    for (const store of [sessionStorage, localStorage]) store.setItem("token", given[1]);
    history.replaceState(history.state, "", location.pathname + location.search);
  }
  return sessionStorage.getItem("token") ?? localStorage.getItem("token");
}

const token = readToken();

/** Between attempts to listen while the program is away, ms. */
const LISTEN_AGAIN = 2000;

/** Said where the link is not, or no longer, the one that opens the page. */
export const STRANGE = "This link does not open the page any more: each start of the program has links of its own. The coach opens the one it printed; phones photograph the coach’s new code, under Show on phones.";

/** Told when the program goes and when it is back. */
const listeners = [];
export const onAway = (tell) => listeners.push(tell);
let isAway = false;
function tellAway(away) {
  if (away === isAway && !away) return;
  isAway = away;
  listeners.forEach((tell) => tell(away));
}

/** Options are named as on the command line; here they are fields. A whole command stays one. */
const inPageWords = (message) => (message?.includes("thincut ") ? message : message?.replace(/--(?=[a-z])/g, ""));

/** Whether somebody gave a question up. */
export const givenUp = (error) => error.name === "AbortError";

/** Sends JSON to the interface; throws an Error in the program's words. With a `signal` it can be given up. */
async function send(path, body, signal) {
  const headers = { "Content-Type": "application/json" };
  if (token) headers.Authorization = `Bearer ${token}`;
  let response;
  try {
    response = await fetch(`/api/v1/${path}`, { method: "POST", headers, body: JSON.stringify(body), signal });
  } catch (error) {
    if (givenUp(error)) throw error;
    tellAway(true);
    throw Object.assign(new Error("The program does not answer. Is it still running?"), { away: true });
  }
  tellAway(false);
  if (response.ok) return response;
  const answer = await response.json().catch(() => null);
  const words = response.status === 401 ? STRANGE : inPageWords(answer?.error?.message);
  const error = new Error(words ?? `The program answered ${response.status}.`);
  error.status = response.status;
  throw error;
}

/** Asks and gives the answer. */
export const ask = async (path, body, signal) => (await send(path, body, signal)).json();

/** Asks for a file. */
export const download = async (path, body) => (await send(path, body)).blob();

/** Listens as long as the page is open: `on.log()` whenever the practice log has changed, also after
 * the program was away, when nobody knows what was missed; `on.order()` likewise for who plays where;
 * `on.show(address)` for the shot that the coach shows; `on.lost(words)` where nothing comes any more, with why
 * where the program said it, and `on.found()` when it does again. */
export async function live(on) {
  const headers = token ? { Authorization: `Bearer ${token}` } : {};
  const tell = (text) => {
    const line = (name) => text.split("\n").find((l) => l.startsWith(`${name}: `))?.slice(name.length + 2);
    on[line("event")]?.(line("data"));
  };
  for (;;) {
    try {
      const { ok, status, body } = await fetch("/api/v1/live", { headers });
      if (!ok) {
        on.lost?.(status === 401 ? STRANGE : "");
        return;
      }
      on.found?.();
      const reader = body.pipeThrough(new TextDecoderStream()).getReader();
      let text = "";
      for (let part = await reader.read(); !part.done; part = await reader.read()) {
        const whole = (text + part.value).split("\n\n");
        text = whole.pop();
        whole.forEach(tell);
      }
    } catch {
      // Away: asked again below.
    }
    on.lost?.("");
    await new Promise((go) => setTimeout(go, LISTEN_AGAIN));
    on.log?.();
    on.order?.();
  }
}

/** Runs `work` with the newest argument, never two at once, skipping what was overtaken; what it
 * gives is done when nothing waits any more. */
export function latest(work) {
  let running = null;
  let next = null;
  async function run() {
    try {
      while (next) {
        const now = next;
        next = null;
        await work(...now);
      }
    } finally {
      running = null;
    }
  }
  return (...args) => {
    next = args;
    running ??= run();
    return running;
  };
}
