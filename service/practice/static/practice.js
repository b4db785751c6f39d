// What the practice page does more with script: news arrives by itself, the cost is counted while one types, and a text
// is sent without drawing the page anew. Without script every one of these is a plain link or form.

const here = document.body.dataset.handle;
const box = document.getElementById("box");
const lines = document.getElementById("lines");
const text = document.getElementById("text");
const sent = document.getElementById("sent");
const cost = document.getElementById("cost");
const fault = document.getElementById("fault");
const elsewhere = document.getElementById("elsewhere");

// --- which texts were seen in this browser

const seen = JSON.parse(localStorage.getItem("practice-seen") || "{}");

function markSeen(id) {
  seen[here] = id;
  localStorage.setItem("practice-seen", JSON.stringify(seen));
}

function linkOf(handle) {
  return document.querySelector(`nav a[data-handle="${CSS.escape(handle)}"]`);
}

function markNew(link) {
  link.querySelector(".mark").hidden = false;
  const option = document.querySelector(`#as option[value="${CSS.escape(link.dataset.handle)}"]`);
  if (!option.text.endsWith("(new)")) option.text += " (new)";
}

for (const link of document.querySelectorAll("nav a[data-from=farm]")) {
  if (link.dataset.handle === here) markSeen(link.dataset.latest);
  else if (seen[link.dataset.handle] !== link.dataset.latest) markNew(link);
}

// --- news

function lineOf(id) {
  return lines.querySelector(`[data-id="${CSS.escape(id)}"]`);
}

function showState({ id, state }) {
  const line = lineOf(id);
  if (line) line.querySelector("[data-state]").textContent = state;
}

function showText(news) {
  const link = linkOf(news.handle);
  if (link) link.querySelector(".latest").textContent = `${news.who === "you" ? "You" : "Farm"}: ${news.text}`;
  if (news.handle !== here) {
    if (link && news.who === "farm") {
      markNew(link);
      elsewhere.textContent = `New text for ${link.dataset.name}`;
    }
    return;
  }
  if (lineOf(news.id)) return showState(news);
  lines.insertAdjacentHTML("beforeend", news.html);
  markSeen(news.id);
  lineOf(news.id).scrollIntoView({ block: "nearest" });
}

const events = new EventSource(`/practice/events?since=${encodeURIComponent(document.body.dataset.since)}`);
events.addEventListener("text", (event) => showText(JSON.parse(event.data)));
events.addEventListener("state", (event) => showState(JSON.parse(event.data)));
window.addEventListener("pagehide", () => events.close());

// --- the box

function post(address, body) {
  const headers = { "Content-Type": "application/json" };
  return fetch(address, { method: "POST", headers, body: JSON.stringify(body) });
}

let counting;

async function showCost() {
  const said = text.value;
  const answer = await post("/practice/segments", { text: said });
  if (!answer.ok || text.value !== said) return;
  const { encoding, units, parts } = await answer.json();
  cost.textContent = said ? `${parts} ${parts === 1 ? "segment" : "segments"} (${units} in ${encoding})` : "";
}

function typed() {
  clearTimeout(counting);
  counting = setTimeout(showCost, 120);
}

const newId = () => `${Date.now()}-${Math.random().toString(36).slice(2)}`;
let busy = false;

async function send(event) {
  event.preventDefault();
  if (busy) return;
  busy = true;
  fault.textContent = "";
  try {
    const said = { from: here, text: text.value, id: box.elements.id.value, sent: sent.value || null };
    const answer = await post("/practice/texts", said);
    if (answer.ok) sentWell();
    else fault.textContent = (await answer.json()).detail;
  } catch {
    fault.textContent = "The farm cannot be reached. The text is still in the box; sending it again does no harm.";
  }
  busy = false;
}

function sentWell() {
  text.value = "";
  box.elements.id.value = newId(); // only now: until a text is known to have arrived, sending it again is the same text
  typed();
  text.focus();
  if (events.readyState !== EventSource.OPEN) location.reload();
}

// On a narrow screen the whole page scrolls: begin where the newest text and the box are.
if (!location.hash) box.scrollIntoView({ block: "end" });

box.addEventListener("submit", send);
text.addEventListener("input", typed);
text.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
  event.preventDefault();
  box.requestSubmit();
});

for (const example of document.querySelectorAll("[data-example]")) {
  example.addEventListener("click", (event) => {
    event.preventDefault();
    text.value = example.textContent;
    text.focus();
    typed();
  });
}

document.getElementById("keys").textContent = "Enter sends, Shift and Enter start a new line.";
if (text.value) typed();
