// Where the page begins: the engine that its first line names.
import type { Engine } from "./engine";
import { engineHere } from "./here";
import { begin, broken } from "./main";
import { engineServed } from "./served";
import { watchWidths } from "./widths";

function engine(): Engine {
  if (document.documentElement.dataset["engine"] !== "here") return engineServed();
  // Offline after the first visit.
  void navigator.serviceWorker?.register("sw.js").catch(() => undefined);
  return engineHere();
}

watchWidths();
begin(engine()).catch(broken);
