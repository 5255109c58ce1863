/**
 * The engine's parts in a page opened from a folder. There a page may read no file but a script, so each
 * part is a script that leaves one text behind.
 */
class Folder extends Supply {
    /** @returns {Promise<Worker>} */
    async worker() {
        const text = await this.once("worker", async () =>
            new Response(gunzipped(await this.#bytes("worker"))).blob());
        const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
        // The address is read when the worker starts, which is not yet.
        window.setTimeout(() => URL.revokeObjectURL(address), 60_000);
        return new Worker(address);
    }

    /** @returns {Promise<WebAssembly.Module>} */
    module() {
        return this.once("module", async () =>
            WebAssembly.compileStreaming(new Response(gunzipped(await this.#bytes("wasm")), WASM)));
    }

    /** @returns {Promise<ArrayBuffer>} */
    stdlib() {
        return this.once("stdlib", async () => (await this.#bytes("stdlib")).buffer);
    }

    /** @returns {Promise<ArrayBuffer>} */
    calc() {
        return this.once("calc", async () => (await this.#bytes("calc")).buffer);
    }

    /** @param {MessagePort} port */
    async snapshot(port) {
        return sent(gunzipped(await this.#bytes("snapshot")), this.packed.sizes.snapshot, port);
    }

    /**
     * @param {"wasm" | "stdlib" | "calc" | "snapshot" | "worker"} part
     * @returns {Promise<Uint8Array<ArrayBuffer>>}
     */
    async #bytes(part) {
        const name = this.packed.folder[part];
        const script = document.createElement("script");
        const loaded = new Promise((resolve, reject) => {
            script.onload = resolve;
            script.onerror = () => reject(new Missing(`“${name}” is missing from the folder.`));
        });
        script.src = this.base + name;
        document.head.append(script);
        try {
            await loaded;
        } finally {
            script.remove();
        }
        this.watch.progress();
        const store = /** @type {{ furrowbookPayload?: Record<string, string> }} */ (
            /** @type {unknown} */ (window)).furrowbookPayload;
        const text = store?.[part];
        delete store?.[part];
        if (!text) {
            throw new Missing(`“${name}” was cut short when the folder was copied.`);
        }
        return decoded(text);
    }
}

/**
 * @param {string} text   base64
 * @returns {Uint8Array<ArrayBuffer>}
 */
function decoded(text) {
    const native = /** @type {{ fromBase64?: (text: string) => Uint8Array<ArrayBuffer> }} */ (
        /** @type {unknown} */ (Uint8Array));
    if (native.fromBase64) {
        return native.fromBase64(text);
    }
    return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
}

/**
 * @param {Uint8Array<ArrayBuffer>} packed
 * @returns {ReadableStream<Uint8Array<ArrayBuffer>>}
 */
function gunzipped(packed) {
    // A blob hands its bytes on in small pieces, so that the page can draw between two of them.
    return new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
}
