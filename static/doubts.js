// What is odd about a piece is said while it is typed. The sentences are the server's, and where
// this script can't run, or the network is gone, the button asks for them.
"use strict";

const form = document.querySelector("form[data-doubts]");
const said = document.getElementById("doubts");
let pause, question, last;

const ask = async () => {
  question?.abort();
  const { signal } = (question = new AbortController());
  try {
    const body = new URLSearchParams(new FormData(form));
    // Who was signed out meanwhile is not shown the page for signing in inside the form.
    const how = { method: "POST", body, signal, redirect: "manual" };
    const answer = await fetch(form.dataset.doubts, how);
    const text = answer.ok ? await answer.text() : "";
    if (text === last) return;
    said.innerHTML = last = text;
    document.activeElement.scrollIntoView({ block: "nearest" }); // What is typed stays free of it.
  } catch {} // Broken off by the next letter, or no network.
};

form.addEventListener("input", () => {
  clearTimeout(pause);
  pause = setTimeout(ask, 400);
});
