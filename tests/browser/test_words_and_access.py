"""Words at first load, from the rendered page; and what a screen reader and the keyboard meet."""

import pytest

BUDGETS = {"gearing": 450, "wants": 350, "ground": 450, "fit": 500, "check": 350, "logbook": 250}
"""Words that a page may say before anything is asked [count]."""

# What a reader sees: no text that only a screen reader reads, of a list only what is picked.
WORDS = r"""
() => {
  const page = document.querySelector("#ge-page");
  const count = (text) => text.split(/\s+/).filter((each) => /[\p{L}\d]/u.test(each)).length;
  const unseen = [...page.querySelectorAll(".ge-visually-hidden")]
    .filter((each) => !each.parentElement.closest(".ge-visually-hidden"));
  const unpicked = [...page.querySelectorAll("select")].filter((each) => each.offsetParent)
    .flatMap((each) => [...each.options].filter((option) => !option.selected));
  const less = [...unseen, ...unpicked].reduce((sum, each) => sum + count(each.innerText), 0);
  return count(page.innerText) - less;
}
"""


@pytest.mark.parametrize("name", BUDGETS)
def test_a_page_says_little_before_it_is_asked(open_page, name):
    assert open_page(name).evaluate(WORDS) <= BUDGETS[name]
