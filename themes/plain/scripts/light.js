// Bright sun (black on white with heavier strokes) and larger text, on request. Runs before the page is drawn, so that
// nothing flashes. A choice is remembered where the browser keeps things, and carried in the address (?light=, ?text=)
// where it does not: opened from a disk, some browsers keep a store of their own for every single file.
// runs: early

const root = document.documentElement;
// What can be chosen: its name in the store, in the address and on the root element; what it is when it is on; its button.
const SETTINGS = [{ name: "light", on: "sun", button: "[data-sun]" }, { name: "text", on: "large", button: "[data-large]" }];

const store = (setting) => "running-change:" + setting.name;

function stored(setting) {
  try { return window.localStorage.getItem(store(setting)); } catch (refused) { return null; }
}

// Tells whether the choice will be found again on the next page.
function keep(setting) {
  try {
    window.localStorage.setItem(store(setting), setting.choice);
    return window.location.protocol !== "file:" && window.localStorage.getItem(store(setting)) === setting.choice;
  } catch (refused) { return false; }
}

for (const setting of SETTINGS) {
  const asked = new URLSearchParams(window.location.search).get(setting.name);
  const known = [setting.on, "plain"];
  setting.choice = [asked, stored(setting)].find((one) => known.includes(one)) || null;
  setting.kept = setting.choice === null || keep(setting);
}

const unkept = () => SETTINGS.filter((one) => one.choice && !one.kept);

function show() {
  for (const { name, on, button, choice } of SETTINGS) {
    if (choice) { root.setAttribute("data-" + name, choice); }
    for (const each of document.querySelectorAll(button)) { each.setAttribute("aria-pressed", String(choice === on)); }
  }
}

// The address of a page with the choices in it. Only our own pages are touched.
function carried(href) {
  const here = new URL(href, window.location.href);
  if (here.protocol !== window.location.protocol || here.host !== window.location.host) { return href; }
  unkept().forEach((one) => here.searchParams.set(one.name, one.choice));
  return here.href;
}

function press(setting) {
  setting.choice = setting.choice === setting.on ? "plain" : setting.on;
  setting.kept = keep(setting);
  if (!setting.kept) { window.history.replaceState(window.history.state, "", carried(window.location.href)); }
  show();
}

root.setAttribute("data-scripts", "");
show();
document.addEventListener("DOMContentLoaded", show);
document.addEventListener("click", (event) => {
  const target = event.target instanceof Element ? event.target : null;
  if (!target) { return; }
  const pressed = SETTINGS.find((one) => target.closest(one.button));
  if (pressed) { press(pressed); return; }
  const link = target.closest("a[href]");
  if (!link || !unkept().length || link.getAttribute("href").startsWith("#") || link.hasAttribute("download")) { return; }
  link.href = carried(link.href);
}, true);
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "get") { return; }
  unkept().filter((one) => !form.querySelector("[name=" + one.name + "]")).forEach((one) => {
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = one.name;
    field.value = one.choice;
    form.append(field);
  });
}, true);
