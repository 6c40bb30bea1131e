// Keeps each tick on this device until the book has it. Without a connection nothing is lost; and
// nothing is done twice, because a tick bears the key of its form however often it is sent.
const about = document.getElementById("kept");
const told = document.getElementById("refused");
const MINE = `tick ${about.dataset.who} `; // who logs in next on this device does not send it
const AGAIN = 15_000; // ms until it is tried again: demo
const PATIENCE = 20_000; // ms until an answer is given up: demo
const LATER = [401, 429];
let sending = false;
let last = {}; // what was pressed last, on this page, and whether it could be sent at once

const parsed = (html) => new DOMParser().parseFromString(html, "text/html");
const note = (id) => document.getElementById(id).content.firstElementChild.cloneNode(true);
const at = (place) => document.querySelector(`form[data-keep="${CSS.escape(place)}"]`);
const whole = (form) => form.closest("details.asks-first") ?? form;
const busy = (line) => line.querySelector("details[open]") || line.contains(document.activeElement);

function kept() {
  return Object.keys(localStorage)
    .filter((name) => name.startsWith(MINE))
    .map((name) => ({ name, ...JSON.parse(localStorage.getItem(name)) }))
    .sort((one, other) => one.order - other.order);
}

const waiting = () => kept().filter((tick) => !tick.refused);
const put = ({ name, ...tick }) => localStorage.setItem(name, JSON.stringify(tick));

// One value by itself, several each with its label.
function written(form) {
  const inputs = "input:not([type=hidden], [type=radio]), input:checked";
  const every = [...form.querySelectorAll(inputs)].filter((each) => each.value);
  if (every.length === 1) return every[0].value;
  const label = (each) => each.labels[0].textContent.trim();
  const told = (each) => (each.checked ? label(each) : `${label(each)} ${each.value}`);
  return every.map(told).join("; ");
}

function keep(form) {
  const said = new FormData(form);
  const name = MINE + said.get("once");
  last = { name, atOnce: navigator.onLine };
  if (waiting().some((tick) => tick.name === name)) return; // pressed twice
  said.set("pressed", new Date().toISOString());
  const order = 1 + Math.max(0, ...kept().map((tick) => tick.order));
  const body = new URLSearchParams(said).toString();
  const what = form.querySelector("button:not([value=count])").textContent.trim();
  const place = form.dataset.keep;
  const action = form.getAttribute("action");
  put({ name, order, body, what, wrote: written(form), place, action });
}

function post(tick) {
  return fetch(tick.action, {
    method: "POST",
    body: new URLSearchParams(tick.body),
    redirect: "manual", // a form that was done leads on
    signal: AbortSignal.timeout(PATIENCE),
  }).catch(() => null);
}

async function reason(answer) {
  const page = parsed(await answer.text());
  const faults = [...page.querySelectorAll(".faults li")];
  const found = faults.length ? faults : [...page.querySelectorAll("main p")].slice(0, 1);
  const refused = found.map((each) => each.textContent.trim()).join("; ");
  return { refused, language: found[0]?.lang ?? "" };
}

// Whether the page that the form leads to tells what is wrong, each fault at its field: it does for
// who stands before it with what was pressed still in the form, not for what was pressed long ago.
const asksAgain = (tick, answer) =>
  tick.name === last.name &&
  Boolean(at(tick.place)) &&
  (Boolean(about.dataset.then) || (answer.status === 422 && last.atOnce));

// All that waits, in the order in which it was pressed; it stops where the line is down.
async function send() {
  if (sending) return;
  sending = true;
  const done = [];
  try {
    about.querySelector("#kept-door").hidden = true;
    for (let tick = waiting()[0]; tick && (await goesOn(tick, done)); tick = waiting()[0]);
  } finally {
    sending = false;
  }
  show();
  if (done.length) await lookAgain(done);
}

// Sends one; whether the next may be sent.
async function goesOn(tick, done) {
  const answer = await post(tick);
  if (!answer || answer.status >= 500 || LATER.includes(answer.status)) {
    about.querySelector("#kept-door").hidden = answer?.status !== 401;
    return false;
  }
  if (answer.type === "opaqueredirect") {
    localStorage.removeItem(tick.name);
    done.push(tick.place);
    return true;
  }
  if (asksAgain(tick, answer)) {
    localStorage.removeItem(tick.name);
    at(tick.place).submit();
    return false;
  }
  const told = await reason(answer).catch(() => null); // it broke off: no answer
  if (told) put({ ...tick, ...told });
  return told !== null;
}

// The lines as the book has them now, but for one that somebody is filling in.
async function lookAgain(done) {
  if (about.dataset.then) {
    if (done.some(at)) location.assign(about.dataset.then);
    return;
  }
  const answer = await fetch(location.pathname).catch(() => null);
  if (!answer?.ok) return;
  const fresh = parsed(await answer.text());
  for (const line of document.querySelectorAll("#how-far, .ticks > li")) {
    const now = fresh.getElementById(line.id);
    const pressed = done.some((place) => `${place}-`.startsWith(`${line.id}-`));
    if (!now || (busy(line) && !pressed)) continue;
    const focused = line.contains(document.activeElement);
    line.replaceWith(now);
    if (focused) now.focus({ preventScroll: true });
  }
  show();
}

// What is not sent yet and what was refused, at its line and on top.
function show() {
  for (const each of document.querySelectorAll(".unsent, .not-taken")) each.remove();
  for (const form of document.querySelectorAll("form[data-keep]")) whole(form).hidden = false;
  const every = kept();
  for (const tick of every) {
    if (at(tick.place)) mark(at(tick.place), tick);
  }
  const number = every.filter((tick) => !tick.refused).length;
  about.hidden = number === 0;
  about.querySelector("#kept-number").textContent = number;
  const refused = every.filter((tick) => tick.refused);
  told.hidden = refused.length === 0;
  told.querySelector("ul").replaceChildren(...refused.map(asRefused));
}

function say(where, text, language) {
  where.textContent = text;
  if (language) where.lang = language; // the book's own words are English
}

function mark(form, tick) {
  const said = note(tick.refused ? "not-taken-one" : "unsent-one");
  say(said.querySelector("span"), tick.refused ?? tick.wrote, tick.language);
  whole(form).hidden = !tick.refused;
  whole(form).after(said);
}

function asRefused(tick) {
  const item = note("refused-one");
  item.querySelector("strong").textContent = `${tick.what}.`;
  say(item.querySelector("span"), tick.refused, tick.language);
  item.querySelector("p").hidden = !tick.wrote;
  item.querySelector("p span").textContent = tick.wrote;
  item.querySelector("button").addEventListener("click", () => {
    localStorage.removeItem(tick.name);
    show();
  });
  return item;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.dataset.keep || event.submitter?.value === "count") return;
  try {
    keep(form);
  } catch {
    return; // no room to keep it: it is posted as without the script
  }
  event.preventDefault();
  const opened = form.closest("details");
  if (opened) opened.open = false;
  form.closest("li")?.focus({ preventScroll: true }); // what was pressed goes
  send();
});
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") send();
});
addEventListener("online", send);
setInterval(() => waiting().length && send(), AGAIN);
show();
send();
