// Small comforts; every page works without them.
"use strict";

// The summary of what is wrong with a form is where a reader goes on.
document.querySelector("[data-focus]")?.focus();

// Opened details stay open while this tab lives. Nothing personal is kept: only their names.
for (const part of document.querySelectorAll("details[data-remember]")) {
  const key = "open:" + part.dataset.remember;
  try {
    if (sessionStorage.getItem(key)) part.open = true;
    part.addEventListener("toggle", () => {
      if (part.open) sessionStorage.setItem(key, "1");
      else sessionStorage.removeItem(key);
    });
  } catch {
    break; // Storage is switched off: nothing is remembered, nothing is lost.
  }
}

// Copy the list of pieces to fetch.
for (const row of document.querySelectorAll("[data-copy]")) {
  if (!navigator.clipboard) break;
  row.hidden = false;
  const said = row.querySelector("[role=status]");
  row.querySelector("button").addEventListener("click", () => {
    navigator.clipboard.writeText(row.dataset.copy).then(
      () => { said.textContent = "Copied."; },
      () => { said.textContent = "This browser doesn't allow it: select the list and copy it by hand."; },
    );
  });
}

// Show what is typed as a password.
for (const field of document.querySelectorAll("input[data-reveal]")) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button quiet reveal";
  button.textContent = "Show password";
  button.setAttribute("aria-controls", field.id);
  button.addEventListener("click", () => {
    const hidden = field.type === "password";
    field.type = hidden ? "text" : "password";
    button.textContent = hidden ? "Hide password" : "Show password";
  });
  field.after(button);
}

// A last night before the first follows it.
const from = document.querySelector("input[name=from]");
const to = document.querySelector("input[name=to]");
from?.addEventListener("change", () => {
  if (to && from.value && to.value < from.value) to.value = from.value;
});

// A chosen file's text goes into the field that the form sends.
for (const chooser of document.querySelectorAll("input[data-fill]")) {
  const field = document.getElementById(chooser.dataset.fill);
  chooser.closest("[hidden]").hidden = false;
  chooser.addEventListener("change", async () => {
    if (chooser.files.length > 0) field.value = await chooser.files[0].text();
  });
}

// A report that is being made shows how far it has come.
if (document.querySelector("[data-watch]")) {
  setInterval(() => {
    const busy = document.activeElement && document.activeElement !== document.body && document.activeElement.matches("button, a, input");
    if (!busy && !document.hidden) location.reload();
  }, 4000);
}
