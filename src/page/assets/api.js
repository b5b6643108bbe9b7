// Asking the program. The token, where there is one, comes in the link's fragment, which browsers
// never send, and stays in this tab.

function readToken() {
  const given = /(?:^#|&)token=([\w-]+)/.exec(location.hash);
  if (given) {
    sessionStorage.setItem("token", given[1]);
    history.replaceState(history.state, "", location.pathname + location.search);
  }
  return sessionStorage.getItem("token");
}

const token = readToken();

/** Options are named as on the command line; here they are fields. A whole command stays one. */
const inPageWords = (message) => (message?.includes("thincut ") ? message : message?.replace(/--(?=[a-z])/g, ""));

/** Sends JSON to the interface; throws an Error in the program's words. */
async function send(path, body) {
  const headers = { "Content-Type": "application/json" };
  if (token) headers.Authorization = `Bearer ${token}`;
  let response;
  try {
    response = await fetch(`/api/v1/${path}`, { method: "POST", headers, body: JSON.stringify(body) });
  } catch {
    throw new Error("The program does not answer. Is it still running?");
  }
  if (response.ok) return response;
  const answer = await response.json().catch(() => null);
  const error = new Error(inPageWords(answer?.error?.message) ?? `The program answered ${response.status}.`);
  error.status = response.status;
  throw error;
}

/** Asks and gives the answer. */
export const ask = async (path, body) => (await send(path, body)).json();

/** Asks for a file. */
export const download = async (path, body) => (await send(path, body)).blob();

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
