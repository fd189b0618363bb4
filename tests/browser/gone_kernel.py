"""Waiting until a kernel has gone, as a page of the server's can tell."""

from playwright.sync_api import Page

# `wait_for_function` would not do: with a polling interval it takes a promise for a yes.
_UNTIL_404 = """
async ([address, patience]) => {
  const end = performance.now() + patience;
  while ((await fetch(address, { cache: "no-store" })).status !== 404) {
    if (performance.now() > end) throw new Error(`${address} is still there`);
    await new Promise((again) => setTimeout(again, 100));
  }
}
"""


def wait_until_gone(watcher: Page, address: str, seconds: float = 60) -> None:
    """Ask for the kernel's address from a page of the same server until there is no such kernel."""
    watcher.evaluate(_UNTIL_404, [address, 1000 * seconds])
