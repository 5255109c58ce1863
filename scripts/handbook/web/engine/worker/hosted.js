/**
 * Over http the worker fetches its parts itself: the page's own thread is at its busiest while they come.
 */

/** The browser's own, which Python will not find. */
const fetchFile = self.fetch.bind(self);

/** @param {import("./messages").Stage} [stage]   the one that begins, if one does */
function tellProgress(stage) {
    /** @type {import("./messages").Progress} */
    const message = { type: "progress", stage };
    self.postMessage(message);
}

/**
 * Passes bytes on and tells the page that they came.
 * @returns {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>}
 */
function watching() {
    return new TransformStream({
        transform(piece, next) {
            tellProgress();
            next.enqueue(piece);
        },
    });
}

/**
 * @param {Memory} memory
 * @param {ReadableStream<Uint8Array>} stream   which has to fill it exactly
 */
async function fill(memory, stream) {
    await eachPiece(stream, (piece) => memory.add(piece));
    if (!memory.whole) {
        throw new RangeError("fewer bytes than there should be");
    }
}

/** @param {import("./messages").Parts} parts */
async function tellStages({ program, module, stdlib, calc, snapshot }) {
    await Promise.all([program, module, stdlib, calc]);
    if (!snapshot) {
        tellProgress("starting");
        return;
    }
    tellProgress("unpacking");
    await snapshot.arrived;
    tellProgress("waking");
}

/**
 * @param {import("./messages").HostedGiven} given
 * @returns {import("./messages").Parts}
 */
function fromHost({ names, layouts, plain }) {
    /** @param {"loader" | "runtime"} name */
    const program = (name) => import(new URL(names[name], self.location.href).href);

    /**
     * @template Result
     * @param {import("../packed").Part} part
     * @param {(stream: ReadableStream<Uint8Array<ArrayBuffer>>) => Promise<Result>} read
     * @returns {Promise<Result>}
     */
    const fetched = async (part, read) => {
        const name = names[part];
        let response;
        try {
            response = await fetchFile(new URL(name, self.location.href));
        } catch (error) {
            throw new Missing(`“${name}” could not be fetched from the host.`, part, { cause: error });
        }
        if (!response.ok || !response.body) {
            throw new Missing(`“${name}” could not be fetched: the host answered ${response.status}.`, part);
        }
        try {
            return await read(response.body.pipeThrough(watching()));
        } catch (error) {
            throw new Missing(`“${name}” came cut short, or is not what it should be.`, part, { cause: error });
        }
    };

    /** @param {"stdlib" | "calc"} part */
    const buffer = (part) => fetched(part, async (stream) => {
        const memory = new Memory(layouts[part]);
        await fill(memory, stream);
        return memory.bytes.buffer;
    });

    const snapshot = () => {
        const memory = new SnapshotMemory(layouts.snapshot);
        const arrived = fetched("snapshot", (stream) => fill(memory, gunzipped(stream)));
        return { memory, arrived };
    };

    /** @type {import("./messages").Parts} */
    const parts = {
        // The largest is asked for first.
        snapshot: plain ? null : snapshot(),
        module: fetched("wasm", (stream) => compiled(gunzipped(stream))),
        stdlib: buffer("stdlib"),
        calc: buffer("calc"),
        program: Promise.all([program("loader"), program("runtime")]).then(
            ([{ loadPyodide }, { default: createPyodideModule }]) => ({ loadPyodide, createPyodideModule }),
            (error) => {
                throw Missing.program({ cause: error });
            },
        ),
    };
    tellStages(parts).catch(() => {}); // whoever waits for a part hears of it
    return parts;
}

serve(fromHost);
