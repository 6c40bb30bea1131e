// Asks for the answer while a harvest note is being filled in. Without it, a button asks.
const form = document.getElementById("form");
const answer = document.getElementById("answer");
const look = form.querySelector("button[value=look]");
const PAUSE = 600; // ms without a key, as long as a person thinks (common practice)
let waiting;
let asking;

async function ask() {
  if (!["crop", "weight", "day", "at"].every((name) => form.elements[name].value)) return;
  asking?.abort();
  asking = new AbortController();
  answer.setAttribute("aria-busy", "true");
  try {
    const told = await fetch(form.dataset.answer, {
      method: "POST",
      body: new URLSearchParams(new FormData(form)),
      signal: asking.signal,
    });
    answer.innerHTML = told.ok ? await told.text() : "";
    answer.removeAttribute("aria-busy");
  } catch (error) {
    if (error.name === "AbortError") return;
    answer.removeAttribute("aria-busy");
    look.hidden = false; // the line is down: the button asks once it is back
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(ask, PAUSE);
});
look.hidden = true;
