// The switch between the usual look and the one of high contrast.

/** Let a button switch it; the choice is remembered on this screen. */
export function contrastSwitch(button) {
  const root = document.documentElement;
  const show = () => button.setAttribute("aria-pressed", String(root.dataset.contrast === "high"));
  button.addEventListener("click", () => {
    root.dataset.contrast = root.dataset.contrast === "high" ? "usual" : "high";
    try {
      localStorage.setItem("propsoff.contrast", root.dataset.contrast);
    } catch {
      // Then it is not remembered.
    }
    show();
  });
  show();
}
