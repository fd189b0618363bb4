// From a number that the bench asks for, or from the front page, to the form of one's own bike below
// the bench: opens it, and puts the keyboard into the first field, after those known, that is empty.

import { isReady } from "./fields.js";

const KNOWN = 2; // name and teeth stand first

async function come(find) {
  let found = find();
  while (!found) {
    await new Promise(requestAnimationFrame);
    found = find();
  }
  return found;
}

export async function ask(known = KNOWN) {
  await come(isReady);
  const lid = await come(() => document.querySelector(".ge-own-lid .jupyter-widget-Collapse"));
  if (!lid.classList.contains("jupyter-widget-Collapse-open")) {
    lid.querySelector(".jupyter-widget-Collapse-header").click();
  }
  const editor = await come(() => lid.querySelector(".ge-bike-editor"));
  if (!editor.querySelector(".ge-own")) editor.querySelector(".ge-enter-own").click();
  const fields = await come(() => {
    const made = editor.querySelectorAll(".ge-own input[type=text]");
    return made.length > known && [...made].slice(known);
  });
  (fields.find(({ value }) => !value) ?? fields[0]).focus();
}
