/**
 * The engine's parts in a page opened from a folder. There a page may read no file but a script, so each
 * part is a script that leaves one text behind.
 */
class Folder extends Supply {
    /** @type {Map<string, Promise<any>>} */
    #kept = new Map();

    /**
     * @param {boolean} plain
     * @returns {Promise<Line>}
     */
    async bringUp(plain) {
        const opening = this.#open();
        const { port1, port2 } = new MessageChannel();
        const unpacking = plain ? Promise.resolve() : this.#unpack(port1);
        unpacking.catch(() => {}); // looked at further down
        const library = plain ? this.#buffer("stdlib") : null;
        const parts = Promise.all([opening, this.#module(), library, this.#buffer("calc")]);
        const [line, module, stdlib, calc] = await parts;
        this.watch.progress(plain ? "starting" : "waking");
        const layout = this.packed.layouts.snapshot;
        const init = this.init({ module, stdlib, calc, snapshot: plain ? null : port2, layout });
        // The worker readies Python's program while the snapshot is still on its way.
        await Promise.all([unpacking, line.tell(init, plain ? [] : [port2])]);
        return line;
    }

    /** A line to a worker, opened before there is anything to tell it: it has its own program to load. */
    async #open() {
        const text = await this.#once("worker", async () =>
            new Response(unpacked(await this.#bytes("worker"))).blob());
        const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
        // The address is read when the worker starts, which is not yet.
        window.setTimeout(() => URL.revokeObjectURL(address), 60_000);
        return this.connect(new Worker(address));
    }

    /** @returns {Promise<WebAssembly.Module>} */
    #module() {
        return this.#once("wasm", async () => compiled(unpacked(await this.#bytes("wasm"))));
    }

    /**
     * @param {"stdlib" | "calc"} part
     * @returns {Promise<ArrayBuffer>}
     */
    #buffer(part) {
        return this.#once(part, async () => (await this.#bytes(part)).buffer);
    }

    /**
     * Sends the snapshot through this port, unpacked. It is wanted once only and so not kept.
     * @param {MessagePort} port
     */
    async #unpack(port) {
        let sent = 0;
        await eachPiece(unpacked(await this.#bytes("snapshot")), (piece) => {
            sent += piece.length;
            port.postMessage(piece, [piece.buffer]);
        });
        const size = this.packed.layouts.snapshot.runs.reduce((sum, [from, to]) => sum + to - from, 0);
        if (sent !== size) {
            throw new RangeError(`${sent} bytes of the snapshot where ${size} should be`);
        }
    }

    /**
     * Each part is read once, so that a second attempt does not read it again.
     * @template Result
     * @param {string} part
     * @param {() => Promise<Result>} bring
     * @returns {Promise<Result>}
     */
    #once(part, bring) {
        let kept = this.#kept.get(part);
        if (!kept) {
            kept = bring();
            // Each is awaited in its turn; a failure before that turn is not an unhandled one.
            kept.catch(() => {});
            this.#kept.set(part, kept);
        }
        return kept;
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
            script.onerror = () => reject(new Missing(`“${name}” is missing from the folder.`, part));
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
            throw new Missing(`“${name}” was cut short when the folder was copied.`, part);
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

/** @param {Uint8Array<ArrayBuffer>} packed */
function unpacked(packed) {
    // A blob hands its bytes on in small pieces, so that the page can draw between two of them.
    return gunzipped(new Blob([packed]).stream());
}
