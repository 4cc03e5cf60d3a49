// Long work: a bar, a line, a stop button; gives the result, or nothing when it was stopped.
import { ask, make } from "./ask.js";

export async function follow(state, box) {
  const bar = make("progress", { max: "1", value: "0", "aria-label": state.kind });
  const line = make("span", { role: "status" }, state.says);
  const stop = make("button", { type: "button", onclick: async () => { stop.disabled = true; try { await ask(`/api/jobs/${state.id}`, undefined, { method: "DELETE" }); } catch { /* it ended */ } } }, "Stop");
  const row = make("div", { class: "job" }, bar, line, stop);
  box.replaceChildren(row);
  for (let wait = 60; ; wait = Math.min(wait * 1.5, 500)) {
    await new Promise((done) => setTimeout(done, wait));
    if (!row.isConnected) { ask(`/api/jobs/${state.id}`, undefined, { method: "DELETE" }).catch(() => {}); return null; }
    const now = await ask(`/api/jobs/${state.id}`);
    bar.value = now.share; line.textContent = now.says;
    if (now.state === "done") { box.replaceChildren(); return now.result; }
    if (now.state === "stopped") { stop.remove(); line.textContent = "Stopped."; return null; }
    if (now.state === "failed") { row.remove(); throw new Error(now.says); }
  }
}

// Resolves once the solver is compiled and loaded; says so meanwhile.
export async function solver_ready(line) {
  for (;;) {
    const { ready, says } = await ask("/api/ready");
    line.textContent = says; line.hidden = ready;
    if (ready) return;
    await new Promise((done) => setTimeout(done, 700));
  }
}
