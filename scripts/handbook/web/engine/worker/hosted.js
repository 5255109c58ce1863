/** Over http the worker that runs Python fetches its parts itself; its program comes compiled. */

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
 * @param {MessagePort} port   says once what came of it
 * @returns {Promise<WebAssembly.Module>}
 */
function handedOn(port) {
    return new Promise((resolve, reject) => {
        port.onmessage = ({ data }) => {
            if (data.module) {
                resolve(data.module);
            } else {
                reject(new Missing(data.problem, "wasm"));
            }
        };
    });
}

/**
 * @param {import("./messages").HostedGiven} given
 * @returns {import("./messages").Parts}
 */
function fromHost({ names, layouts, plain, module }) {
    /** @param {"loader" | "runtime"} name */
    const program = (name) => import(new URL(names[name], self.location.href).href);

    /** @param {"stdlib" | "calc"} part */
    const buffer = (part) => fetched(part, names[part], async (stream) => {
        const memory = new Memory(layouts[part]);
        await fill(memory, stream);
        return memory.bytes.buffer;
    });

    const snapshot = () => {
        const memory = new SnapshotMemory(layouts.snapshot);
        const arrived = fetched("snapshot", names.snapshot, (stream) => fill(memory, gunzipped(stream)));
        return { memory, arrived };
    };

    /** @type {import("./messages").Parts} */
    const parts = {
        // The largest is asked for first.
        snapshot: plain ? null : snapshot(),
        stdlib: plain ? buffer("stdlib") : null,
        calc: buffer("calc"),
        program: Promise.all([program("loader"), program("runtime")]).then(
            ([{ loadPyodide }, { default: createPyodideModule }]) => ({ loadPyodide, createPyodideModule }),
            (error) => {
                throw Missing.program({ cause: error });
            },
        ),
        module: handedOn(module),
    };
    tellStages(parts).catch(() => {}); // whoever waits for a part hears of it
    return parts;
}

serve(fromHost);
