/**
 * Search in a page opened from a folder. The theme asks for a worker by address, which a browser refuses
 * there; it is given one made of the same text instead. Every other worker is the browser's own, and over
 * http nothing is changed.
 */
(() => {
    if (location.protocol !== "file:") {
        return;
    }
    /** The theme's search worker: the build writes its file name and text in place of this line. */
    const SEARCH = { name: "", text: "" };

    const Native = window.Worker;

    window.Worker = class extends Native {
        /**
         * @param {string | URL} address
         * @param {WorkerOptions} [options]
         */
        constructor(address, options) {
            const asked = new URL(address, location.href);
            if (!asked.pathname.endsWith(`/${SEARCH.name}`)) {
                super(address, options);
                return;
            }
            super(URL.createObjectURL(new Blob([SEARCH.text], { type: "text/javascript" })));
        }
    };
})();
