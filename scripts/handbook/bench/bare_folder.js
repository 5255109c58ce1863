/**
 * A bare start from a folder: Pyodide without a snapshot, in a worker made of text, with every part brought
 * by a script, since a page opened from a folder may read no other file. Parts are unpacked in the quickest
 * way there is, as the handbook does it: a slow bare start would flatter the handbook.
 */
(async () => {
    const parts = /** @type {{ furrowbookPayload: Record<string, string> }} */ (
        /** @type {unknown} */ (window)).furrowbookPayload;

    /**
     * @param {string} part
     * @returns {Uint8Array<ArrayBuffer>}
     */
    function bytes(part) {
        const text = parts[part] ?? "";
        const native = /** @type {{ fromBase64?: (text: string) => Uint8Array<ArrayBuffer> }} */ (
            /** @type {unknown} */ (Uint8Array));
        return native.fromBase64?.(text) ?? Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    }

    /**
     * @param {string} part
     * @returns {Promise<ArrayBuffer>}
     */
    function unpacked(part) {
        const stream = new Blob([bytes(part)]).stream().pipeThrough(new DecompressionStream("gzip"));
        return new Response(stream).arrayBuffer();
    }

    const [program, wasm] = await Promise.all([unpacked("worker"), unpacked("wasm")]);
    const stdlib = bytes("stdlib").buffer;
    const worker = new Worker(URL.createObjectURL(new Blob([program], { type: "text/javascript" })));
    worker.onmessage = ({ data }) => {
        Object.assign(window, { furrowbookMeasured: { at: performance.now(), shown: data } });
    };
    worker.postMessage({ wasm, stdlib }, [wasm, stdlib]);
})();
