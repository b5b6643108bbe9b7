// What lets the page open while the program is away: its own files, and the last table and answer.

const TABLE = "last-table";
const ANSWER = "last-answer";

export function keepFiles() {
  // The path changes with the files, so nothing needs to be asked again while they are the same.
  navigator.serviceWorker?.register("/worker.js?@version@", { updateViaCache: "all" }).catch(() => {});
}

function store(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // No room: then it does not open without the program.
  }
}

function load(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

export const keepTable = (gear) => store(TABLE, gear);
export const keepAnswer = (address, answer) => store(ANSWER, { address, answer });

/** The table shown last, and the answer where it was for this address; `null` where nothing is kept. */
export function lastTime(address) {
  const gear = load(TABLE);
  const kept = load(ANSWER);
  return gear && { gear, answer: kept?.address === address ? kept.answer : null };
}
