// The search of a list. Without it the list can be read and searched by the
// browser's own means.
"use strict";

const form = document.querySelector("form[role=search]");
const field = form.querySelector("input");
const found = form.querySelector("[role=status]");
const rows = [...document.querySelectorAll(".list tbody tr")].map((row) => ({ row, text: row.textContent.toLowerCase() }));

function search() {
  const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  let n = 0;
  for (const r of rows) {
    const fits = words.every((w) => r.text.includes(w));
    r.row.hidden = !fits;
    if (fits) n++;
  }
  found.textContent = words.length === 0 ? "" : n === 0 ? "Nothing on this page fits." : n + " of " + rows.length + " on this page";
}

form.addEventListener("submit", (e) => e.preventDefault());
field.addEventListener("input", search);
form.hidden = false;
search(); // a browser may have kept what was typed
