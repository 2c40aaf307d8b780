// What stands under "Do now" is made shorter until its tile has room for it: measured, in one go for all that changed.

export class Fit {
  /** `list` holds the tiles, which have node, isLarge, mostFit(dense) and fit(step, dense). */
  constructor(list) {
    this.list = list;
    this.waiting = new Set();
    this.frame = 0;
  }

  /** Before the page is drawn next, fit this tile anew. */
  soon(tile) {
    this.waiting.add(tile);
    if (!this.frame) this.frame = requestAnimationFrame(() => this.all());
  }

  /** Fit this tile at once, because something is to be scrolled to. */
  now(tile) {
    this.waiting.add(tile);
    this.all();
  }

  all() {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
    const dense = this.list.dataset.way === "dense";
    const high = parseFloat(this.list.style.getPropertyValue("--tile-high"));
    let tight = [...this.waiting].filter(({ node }) => node.isConnected);
    this.waiting.clear();
    this.list.classList.add("measuring");
    for (const tile of tight) tile.fit(0, dense && !tile.isLarge);
    tight = tight.filter((tile) => !tile.isLarge);
    for (let step = 1; tight.length; step += 1) {
      // All are asked before any is changed, so that the browser lays the page out once for each step.
      tight = tight.filter((tile) => !hasRoom(tile, dense, high) && step <= tile.mostFit(dense));
      for (const tile of tight) tile.fit(step, dense);
    }
    this.list.classList.remove("measuring");
  }
}

function hasRoom({ node, todo }, dense, high) {
  return dense ? todo.scrollHeight <= todo.clientHeight + 1 : node.offsetHeight <= high;
}
