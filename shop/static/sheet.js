// What a sheet does beyond its forms: a second press waits, a lost connection is said, a scanner that types is heard,
// and a bench screen stays awake. Every page works without it.
const say = (id, shown) => {
  const notice = document.getElementById(id);
  if (notice) notice.hidden = !shown;
};

const disableButtons = (form, off) =>
  form.querySelectorAll("button:not([type=button])").forEach((button) => { button.disabled = off; });
const pressedForm = (event) => {
  const by = event.detail.requestConfig?.triggeringEvent;
  return by?.type === "submit" && by.target instanceof HTMLFormElement ? by.target : null;
};

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented || form.matches("[hx-post], [data-hx-post]")) return;
  if (form.dataset.pressed) { event.preventDefault(); return; }
  form.dataset.pressed = "yes";
  setTimeout(() => disableButtons(form, true));
});
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  document.querySelectorAll("form[data-pressed]").forEach((form) => {
    delete form.dataset.pressed;
    disableButtons(form, false);
  });
});
document.addEventListener("htmx:beforeRequest", (event) => {
  const form = pressedForm(event);
  if (form) disableButtons(form, true);
});
document.addEventListener("htmx:afterRequest", (event) => {
  const form = pressedForm(event);
  if (form) disableButtons(form, false);
  if (event.detail.successful) { say("lost", false); say("broke", false); }
});

document.addEventListener("htmx:sendError", () => say("lost", true));
document.addEventListener("htmx:timeout", () => say("lost", true));
document.addEventListener("htmx:responseError", () => say("broke", true));
window.addEventListener("offline", () => say("lost", true));
window.addEventListener("online", () => say("lost", false));

// The order form answers while it is typed: Enter ends a field and sends nothing, and a closed zone opens once when
// something new is said in it.
const said = () => new Set([...document.querySelectorAll(".said:has(.problem)")].map((place) => place.id));
let saidBefore = said();
document.addEventListener("htmx:afterSettle", () => {
  const now = said();
  for (const id of now.difference?.(saidBefore) ?? []) {
    for (let zone = document.getElementById(id).closest("details"); zone; zone = zone.parentElement.closest("details")) {
      zone.open = true;
    }
  }
  saidBefore = now;
});
// What somebody opened in the answer stays open when the answer comes anew.
let opened = [];
document.addEventListener("htmx:beforeSwap", () => {
  opened = [...document.querySelectorAll("#answer details[open][id]")].map((one) => one.id);
});
document.addEventListener("htmx:afterSwap", () => {
  for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches?.(".order-form input:not([type=checkbox])")) event.preventDefault();
});

// Links with a key are followed by it; in the time chart one bar takes the focus and the arrows go from bar to bar.
const barsOf = (row) => [...row.querySelectorAll(".strip [tabindex]")];
document.querySelectorAll(".chart .strip [tabindex]").forEach((bar, place) => { if (place === 0) bar.tabIndex = 0; });
const nextBar = (bar, key) => {
  const row = bar.closest("li"), bars = barsOf(row), place = bars.indexOf(bar);
  if (key === "ArrowLeft" || key === "ArrowRight") return bars[place + (key === "ArrowRight" ? 1 : -1)] ?? bar;
  let other = row;
  do other = key === "ArrowDown" ? other.nextElementSibling : other.previousElementSibling; while (other && !barsOf(other).length);
  const here = bar.getBoundingClientRect().left, away = (one) => Math.abs(one.getBoundingClientRect().left - here);
  return other ? barsOf(other).reduce((best, one) => (away(one) < away(best) ? one : best)) : bar;
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.target.matches?.("input, select, textarea")) return;
  const bar = event.target.closest?.(".chart .strip [tabindex]");
  if (bar && event.key.startsWith("Arrow")) {
    event.preventDefault();
    nextBar(bar, event.key).focus();
    return;
  }
  const key = event.key === "=" ? "+" : event.key;
  const link = [...document.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);
  if (link) { event.preventDefault(); link.click(); }
});

// A scanner types a whole code within a blink and ends with Enter; a person does not.
const BLINK_MS = 40;
const CODE = /^([A-Z]\d{2}-\d{4}\S*|https?:\/\/\S+)$/i;
let heard = { text: "", at: 0, field: null, before: "" };

const restart = (event) => {
  const field = event.target.matches?.("input, textarea") ? event.target : null;
  heard = { text: "", at: 0, field, before: field ? field.value : "" };
};
const landOn = (code) => {
  const url = new URL(document.body.dataset.scan, location.origin);
  url.searchParams.set("code", code);
  location.assign(url);
};
document.addEventListener("keydown", (event) => {
  if (!document.body.dataset.scan || event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.timeStamp - heard.at > BLINK_MS) restart(event);
  if (event.key === "Enter" && CODE.test(heard.text)) {
    event.preventDefault();
    event.stopImmediatePropagation();
    if (heard.field) heard.field.value = heard.before;
    landOn(heard.text);
  } else if (event.key.length === 1) {
    heard.text += event.key;
  }
  heard.at = event.timeStamp;
}, true);

let awake = null;
const keepAwake = async () => {
  const wanted = document.querySelector("[data-awake]") !== null && document.visibilityState === "visible";
  if (wanted && !awake && "wakeLock" in navigator) {
    awake = await navigator.wakeLock.request("screen").catch(() => null);
    awake?.addEventListener("release", () => { awake = null; });
  } else if (!wanted && awake) {
    await awake.release();
  }
};
document.addEventListener("visibilitychange", keepAwake);
document.addEventListener("htmx:afterSettle", keepAwake);
keepAwake();
