// Draws a signature. Without this script a typed name is enough.
"use strict";

for (const part of document.querySelectorAll("[data-sign]")) {
  const canvas = part.querySelector("canvas");
  const field = part.querySelector("input");
  const pen = canvas.getContext("2d");
  if (!pen) continue;
  part.hidden = false;

  // "M10 20L11 21" and back: whole numbers in the canvas' own units.
  let lines = [...field.value.matchAll(/M[^M]+/g)].map(([line]) =>
    [...line.matchAll(/(\d+) (\d+)/g)].map(([, x, y]) => [Number(x), Number(y)]));

  const draw = () => {
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.strokeStyle = getComputedStyle(canvas).color;
    pen.lineWidth = 4;
    pen.lineCap = pen.lineJoin = "round";
    for (const line of lines) {
      pen.beginPath();
      line.forEach(([x, y], at) => (at ? pen.lineTo(x, y) : pen.moveTo(x, y)));
      pen.stroke();
    }
  };
  const keep = () => {
    const written = lines.filter((line) => line.length > 1)
      .map((line) => line.map(([x, y], at) => (at ? "L" : "M") + x + " " + y).join(""));
    field.value = written.join("");
  };
  const point = (event) => {
    const box = canvas.getBoundingClientRect();
    const within = (value, most) => Math.max(0, Math.min(most, Math.round(value)));
    return [
      within((event.clientX - box.left) * canvas.width / box.width, canvas.width),
      within((event.clientY - box.top) * canvas.height / box.height, canvas.height),
    ];
  };

  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    lines.push([point(event)]);
    event.preventDefault();
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!canvas.hasPointerCapture(event.pointerId)) return;
    const line = lines.at(-1);
    const [x, y] = point(event);
    const [lastX, lastY] = line.at(-1);
    // Near points say nothing new, and a signature has its end.
    if (Math.hypot(x - lastX, y - lastY) < 3 || lines.flat().length >= 2400) return;
    line.push([x, y]);
    draw();
    keep();
  });
  part.querySelector("button").addEventListener("click", () => {
    lines = [];
    draw();
    keep();
  });
  draw();
}
