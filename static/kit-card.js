// Keeps the kit card on the device, so that it opens in a field without a network.
"use strict";

const worker = document.currentScript.dataset.worker;
const said = document.querySelector("[data-kept]");

if (navigator.serviceWorker) {
  navigator.serviceWorker.register(worker, { scope: "/" })
    .then(() => navigator.serviceWorker.ready)
    .then((registration) => {
      const parts = [...document.querySelectorAll("head link[href], head script[src]")];
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = ({ data }) => { said.hidden = !data.kept; };
      registration.active.postMessage(
        { page: location.pathname, files: parts.map((part) => part.href || part.src) },
        [port2],
      );
    })
    .catch(() => {}); // Without it the card is a page like any other.
}
