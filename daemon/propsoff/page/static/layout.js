// How the tiles share the screen: the columns that make the large word largest, measured in this screen's own letters.

import { WORDS } from "./words.js";

const GAP = 10;
const MOST_COLUMNS = 8;
const MOST_WORD = 300;
// A small tile of this height has room for two lines of what to do.
const ROOMY = 180;
// The width of the shape beside a word, with the gap after it, in the height of the letters.
const SHAPE = 1.12;
const USUAL = "fail";
// What stands beside the word in a tile: px of height that it needs in each of the ways to draw one.
const WAYS = {
  tall: { beside: 1, least: 400, need: 290, pad: 40 },
  wide: { beside: 0.58, least: 230, need: 98, pad: 54 },
  dense: { beside: 1, least: 112, need: 84, pad: 28 },
};

/** Tell the style how wide each word is in its face, so that it can fill its tile. */
export function measureWords(face) {
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = `bold 100px ${face}`;
  for (const [word, text] of Object.entries(WORDS)) {
    const wide = pen.measureText(text).width / 100 + SHAPE;
    document.documentElement.style.setProperty(`--em-${word}`, wide.toFixed(3));
  }
}

/** Columns, the way, and the room of the word for so many tiles on so much screen. */
export function layoutFor(tiles, width, height) {
  const em = parseFloat(document.documentElement.style.getPropertyValue(`--em-${USUAL}`)) || 4;
  const tried = [];
  for (let columns = 1; columns <= Math.min(tiles, MOST_COLUMNS); columns += 1) {
    for (const way of Object.keys(WAYS)) tried.push(plan(way, columns, tiles, width, height, em));
  }
  const fits = tried.filter((one) => one.fits);
  const roomy = fits.filter((one) => one.way !== "dense" && one.wide >= 290);
  const from = roomy.length ? roomy : fits.filter((one) => one.way === "dense");
  return best(from) ?? best(tried.filter((one) => one.wide >= 150 && one.way === "dense")) ?? tried[0];
}

function plan(way, columns, tiles, width, height, em) {
  const { beside, least, need, pad } = WAYS[way];
  const rows = Math.ceil(tiles / columns);
  const wide = (width - GAP * (columns - 1)) / columns;
  const free = (height - GAP * (rows - 1)) / rows;
  const high = Math.max(free, least);
  const roomWide = wide * beside - pad;
  const roomHigh = Math.min(high - need, MOST_WORD);
  const fits = free >= least && (way !== "wide" || wide >= 600);
  // A hole in the last row is screen that nobody uses.
  const filled = Math.sqrt(tiles / (rows * columns));
  return { way, columns, wide, high, roomWide, roomHigh, fits, word: Math.min(roomWide / em, roomHigh) * filled };
}

function best(plans) {
  return plans.reduce((a, b) => (a && a.word >= b.word ? a : b), null);
}

/** Lay the tiles out in `node`; `foot` px below them stay free. */
export function arrange(node, tiles, foot) {
  const top = node.getBoundingClientRect().top + scrollY;
  const laid = layoutFor(Math.max(tiles, 1), node.clientWidth, innerHeight - top - foot);
  node.dataset.way = laid.way;
  node.dataset.room = laid.high >= ROOMY ? "some" : "little";
  node.style.setProperty("--columns", laid.columns);
  node.style.setProperty("--tile-high", `${Math.floor(laid.high)}px`);
  node.style.setProperty("--room-wide", `${Math.floor(laid.roomWide)}px`);
  node.style.setProperty("--room-high", `${Math.floor(laid.roomHigh)}px`);
  return laid;
}
