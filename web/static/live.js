// Looks again every second while a lay-out runs. Without it, a link does.
const live = document.getElementById("live");
const told = document.getElementById("told");
const PAUSE = 1000; // ms: as often as a worker keeps what it has found
let shown = "";

async function look() {
  try {
    const answer = await fetch(live.dataset.look);
    if (!answer.ok) throw new Error(answer.statusText);
    const text = await answer.text();
    if (text !== shown) show(text);
    document.getElementById("again").hidden = true;
  } catch {
    document.getElementById("again").hidden = false; // the line is down: try again by hand too
  }
  setTimeout(look, PAUSE);
}

function show(text) {
  live.innerHTML = shown = text;
  const { over, told: sentence } = live.firstElementChild.dataset;
  if (over !== undefined) location.reload(); // what comes after it stands there
  if (told.textContent !== sentence) told.textContent = sentence; // is read out, so news only
}

look();
