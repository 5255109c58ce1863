/**
 * For the successor of the theme: in a page opened from a folder a browser refuses the search worker by its
 * address, so it is given one made of the same text. Every other worker is the browser's own.
 */
(() => {
    /** The theme's search worker: the build writes its file name and text in place of this line. */
    const SEARCH = { name: "", text: "" };

    const Native = window.Worker;

    /**
     * @param {string | URL} address
     * @param {WorkerOptions} [options]
     */
    function made(address, options) {
        const search = new URL(address, location.href).pathname.endsWith(`/${SEARCH.name}`);
        return search && location.protocol === "file:"
            ? new Native(URL.createObjectURL(new Blob([SEARCH.text], { type: "text/javascript" })), options)
            : new Native(address, options);
    }

    window.Worker = new Proxy(Native, { construct: (_target, [address, options]) => made(address, options) });
})();
