// Questions to the server: JSON out, JSON in; an answer that is no longer wanted is dropped (the newest wins).
const lanes = new Map();

export class Refused extends Error {
  constructor(says, problems, status, body) { super(says); this.problems = problems; this.status = status; this.body = body; }
}
export class Overtaken extends Error {}

export async function ask(address, body, { method = body === undefined ? "GET" : "POST", lane } = {}) {
  const stop = new AbortController();
  if (lane) { lanes.get(lane)?.abort(); lanes.set(lane, stop); }
  let answer;
  try {
    answer = await fetch(address, {
      method, signal: stop.signal,
      headers: body === undefined ? {} : { "Content-Type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch (error) {
    if (stop.signal.aborted) throw new Overtaken();
    throw new Refused("hobwind does not answer; is it still running in its window?", [], 0, null);
  }
  if (answer.status === 204) return null;
  let got = null;
  try { got = await answer.json(); } catch { if (stop.signal.aborted) throw new Overtaken(); }
  if (stop.signal.aborted) throw new Overtaken();
  if (!answer.ok) throw new Refused(got?.says ?? "That did not work.", got?.problems ?? [], answer.status, got);
  return got;
}

export function tell(box, error) {
  if (error instanceof Overtaken) return;
  box.textContent = error.message;
  box.classList.add("bad");
}

export function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value);
  }
  node.append(...children.filter((one) => one !== null && one !== undefined));
  return node;
}
