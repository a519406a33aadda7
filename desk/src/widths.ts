// How much of the page the text has: the choice is kept by the browser.
import { at } from "./dom";

const KEY = "oaktag-wider-text";

export function watchWidths(): void {
  const button = at("wider");
  const lay = (isWide: boolean) => {
    document.documentElement.toggleAttribute("data-wider", isWide);
    button.setAttribute("aria-pressed", String(isWide));
  };
  lay(localStorage.getItem(KEY) === "yes");
  button.addEventListener("click", () => {
    const isWide = button.getAttribute("aria-pressed") !== "true";
    localStorage.setItem(KEY, isWide ? "yes" : "no");
    lay(isWide);
  });
}
