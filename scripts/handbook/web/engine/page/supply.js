/** A part of the engine that could not be had; the message is for people. */
class Missing extends Error {}

const WASM = { headers: { "Content-Type": "application/wasm" } };

/**
 * All of a stream, which has to come to exactly this size.
 * @param {ReadableStream<Uint8Array<ArrayBuffer>>} stream
 * @param {number} size
 * @returns {Promise<ArrayBuffer>}
 */
async function gathered(stream, size) {
    const whole = new Uint8Array(size);
    let at = 0;
    const reader = stream.getReader();
    for (let next = await reader.read(); !next.done; next = await reader.read()) {
        whole.set(next.value, at); // throws where there is more than there should be
        at += next.value.length;
    }
    if (at !== size) {
        throw new RangeError(`${at} bytes where ${size} should be`);
    }
    return whole.buffer;
}

/**
 * Sends a stream on piece by piece; it has to come to exactly this size.
 * @param {ReadableStream<Uint8Array<ArrayBuffer>>} stream
 * @param {number} size
 * @param {MessagePort} port
 * @returns {Promise<void>}
 */
async function sent(stream, size, port) {
    let at = 0;
    const reader = stream.getReader();
    for (let next = await reader.read(); !next.done; next = await reader.read()) {
        at += next.value.length;
        port.postMessage(next.value, [next.value.buffer]);
    }
    if (at !== size) {
        throw new RangeError(`${at} bytes where ${size} should be`);
    }
}

/**
 * Where the parts of the engine come from. Each is fetched once and kept until the engine runs, so that
 * a second attempt does not fetch again.
 */
class Supply {
    /**
     * @param {string} base   address of the engine's folder, with its last slash
     * @param {import("../packed").Packed} packed
     * @param {Watch} watch
     */
    constructor(base, packed, watch) {
        this.base = base;
        this.packed = packed;
        this.watch = watch;
        /** @type {Map<string, Promise<any>>} */
        this.kept = new Map();
        /** @type {Line | null} */
        this.opened = null;
    }

    /**
     * @template Result
     * @param {string} key
     * @param {() => Promise<Result>} bring
     * @returns {Promise<Result>}
     */
    once(key, bring) {
        let part = this.kept.get(key);
        if (!part) {
            part = bring();
            // Each is awaited in its turn; a failure before that turn is not an unhandled one.
            part.catch(() => {});
            this.kept.set(key, part);
        }
        return part;
    }

    /**
     * A new line to a worker. It is opened before there is anything to tell it, for it has its own program
     * to load meanwhile.
     * @returns {Promise<Line>}
     */
    async line() {
        this.opened = new Line(await this.worker());
        return this.opened;
    }

    /**
     * @abstract
     * @returns {Promise<Worker>}
     */
    async worker() {
        throw new Error("each kind of supply has its own");
    }

    /**
     * Sends the snapshot through this port, unpacked. It is wanted once only and so not kept.
     * @abstract
     * @param {MessagePort} _port
     * @returns {Promise<void>}
     */
    async snapshot(_port) {
        throw new Error("each kind of supply has its own");
    }

    /** Stops what is still on its way; it is no longer wanted. */
    stop() {}
}
