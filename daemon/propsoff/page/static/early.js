// Runs before the first paint, so that nobody sees the other look flash by.
(() => {
  let chosen = null;
  try {
    chosen = localStorage.getItem("propsoff.contrast");
  } catch {
    // No storage, as in a private window: then the wish of the system decides.
  }
  const wished = matchMedia("(prefers-contrast: more)").matches ? "high" : "usual";
  document.documentElement.dataset.contrast = chosen === "high" || chosen === "usual" ? chosen : wished;
})();
