/** The engine's parts over http, from the folder this script came from. */
class Hosted extends Supply {
    #abort = new AbortController();

    stop() {
        this.#abort.abort();
    }

    /** @returns {Promise<Worker>} */
    async worker() {
        return new Worker(this.base + this.packed.hosted.worker, { type: "module" });
    }

    /** @returns {Promise<WebAssembly.Module>} */
    module() {
        return this.once("module", () => this.#part("wasm", async (stream) =>
            WebAssembly.compileStreaming(new Response(stream, WASM))));
    }

    /** @returns {Promise<ArrayBuffer>} */
    stdlib() {
        return this.once("stdlib", () => this.#part("stdlib", gathered));
    }

    /** @returns {Promise<ArrayBuffer>} */
    calc() {
        return this.once("calc", () => this.#part("calc", gathered));
    }

    /** @param {MessagePort} port */
    snapshot(port) {
        return this.#part("snapshot", (stream, size) =>
            sent(stream.pipeThrough(new DecompressionStream("gzip")), size, port));
    }

    /**
     * @template Result
     * @param {"wasm" | "stdlib" | "calc" | "snapshot"} part
     * @param {(stream: ReadableStream<Uint8Array<ArrayBuffer>>, size: number) => Promise<Result>} read
     * @returns {Promise<Result>}
     */
    async #part(part, read) {
        const name = this.packed.hosted[part];
        let response;
        try {
            response = await fetch(this.base + name, { signal: this.#abort.signal });
        } catch (error) {
            throw new Missing(`“${name}” could not be fetched from the host.`, { cause: error });
        }
        if (!response.ok || !response.body) {
            throw new Missing(`“${name}” could not be fetched: the host answered ${response.status}.`);
        }
        try {
            return await read(response.body.pipeThrough(this.#watching()), this.packed.sizes[part]);
        } catch (error) {
            throw new Missing(`“${name}” came cut short, or is not what it should be.`, { cause: error });
        }
    }

    /**
     * Passes bytes on and tells the watch that they came.
     * @returns {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>}
     */
    #watching() {
        return new TransformStream({
            transform: (piece, next) => {
                this.watch.progress();
                next.enqueue(piece);
            },
        });
    }
}
