// What the pages do more with script: a page that follows the texts fetches itself anew when the farm's books change.
// Without script every page is loaded again by hand; nothing else is missing.

const main = document.getElementById("main");
const live = document.getElementById("live");

function say(kind) {
  const time = new Date().toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  live.textContent = live.dataset[kind].replace("{time}", time);
}

// Whoever types or has opened something is not disturbed; the page catches up with the next news.
function busy() {
  const at = document.activeElement;
  return main.contains(at) && at.matches("input, select, textarea");
}

function nameOf(element) {
  if (!element || !main.contains(element)) return null;
  if (element.id) return `#${CSS.escape(element.id)}`;
  const address = element.getAttribute("href");
  return address ? `a[href="${CSS.escape(address)}"]` : null;
}

async function refresh() {
  if (busy()) return;
  const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (answer.redirected) return say("over");
  if (!answer.ok) return say("cut");
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("main");
  const focused = nameOf(document.activeElement);
  const open = [...main.querySelectorAll("details")].map((one) => one.open);
  main.replaceChildren(...fresh.childNodes);
  main.querySelectorAll("details").forEach((one, at) => { one.open = open[at] ?? one.open; });
  if (focused) main.querySelector(focused)?.focus();
  say("new");
}

function follow() {
  let told = null;
  const events = new EventSource("/board/events");
  events.addEventListener("mark", (event) => {
    const { mark } = JSON.parse(event.data);
    if (told === null) say("on");
    else if (told !== mark) refresh().catch(() => say("cut"));
    told = mark;
  });
  events.addEventListener("over", () => { events.close(); say("over"); });
  events.addEventListener("error", () => { if (events.readyState !== EventSource.OPEN) say("cut"); });
  window.addEventListener("pagehide", () => events.close());
}

if (main.hasAttribute("data-live")) follow();
