// For scripts that fill the page's own fields: when the page stands, and how a text gets in.

export const isReady = () => Boolean(document.documentElement.dataset.ready);

// Begins once, when the page is ready and what the caller asks for besides stands in it.
export function whenReady(begin, stands = () => true) {
  const watch = new MutationObserver(look);
  function look() {
    if (!isReady() || !stands()) return false;
    watch.disconnect();
    begin();
    return true;
  }
  if (!look()) watch.observe(document.documentElement, { attributeFilter: ["data-ready"] });
}

// ipywidgets listens to one of these, or to the other.
export function enter(field, text) {
  field.value = text;
  for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
}
