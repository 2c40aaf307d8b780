// The shape of each word: the same as on the printed card, so that state is never told by colour alone.

const SVG = "http://www.w3.org/2000/svg";
const FULL = "currentColor";
// A cut-out has the paper's colour, by its class, in every look.
const SHAPES = {
  pass: [
    ["circle", { cx: 12, cy: 12, r: 11, fill: FULL }],
    ["path", { d: "M6.5 12.5l4 4 7-8.5", cut: 3 }],
  ],
  warn: [
    ["path", { d: "M12 1L23.5 22H.5z", fill: FULL }],
    ["path", { d: "M12 8v7m0 2v3", cut: 3 }],
  ],
  fail: [
    ["path", { d: "M1 1h22v22H1z", fill: FULL }],
    ["path", { d: "M7 7l10 10M17 7L7 17", cut: 3 }],
  ],
  unknown: [
    ["path", { d: "M12 1.5L22.5 12 12 22.5 1.5 12z", line: 2.2 }],
    ["path", { d: "M9.2 9.5a2.8 2.8 0 1 1 4 2.5c-1 .5-1.2 1-1.2 2m0 1.5v2.2", line: 2.2 }],
  ],
  error: [
    ["path", { d: "M7 1h10l6 6v10l-6 6H7l-6-6V7z", fill: FULL }],
    ["path", { d: "M12 5v9m0 2.5v3", cut: 3 }],
  ],
  incomplete: [["circle", { cx: 12, cy: 12, r: 9.5, line: 4, dashes: "5 3.5" }]],
  reading: [
    ["path", { d: "M3 2h18v20H3z", line: 2 }],
    ["path", { d: "M7 7.5h10M7 12h10M7 16.5h5", line: 2 }],
  ],
  shut: [
    ["path", { d: "M5 11h14v11H5z", fill: FULL }],
    ["path", { d: "M8 11V7a4 4 0 0 1 8 0v4", line: 2.4 }],
  ],
  empty: [
    ["path", { d: "M2 5h20v14H2z", line: 1.8 }],
    ["path", { d: "M8 9.5v5M16 9.5v5", line: 1.8 }],
  ],
  skipped: [["path", { d: "M3 12h18", line: 3 }]],
};

/** The shape of a verdict, an outcome or a state. A screen reader leaves it out: the word stands beside it. */
export function shape(word) {
  const svg = document.createElementNS(SVG, "svg");
  for (const [name, value] of Object.entries({ class: "shape", viewBox: "0 0 24 24", "aria-hidden": "true" })) {
    svg.setAttribute(name, value);
  }
  for (const [tag, how] of SHAPES[word] ?? SHAPES.skipped) svg.append(stroke(tag, how));
  return svg;
}

function stroke(tag, { cut, line, dashes, ...plain }) {
  const node = document.createElementNS(SVG, tag);
  const strokes = cut ? { class: "cut", fill: "none", "stroke-width": cut } : {};
  const lines = line ? { fill: "none", stroke: FULL, "stroke-width": line, "stroke-dasharray": dashes ?? "none" } : {};
  for (const [name, value] of Object.entries({ ...plain, ...strokes, ...lines })) node.setAttribute(name, value);
  return node;
}
