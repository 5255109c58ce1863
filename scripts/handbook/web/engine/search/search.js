/**
 * The theme's search worker, made to suit this book. It reads the whole book at its start, which takes as
 * long as Python's own start, and from a phone's battery with every page: so it waits until the reader turns
 * to the search.
 * In a page opened from a folder the theme asks for that worker by address, which a browser refuses there;
 * it is given one made of the same text instead. Every other worker is the browser's own.
 */
(() => {
    /** The theme's search worker: the build writes its file name and text in place of this line. */
    const SEARCH = { name: "", text: "" };

    const Native = window.Worker;

    /** Told when the search may begin. */
    const turn = new Promise((resolve) => {
        // The theme puts the reader into its field by a key or a button, or at once for an address with a question.
        document.addEventListener("focusin", ({ target }) => {
            if (target instanceof Element && target.matches("[data-md-component='search-query']")) {
                resolve(undefined);
            }
        });
        if (new URLSearchParams(location.search).has("q")) {
            resolve(undefined);
        }
    });

    /** A worker that is told nothing before its turn, and then everything in order. */
    class Patient extends Native {
        /** @param {any[]} message */
        postMessage(...message) {
            turn.then(() => super.postMessage(.../** @type {[any]} */ (message)));
        }
    }

    /**
     * @param {string | URL} address
     * @param {WorkerOptions} [options]
     */
    function made(address, options) {
        if (!new URL(address, location.href).pathname.endsWith(`/${SEARCH.name}`)) {
            return new Native(address, options);
        }
        return location.protocol === "file:"
            ? new Patient(URL.createObjectURL(new Blob([SEARCH.text], { type: "text/javascript" })))
            : new Patient(address, options);
    }

    window.Worker = new Proxy(Native, { construct: (_target, [address, options]) => made(address, options) });
})();
