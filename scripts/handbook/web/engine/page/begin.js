/** What the build packed: it writes the real thing in place of this line. */
const PACKED = /** @type {import("../packed").Packed} */ ({});

const script = /** @type {HTMLScriptElement} */ (document.currentScript);
const engine = new Engine(new URL(".", script.src).href, PACKED);
const host = /** @type {{ furrowbook?: { engine?: Engine } }} */ (/** @type {unknown} */ (window));
(host.furrowbook ??= {}).engine = engine;

// A page with a form says so on this script's tag, to have the engine on its way before the form is read.
if ("start" in script.dataset) {
    engine.start();
}
